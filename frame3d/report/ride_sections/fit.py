"""The section: how the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from frame3d.report.audience import Audience, without_keys
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el, together
from frame3d.report.ride_sections.cockpit import cockpit, steerer
from frame3d.report.ride_sections.fit_picture import fit_picture
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.texts import Texts
from frame3d.ride.fit.contact import Contact
from frame3d.ride.fit.of_bike import Fit
from frame3d.rider.angles import SADDLE_STEP, USUAL_KNEE, AngleBand, RiderAngles

FIGURES: Final = (
    "grip_reach",
    "grip_stack",
    "saddle_setback",
    "saddle_stack",
    "saddle_height",
    "saddle_angle",
    "saddle_to_grips",
    "grips_above_saddle",
    "saddle_to_pedal",
    "saddle_above_ground",
    "grips_above_ground",
    "pedal_above_ground",
)
"""Figures of `Contact` in the order of the table."""
RIDERS_STANCES: Final = ("drawn", "sag", "saddle_down")
"""Positions that the rider's page shows."""
LEVEL: Final = 5.0
"""Grips up to this far above or below the saddle count as level with it [mm]."""


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None where the file gives nothing for it."""
    fit = data.ride.fit
    if fit is None:
        return None
    stances = [one for one in fit.contacts if audience == "builder" or one.stance in RIDERS_STANCES]
    told = [*sentences(fit, texts), *_saddle_and_tyre(data, texts)]
    said = [el("li", sentence) for sentence in told]
    assumed = fit.assumptions
    if audience == "rider":
        assumed = tuple(without_keys(line) for line in assumed)
    return together(
        el(
            "div",
            fit_picture(data, fit.contacts[0], texts),
            el("div", el("ul", *said, class_="notes"), class_="beside"),
            class_="rider",
        ),
        _contacts(stances, texts),
        None if fit.cockpit is None else cockpit(fit.cockpit, texts, audience),
        None if fit.steerer is None else steerer(fit.steerer, texts),
        el("p", texts("fit.assumed", list="; ".join(assumed)), class_="remark"),
    )


def _contacts(contacts: Sequence[Contact], texts: Texts) -> Markup:
    rows = []
    for figure in FIGURES:
        values = [getattr(one, figure) for one in contacts]
        if all(value is None for value in values):
            continue
        unit = "degrees" if figure == "saddle_angle" else "mm"
        cells = (el("td", texts.quantity(value, unit, _decimals(unit))) for value in values)
        rows.append(el("tr", el("th", texts(f"fit.figure.{figure}"), scope="row"), *cells))
    head = [texts("chart.figure"), *(texts(f"fit.stance.{one.stance}") for one in contacts)]
    return scrolled_table(head, rows, "chart size-table", texts("fit.contacts"))


def _decimals(unit: str) -> int:
    return 1 if unit == "degrees" else 0


def sentences(fit: Fit, texts: Texts) -> Iterator[str]:
    """Yield what the contact points mean for the rider, a plain sentence each."""
    by_name = {one.stance: one for one in fit.contacts}
    drawn, sag, down = (by_name.get(name) for name in ("drawn", "sag", "saddle_down"))
    assert drawn is not None
    if drawn.grip_reach is not None:
        ahead, above = _mm(drawn.grip_reach, texts), _mm(drawn.grip_stack, texts)
        yield texts("fit.says.grips", ahead=ahead, above=above)
    if drawn.saddle_setback is not None:
        where = drawn if sag is None else sag
        setback, angle = where.saddle_setback, where.saddle_angle
        shown = {"setback": _mm(setback, texts), "angle": texts.quantity(angle, "degrees", 1)}
        key = "drawn" if sag is None else "sag"
        yield texts(f"fit.says.setback_{key}", **shown)
    yield from _drop(drawn, down, texts)
    yield from _astride(fit, texts)
    if fit.angles is not None:
        yield from _angles(fit.angles, texts)


def _angles(angles: RiderAngles, texts: Texts) -> Iterator[str]:
    knee, rate = angles.knee_angle, angles.knee_per_saddle_degrees
    if knee is None:
        yield texts("fit.says.no_knee")
    elif rate is not None:
        key = "knee_measured" if angles.knee_measured else "knee"
        by = texts.quantity(abs(rate), "degrees", 0)
        step = texts.quantity(SADDLE_STEP, "mm", 0)
        yield texts(f"fit.says.{key}", band=_band(knee, texts), step=step, by=by)
    if angles.usual_saddle_heights is not None and angles.usual_saddle_within is not None:
        low, high = angles.usual_saddle_heights
        between = texts("fit.says.band", low=texts.number(low, 0), high=_mm(high, texts))
        straight, bent = USUAL_KNEE
        knees = texts("fit.says.band", low=f"{straight:g}", high=texts.quantity(bent, "degrees", 0))
        error = _mm(angles.usual_saddle_within, texts)
        yield texts("fit.says.usual", knee=knees, band=between, error=error)
    if angles.trunk_angle is not None:
        yield texts("fit.says.trunk", band=_band(angles.trunk_angle, texts))


def _band(band: AngleBand, texts: Texts) -> str:
    low, high = texts.number(band.low, 0), texts.quantity(band.high, "degrees", 0)
    return texts("fit.says.band", low=low, high=high)


def _drop(drawn: Contact, down: Contact | None, texts: Texts) -> Iterator[str]:
    above = drawn.grips_above_saddle
    if above is None:
        return
    if abs(above) <= LEVEL:
        yield texts("fit.says.level")
    else:
        key = "above" if above > 0 else "below"
        yield texts(f"fit.says.{key}", by=_mm(abs(above), texts))
    if down is not None and down.grips_above_saddle is not None:
        yield texts("fit.says.down", by=_mm(down.grips_above_saddle, texts))


def _astride(fit: Fit, texts: Texts) -> Iterator[str]:
    if not fit.astride:
        return
    drawn = fit.astride[0]
    shown = {"ahead": _mm(drawn.ahead, texts), "top_tube": _mm(drawn.top_tube, texts)}
    key = "astride" if drawn.room >= 0 else "not_astride"
    yield texts(f"fit.says.{key}", room=_mm(abs(drawn.room), texts), **shown)


def _saddle_and_tyre(data: ReportData, texts: Texts) -> Iterator[str]:
    """Yield what is left between tyre and saddle, at full travel and with the saddle down."""
    post = data.bike.spec.build.seatpost
    found = [one.least for one in data.report.results if one.name == "saddle_to_rear_tyre"]
    if found and post is not None and post.travel > 0:
        key = "tyre_fixed" if data.bike.linkage is None else "tyre"
        yield texts(f"fit.says.{key}", gap=_mm(min(found), texts))


def _mm(value: float | None, texts: Texts) -> str:
    return texts.quantity(value, "mm", 0)
