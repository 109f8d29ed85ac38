"""How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.bike.steerer import Steerer
from frame3d.cli.tables import chunks, number, table
from frame3d.ride.fit.astride import Astride
from frame3d.ride.fit.cockpit import Cockpit, Sold
from frame3d.ride.fit.contact import Contact
from frame3d.ride.fit.of_bike import Fit
from frame3d.ride.fit.offers import Answer, Offers
from frame3d.rider.angles import CRANK_STEP, SADDLE_STEP, USUAL_KNEE, AngleBand, RiderAngles

STANCES = {
    "drawn": "as drawn",
    "sag": "at sag",
    "full_travel": "full travel",
    "dive": "dive on the fork",
    "saddle_down": "saddle down",
    "saddle_down_sag": "saddle down, sag",
}
FIGURES = (
    ("grip_reach", "Bottom bracket to grips, level", "mm"),
    ("grip_stack", "Bottom bracket to grips, up", "mm"),
    ("saddle_setback", "Saddle behind the bottom bracket", "mm"),
    ("saddle_stack", "Bottom bracket to saddle, up", "mm"),
    ("saddle_height", "Bottom bracket to saddle, straight", "mm"),
    ("saddle_angle", "That line above level", "°"),
    ("saddle_to_grips", "Saddle to grips, level", "mm"),
    ("grips_above_saddle", "Grips above the saddle", "mm"),
    ("saddle_to_pedal", "Saddle to the furthest pedal", "mm"),
    ("saddle_above_ground", "Saddle over the ground", "mm"),
    ("grips_above_ground", "Grips over the ground", "mm"),
    ("pedal_above_ground", "Lowest pedal over the ground", "mm"),
)
"""Figures of `Contact` with their titles."""


def text(part: Fit, width: int) -> str:
    """Return the topic's tables."""
    parts = ["Fit", _contacts(part.contacts, width), *_astride(part.astride)]
    if part.angles is not None:
        parts.append("\n".join(_angles(part.angles)))
    if part.cockpit is not None:
        parts += _cockpit(part.cockpit, width)
    if part.steerer is not None:
        parts += _steerer(part.steerer)
    return "\n\n".join(parts)


def _contacts(contacts: Sequence[Contact], width: int) -> str:
    rows = []
    for name, title, unit in FIGURES:
        values = [getattr(one, name) for one in contacts]
        if any(value is not None for value in values):
            rows.append([f"{title} [{unit}]", *(number(value, 1) for value in values)])
    return chunks(["Contact points", *(STANCES[one.stance] for one in contacts)], rows, width)


def _astride(found: Sequence[Astride]) -> Iterator[str]:
    if not found:
        return
    rows = [[STANCES[one.stance], number(one.top_tube, 1), number(one.room, 1)] for one in found]
    ahead = number(found[0].ahead, 0)
    head = [
        f"Standing astride, feet up to {ahead} mm ahead",
        "top tube [mm]",
        "inseam over it [mm]",
    ]
    yield table(head, rows)


def _angles(angles: RiderAngles) -> Iterator[str]:
    """Yield knee and trunk as bands: ``Knee 28 to 48° at the lowest pedal; ...``."""
    knee = angles.knee_angle
    if knee is None:
        yield "Knee: the leg does not reach the lowest pedal"
    else:
        rates = []
        if angles.knee_per_saddle_degrees is not None:
            rates.append((f"{SADDLE_STEP:g} mm more of saddle", angles.knee_per_saddle_degrees))
        if angles.knee_per_crank_degrees is not None:
            rates.append((f"cranks {CRANK_STEP:g} mm shorter", angles.knee_per_crank_degrees))
        said = "".join(f"; {what}: {number(by, 1, sign=True)}°" for what, by in rates)
        yield f"Knee {_band(knee)} at the lowest pedal, seated{said}"
    if angles.usual_saddle_heights is not None:
        low, high = angles.usual_saddle_heights
        straight, bent = USUAL_KNEE
        said = f"Saddle height for a knee of {bent:g} to {straight:g}°: {low:.0f} to {high:.0f} mm"
        within = angles.usual_saddle_within
        yield said if within is None else f"{said}, ±{within:g}"
    if angles.trunk_angle is not None:
        yield f"Trunk {_band(angles.trunk_angle)} above level, seated"


def _band(band: AngleBand) -> str:
    return f"{band.low:.0f} to {band.high:.0f}°"


def _cockpit(offers: Offers, width: int) -> Iterator[str]:
    yield f"What keeps the grips where {set_of(offers.present)} has them:"
    yield table(
        ["Bar", "exact stem", "spacers", "sold stem", "spacers", "reach off", "off up", ""],
        [_bar(answer, offers) for answer in offers.bars],
    )
    if offers.sweeps:
        yield _sweeps(offers, width)
    if offers.nearest:
        rows = [[set_of(one.cockpit), *_misses(one), number(one.miss, 1)] for one in offers.nearest]
        yield table(["Of all sizes sold the nearest [mm]", "reach off", "off up", "straight"], rows)


def _bar(answer: Answer, offers: Offers) -> list[str]:
    exact, sold = answer.exact, answer.sold
    name = f"{exact.rise:g} rise"
    if exact.stem_angle != offers.present.stem_angle:
        name += f", stem at {exact.stem_angle:g}°"
    return [
        name,
        number(exact.stem, 1),
        number(exact.spacers, 1),
        number(sold.cockpit.stem, 0),
        number(sold.cockpit.spacers, 1),
        *_misses(sold),
        "" if answer.cannot is None else f"exactly: no, {answer.cannot}",
    ]


def _misses(sold: Sold) -> list[str]:
    return [number(sold.reach_miss, 1, sign=True), number(sold.stack_miss, 1, sign=True)]


def _sweeps(offers: Offers, width: int) -> str:
    """Return the table of backsweeps: a row a rise, a column a stem."""
    stems = sorted({one.exact.stem for one in offers.sweeps})
    known = {(one.exact.rise, one.exact.stem): one for one in offers.sweeps}
    rows = []
    for rise in sorted({one.exact.rise for one in offers.sweeps}):
        cells = [known.get((rise, stem)) for stem in stems]
        rows.append([f"{rise:g} rise", *("" if one is None else _sweep(one) for one in cells)])
    head = ["Grips behind the clamp | spacers", *(f"stem {stem:g}" for stem in stems)]
    return chunks(head, rows, width)


def _sweep(answer: Answer) -> str:
    return f"{number(-answer.exact.forward, 0)} | {number(answer.sold.cockpit.spacers, 1)}"


def set_of(cockpit: Cockpit) -> str:
    """Return a cockpit in words: ``stem 45, spacers 15, rise 25, grips 30 behind the clamp``."""
    angle = f" at {cockpit.stem_angle:g}°" if cockpit.stem_angle else ""
    side = "behind" if cockpit.forward < 0 else "ahead of"
    return (
        f"stem {cockpit.stem:g}{angle}, spacers {cockpit.spacers:g}, rise {cockpit.rise:g}, "
        f"grips {abs(cockpit.forward):g} {side} the clamp"
    )


def _steerer(steerer: Steerer) -> Iterator[str]:
    rows = [
        ("headset's top", steerer.headset_top),
        ("stem's top", steerer.stem_top),
        ("shortest steerer for it", steerer.least),
        ("steerer as cut", steerer.length),
        ("left for spacers over the stem", steerer.over_the_stem),
        ("most spacers in all", steerer.most_spacers),
    ]
    shown = [[name, number(value, 1)] for name, value in rows if value is not None]
    yield table(["Steerer, from the crown race", "mm"], shown)
