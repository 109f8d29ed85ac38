"""All bikes over one another in one side view, to one scale, with their differences marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from frame3d.family.differences import Change
from frame3d.family.members import Member
from frame3d.report.comparing.data import Comparison
from frame3d.report.comparing.sentences import amount, title
from frame3d.report.drawing.dimension import dimension
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import OFFSETS, SIZE
from frame3d.report.markup import Markup, el, together
from frame3d.report.side import Side
from frame3d.report.texts import Texts

ALIGNED: Final = ("bb", "rear", "ground")
"""Where bikes coincide: at the bottom bracket, at the rear axle, or on the ground below the bottom
bracket."""
AROUND: Final = 5.4
"""Room around the bikes for dimensions, in heights of a figure."""


def overlay(comparison: Comparison, texts: Texts) -> Markup:
    """Return the drawing, aligned at the bottom brackets, with the second bike's differences marked."""
    sides = comparison.sides
    sheet = SvgDrawing(SIZE)
    low, high = _corners(sides)
    sheet.line((low[0], sides[0].ground), (high[0], sides[0].ground), "ground")
    for i in reversed(range(len(sides))):
        sheet.marks.append(_bike(sides[0], sides[i], i))
    for i, changes in enumerate(comparison.changes):
        if i > 0:
            sheet.marks.append(_marks(sides[0], sides[i], i, changes, texts))
    margin = AROUND * SIZE
    names = ", ".join(comparison.labels)
    return sheet.svg(
        (low[0] - 2.4 * SIZE, low[1] - margin),
        (high[0] + 2.4 * SIZE, high[1] + 2.4 * SIZE),
        texts("comparing.drawing", names=names),
        "sheet overlay",
    )


def shifts(first: Side, side: Side) -> dict[str, XZ]:
    """Return how far a bike is moved so that it coincides with the first in each way [mm]."""
    a, b = first.at("rear_axle"), side.at("rear_axle")
    return {
        "bb": (0.0, 0.0),
        "rear": (a[0] - b[0], a[1] - b[1]),
        "ground": (0.0, first.ground - side.ground),
    }


def _corners(sides: Sequence[Side]) -> tuple[XZ, XZ]:
    """Return the corners of all bikes in all alignments."""
    xs, zs = [], []
    for side in sides:
        for x, z in shifts(sides[0], side).values():
            for corner in side.corners:
                xs.append(corner[0] + x)
                zs.append(corner[1] + z)
    return (min(xs), min(zs)), (max(xs), max(zs))


def _moved(first: Side, side: Side) -> dict[str, object]:
    """Return the attributes from which scripts move a group, by alignment."""
    return {
        f"data_{key}": f"translate({x:.2f} {-z:.2f})" for key, (x, z) in shifts(first, side).items()
    }


def _bike(first: Side, side: Side, place: int) -> Markup:
    return el("g", *side.marks(), class_=f"bike b{place}", data_bike=place, **_moved(first, side))


def _marks(first: Side, side: Side, place: int, changes: Sequence[Change], texts: Texts) -> Markup:
    """Return the dimensions of what differs, each with the difference beside it."""
    drawn = [
        el(
            "g",
            *_mark(side, change, texts),
            class_="difference" if change.name in OFFSETS else "difference minor",
            data_figure=change.name,
        )
        for change in changes
        if change.kind == "figure" and change.way is not None
    ]
    return el(
        "g",
        together(*drawn),
        class_=f"differences d{place}" + ("" if place == 1 else " aside"),
        data_bike=place,
        **_moved(first, side),
    )


def _mark(side: Side, change: Change, texts: Texts) -> Iterator[Markup]:
    sheet = SvgDrawing(SIZE)
    name = texts.get(f"comparing.mark.{change.name}") or title(change, texts).lower()
    said = f"{name} {amount(change, texts).removesuffix(' mm')}"
    dimension(sheet, side, change.name, said, OFFSETS.get(change.name))
    yield from sheet.marks


def legend(members: Sequence[Member], texts: Texts) -> Markup:
    """Return a list of the bikes with their colours, each with a box that hides it."""
    rows = [
        el(
            "li",
            el(
                "label",
                el("input", type="checkbox", checked=True, data_bike=i, hidden=True),
                _line(i),
                el("strong", member.label),
                el("span", member.title, class_="whole") if member.title != member.label else None,
            ),
        )
        for i, member in enumerate(members)
    ]
    return el("ul", *rows, class_="legend", aria_label=texts("comparing.bikes"))


def _line(place: int) -> Markup:
    return el(
        "svg",
        el("path", d="M1 5H33", class_=f"curve c{place}"),
        viewbox="0 0 34 10",
        class_="line",
        aria_hidden="true",
    )
