"""Text output of `solve` where figures are missing."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import fill
from typing import Final

from frame3d.chart.givens import key
from frame3d.chart.partial import FEW, OpenFigure, PartialChart
from frame3d.cli.screen import named
from frame3d.cli.tables import number, table

NOTHING: Final = (
    "No bicycle was found that has all the figures given so far: check them before giving more."
)
ASSUMED: Final = {
    "geometry.seat_tube_offset": "the seat tube's axis runs through the bottom bracket",
    "build.headset.angle": "no headset cups turn the steering axis",
    "build.seatpost.saddle_height": "no saddle height is given",
}
"""What is assumed, by the dotted path of the value that would say otherwise."""


def begun(partial: PartialChart | None, width: int) -> str:
    """Return what is settled, and what would settle the rest.

    Args:
        partial: what is known; None where no bike was found.
        width: of the terminal.
    """
    if partial is None:
        return NOTHING
    parts = [_settled(partial) if partial.settled or partial.assumed else "No figure is settled."]
    ways = [
        fill(f"- {named(figure)}: {_ways(way)}", width, subsequent_indent="    ")
        for figure, way in partial.open.items()
    ]
    parts.append("\n".join(["Open, and what else would settle it:", *ways]))
    if partial.beyond:
        left = " and ".join(named(figure) for figure in partial.beyond)
        parts.append(f"Left out, as only the tubes tell it: {left}.")
    return "\n\n".join(parts)


def _settled(partial: PartialChart) -> str:
    reasons = dict.fromkeys(by for _, by in partial.assumed.values())
    marks = {by: f"[{i}]" for i, by in enumerate(reasons, 1)}
    rows = [[named(figure), number(value), ""] for figure, value in partial.settled.items()]
    rows += [[named(f), number(value), marks[by]] for f, (value, by) in partial.assumed.items()]
    notes = [
        f"{mark} as long as {' and '.join(ASSUMED[path] for path in by)}"
        for by, mark in marks.items()
    ]
    return "\n".join([table(["Settled", "", ""], rows), *notes])


def _ways(way: OpenFigure) -> str:
    """Return what would settle a figure, but for itself."""
    left = ""
    if way.between:
        left = " or ".join(number(value) for value in way.between) + "; "
    if way.alone:
        return left + _listed(way.alone, "or")
    if way.needs == 0:
        return left + "nothing else"
    if way.needs > FEW:
        return left + f"more than {_COUNT[FEW]} others"
    return left + f"{_COUNT[way.needs]} others, e.g. {_listed(way.together, 'and')}"


_COUNT = {2: "two", 3: "three"}


def _listed(variables: Iterable[str], last: str) -> str:
    """Return variables as a file names them, in a sentence."""
    paths = [path.removeprefix("geometry.") for name in variables if (path := key(name))]
    return f" {last} ".join([", ".join(paths[:-1]), paths[-1]] if len(paths) > 1 else paths)
