"""Text output of the commands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from frame3d.bike.seatpost import assumptions, facts, seatpost_of
from frame3d.bike.tension.chain_fits import tension_text
from frame3d.bike.tension.insert import turning_of
from frame3d.bike.tension.slide import sliding_of
from frame3d.bike.weight import front_shares
from frame3d.caution import CAUTION
from frame3d.cli.tables import chunks, number, table
from frame3d.errors import Note
from frame3d.parameters.models.figures import FIGURES, title, unit

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bike.exchange import AsBuilt
    from frame3d.chart.sensitivity import Sensitivity
    from frame3d.clearance.advice.fits import Fit
    from frame3d.clearance.result import Report, Result
    from frame3d.rider.posture import Rider
    from frame3d.tubes.mass import Masses


def solved(bike: Bike, masses: Masses | None) -> str:
    """Return chart, rider, mass and notes of a solved bike."""
    parts = [bike.spec.title, _chart(bike)]
    if bike.rider is not None:
        parts += _rider(bike, bike.rider)
    parts += _seatpost(bike)
    parts += _sliding(bike)
    parts += _turning(bike)
    if masses is not None and masses.total > 0:
        parts.append(_masses(bike, masses))
    parts += _notes(bike.notes)
    return "\n\n".join([*parts, CAUTION])


def named(figure: str) -> str:
    """Return a figure's title with its unit."""
    return f"{title(figure)} [{'°' if unit(figure) == 'degrees' else 'mm'}]"


def _chart(bike: Bike) -> str:
    stances = [("static", bike.chart)]
    if bike.sagged is not None:
        stances.append(("at sag", bike.sagged.chart))
    rows = [[named(f), *(number(chart[f]) for _, chart in stances)] for f in FIGURES]
    return table(["", *(name for name, _ in stances)], rows)


def _rider(bike: Bike, rider: Rider) -> list[str]:
    rows = []
    shares = front_shares(bike)
    for name, posture in rider.postures.items():
        x, _, z = posture.centre_of_mass
        share = f"{100 * shares.static[name]:.1f} %"
        rows.append([name.replace("_", " "), number(x, 0), number(z, 0), share])
    if not rows:
        return []
    head = ["Rider", "centre of mass x [mm]", "z [mm]", "weight on the front wheel"]
    said = "; ".join((*rider.assumptions, *shares.assumptions))
    return [table(head, rows) + f"\nAssumed: {said}."]


_SEATPOST = {
    "exposure": "exposure",
    "drop_room": "left above",
    "insertion": "insertion",
    "least_insertion": "least insertion",
    "deepest_insertion": "deepest insertion",
    "room": "left below",
    "longest_travel": "longest travel, the tyre aside",
}


def _seatpost(bike: Bike) -> list[str]:
    post = seatpost_of(bike)
    if post is None or (post.exposure is None and post.bore is None):
        return []
    rows = [[_SEATPOST[name], by, number(value, 1)] for name, value, by in facts(post)]
    lines = table(["Seatpost", "", "mm"], rows, left=2)
    return [lines + "\nAssumed: " + "; ".join(assumptions(bike)) + "."]


def _sliding(bike: Bike) -> list[str]:
    """Return where the axle stands in sliding dropouts, and the chart's figures at their ends."""
    found = sliding_of(bike)
    if found is None:
        return []
    rows = [
        [name, number(place.at, 1), number(place.chainstay_length), number(place.wheelbase)]
        for name, place in (("foremost", found.front), ("now", found.now), ("rearmost", found.back))
    ]
    return [
        table(["Rear axle", "back in its slots [mm]", "chainstay [mm]", "wheelbase [mm]"], rows)
    ]


def _turning(bike: Bike) -> list[str]:
    """Return what an eccentric insert's turn changes, and which chains it tensions."""
    found = turning_of(bike)
    if found is None:
        return []
    rows = [
        [name, number(place.angle, 1), number(place.chainstay_length), number(place.bb_height),
         number(place.bb_drop), number(place.effective_seat_tube_angle)]
        for name, place in (
            ("now", found.now), ("shortest chainstay", found.shortest),
            ("longest chainstay", found.longest), ("lowest", found.lowest),
            ("highest", found.highest),
        )
    ]  # fmt: skip
    head = ["Eccentric insert", "at [°]", "chainstay [mm]", "bottom bracket height [mm]", "drop [mm]",
            "effective seat angle [°]"]  # fmt: skip
    said = f"Range: {tension_text(found.tension)}."
    if found.chains:
        chains = (f"{one.links} at {one.chainstay_length:.2f} mm" for one in found.chains)
        said += " Taut chains, in links (an odd number has a half link): " + "; ".join(chains) + "."
    return [table(head, rows) + f"\n{said}"]


def _masses(bike: Bike, masses: Masses) -> str:
    rows = [[name, number(grams, 0)] for name, grams in masses.parts.items()]
    rows.append(["together", number(masses.total, 0)])
    others = ["dropouts"] if any(one.plate is None for one in bike.dropouts) else []
    if any(item.name not in masses.parts for item in bike.pivots):
        others.append("hardware of the pivots")
    said = f"\nWithout {' and '.join(others)}, which `build` weighs too." if others else ""
    out = table(["Part", "mass [g]"], rows) + said
    if bike.fork is not None:
        fork = bike.fork.frame.masses
        own = [[name, number(grams, 0)] for name, grams in fork.parts.items()]
        out += "\n\n" + table(["Fork", "mass [g]"], [*own, ["together", number(fork.total, 0)]])
    return out


def _notes(notes: Sequence[Note]) -> list[str]:
    return ["Notes:\n" + "\n".join(f"- {note.render()}" for note in notes)] if notes else []


def exchanged(result: AsBuilt) -> str:
    """Return the chart of a built frame before and after the exchange of parts, and its change."""
    rows = [
        [
            named(f),
            number(result.before.chart[f]),
            number(result.after.chart[f]),
            number(result.change[f], sign=True),
        ]
        for f in FIGURES
    ]
    pitch = number(result.after.pitch, sign=True)
    return (
        "As built: the frame stays as it is, parts are exchanged, the bike pitches by "
        f"{pitch}° (nose up +)\n\n" + table(["", "before", "after", "change"], rows)
    )


def checked(bike: Bike, report: Report) -> str:
    """Return the checks by margin, remedies for those that fall short, and what was not checked."""
    rows = [
        [
            "ok" if r.ok else "SHORT",
            _pair(r),
            f"{_gap(r, r.decimals(2))} {_SIGN[r.unit]}",
            f"{number(r.required)} {_SIGN[r.unit]}",
            number(r.margin, r.decimals(2), sign=True),
            _place(r),
        ]
        for r in report.results
    ]
    head = ["", "check", "gap", "required", "margin", "tightest at"]
    parts = [f"{bike.spec.title}: clearances"]
    if rows:
        parts.append(table(head, rows, left=2))
    for r in report.results:
        if not r.ok:
            ways = "; or ".join(r.mend) if r.mend else "no single small change was found"
            depth = " (depth of overlap, a bound)" if r.saturated else ""
            parts.append(
                f"{_pair(r)}: short by {number(-r.margin, r.decimals(2))} {_SIGN[r.unit]}{depth}\n"
                f"  mend: {ways}"
            )
    if any(r.error > 0 for r in report.results):
        parts.append(CERTAIN)
    if report.steering is not None:
        parts.append(f"Steering: {report.steering.says}")
    if report.tensioned is not None:
        parts.append(f"Tension of the chain: {report.tensioned.says}")
    sources = dict.fromkeys(f"- {r.name} {r.required:g}: {r.source}" for r in report.results)
    if sources:
        parts.append("Required, and where from:\n" + "\n".join(sources))
    if report.unchecked:
        lines = [f"- {u.name}: {u.why}" for u in report.unchecked]
        parts.append("Not checked:\n" + "\n".join(lines))
    if bike.warnings:
        lines = [f"- {note.render()}" for note in bike.warnings]
        parts.append("Warnings of the bike that was checked:\n" + "\n".join(lines))
    parts.append(tally(report))
    return "\n\n".join([*parts, CAUTION])


def _gap(result: Result, decimals: int) -> str:
    """Return the lower end of a certificate, or both ends of a wide one."""
    least = number(result.least, decimals)
    return f"{least} to {number(result.gap, decimals)}" if result.is_wide else least


def tally(report: Report) -> str:
    """Return the number of checks and their results."""
    made, short = len(report.results), sum(not r.ok for r in report.results)
    if made == 0:
        said = "no check made: nothing is known of any clearance"
    else:
        fail = f"{short} {'falls' if short == 1 else 'fall'} short"
        said = f"{made} {'check' if made == 1 else 'checks'} made, "
        said += fail if short else "all hold" if made > 1 else "it holds"
    return said + (f"; {len(report.unchecked)} not made" if report.unchecked else "")


CERTAIN = (
    "Gaps are the least that they are for certain, at any position: what is judged. "
    "The true ones are larger by no more than the certificate's width (`error` in --json); "
    "where that is wide, both ends are given."
)
_SIGN = {"mm": "mm", "degrees": "°", "%": "%"}


def _pair(result: Result) -> str:
    return result.name if result.between is None else f"{result.name}: {' – '.join(result.between)}"


def _place(result: Result) -> str:
    """Return the pose of a result, and where the axle stands in sliding dropouts."""
    return ", ".join([*result.elsewhere, *([_pose(result.place)] if result.at else [])])


def _pose(at: Mapping[str, float]) -> str:
    signs = {"rear": " mm", "fork": " mm", "slide": " mm"}
    return ", ".join(f"{name} {value:.1f}{signs.get(name, '°')}" for name, value in at.items())


def close(results: Sequence[Result], within: float | None) -> str:
    """Return everything closer than a distance [mm]."""
    rows = [[r.title, _gap(r, 2), _pose(r.place)] for r in results]
    return f"Closer than {within:g} mm:\n\n" + table(["between", "gap [mm]", "tightest at"], rows)


def fits(answers: Sequence[Fit]) -> str:
    """Return the largest parts that fit this frame."""
    rows = [[f.what, f.now, f.largest or "none", f.limited_by] for f in answers]
    return "What fits this frame as it stands:\n\n" + table(
        ["", "now", "largest", "the next one fails"], rows, left=4
    )


def _slope(value: float) -> str:
    """Return a change per unit; a plain 0 where there is none."""
    return "0" if abs(value) < 5e-5 else number(value, 4, sign=True)


def sensitivities(results: Mapping[str, Sensitivity], width: int) -> str:
    """Return the change of every result per unit of every input, one table for each question."""
    parts = []
    for name, result in results.items():
        head = ["per 1 mm or 1° of"]
        head += [path.removeprefix("geometry.").removeprefix("build.") for path in result.inputs]
        rows = [
            [named(figure), *(_slope(row[j]) for row in result.change)]
            for j, figure in enumerate(result.results)
        ]
        parts.append(f"{name}\n\n{chunks(head, rows, width)}")
    return "\n\n".join(parts)
