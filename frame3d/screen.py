"""Screen: what the commands print for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from frame3d.caution import CAUTION
from frame3d.errors import Note
from frame3d.geometry.layout import Layout
from frame3d.geometry.mass import Masses
from frame3d.geometry.rider import Rider
from frame3d.geometry.sensitivity import Sensitivity
from frame3d.geometry.solve import AsBuilt
from frame3d.spec.figures import FIGURES, title, unit
from frame3d.tables import chunks, number, table


def solved(layout: Layout, masses: Masses | None) -> str:
    """Chart, rider, mass and notes of a solved bike."""
    parts = [layout.spec.name, _chart(layout)]
    if layout.rider is not None:
        parts += _rider(layout.rider)
    if masses is not None and masses.total > 0:
        parts.append(_masses(masses))
    parts += _notes(layout.notes)
    return "\n\n".join([*parts, CAUTION])


def _named(figure: str) -> str:
    return f"{title(figure)} [{'°' if unit(figure) == 'degrees' else 'mm'}]"


def _chart(layout: Layout) -> str:
    stances = [("static", layout.chart)]
    if layout.sagged is not None:
        stances.append(("at sag", layout.sagged.chart))
    rows = [[_named(f), *(number(chart[f]) for _, chart in stances)] for f in FIGURES]
    return table(["", *(name for name, _ in stances)], rows)


def _rider(rider: Rider) -> list[str]:
    rows = []
    for name, posture in (("seated", rider.seated), ("standing", rider.standing)):
        if posture is not None:
            x, _, z = posture.centre_of_mass
            share = f"{100 * posture.front_share:.1f} %"
            rows.append([name, number(x, 0), number(z, 0), share])
    if not rows:
        return []
    head = ["Rider", "centre of mass x [mm]", "z [mm]", "weight on the front wheel"]
    return [table(head, rows) + "\nAssumed: " + "; ".join(rider.assumptions) + "."]


def _masses(masses: Masses) -> str:
    rows = [[name, number(grams, 0)] for name, grams in masses.parts.items()]
    rows.append(["together", number(masses.total, 0)])
    return table(["Part", "mass [g]"], rows)


def _notes(notes: Sequence[Note]) -> list[str]:
    return ["Notes:\n" + "\n".join(f"- {note.render()}" for note in notes)] if notes else []


def exchanged(result: AsBuilt) -> str:
    """Chart before, after and difference of a built frame with other parts."""
    rows = [
        [
            _named(f),
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


def _slope(value: float) -> str:
    """A change per unit; plain 0 where nothing moves, so that what does stands out."""
    return "0" if abs(value) < 5e-5 else number(value, 4, sign=True)


def sensitivities(results: Mapping[str, Sensitivity], width: int) -> str:
    """Change of every result per unit of every input, a table a question."""
    parts = []
    for name, result in results.items():
        head = ["per 1 mm or 1° of"]
        head += [path.removeprefix("geometry.").removeprefix("build.") for path in result.inputs]
        rows = [
            [_named(figure), *(_slope(row[j]) for row in result.change)]
            for j, figure in enumerate(result.results)
        ]
        parts.append(f"{name}\n\n{chunks(head, rows, width)}")
    return "\n\n".join(parts)
