"""Sheets of marking templates: a tube's marks at 1:1, with where each is measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.marking import Marking
from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.panel_drawing import Piece
from frame3d.fabrication.template_sheets import pages
from frame3d.fabrication.tube_facts import TubeFacts
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet

ROWS: Final = 6
"""Rows of the table beside the check square."""
BELOW: Final = "marking template 1:1 · wrap with the print outside, arrow toward the tube's end"


def marking_sheets(
    facts: TubeFacts, marking: Marking, marks: Sequence[Mark], bike: Bike, paper: Paper
) -> list[Sheet]:
    """Return the sheets of one tube's marks; none where all of them are in bends.

    Raises:
        TooWideError: the full turn and its flap do not fit across the paper.
    """
    if not marking.panels:
        return []

    def foot(sheet: Sheet, y: float, group: Sequence[Piece]) -> None:
        shown = {number for piece in group for number, _, _ in piece.panel.crosses}
        _foot(sheet, y, [mark for mark in marks if str(mark.number) in shown])

    name = f"template_{facts.tube.name}-marks"  # no tube has a hyphen in its name
    return pages(facts, marking.panels, bike, paper, name=name, below=BELOW, foot=foot, filled=True)


def _foot(sheet: Sheet, y: float, marks: Sequence[Mark]) -> None:
    """Draw check square and ruler, and the table of the page's marks beside them."""
    page_elements.checks(sheet, MARGIN, y)
    x = MARGIN + 56.0
    width = sheet.width - MARGIN - x
    columns = [
        Column("No.", 7.0, "right"), Column("What", 0.36 * width - 7.0),
        Column("from start", 0.15 * width, "right"), Column("from end", 0.15 * width, "right"),
        Column("around", 0.34 * width),
    ]  # fmt: skip
    rows = [
        (str(m.number), m.what, f"{m.from_start:z.2f}", f"{m.from_end:z.2f}", around(m))
        for m in marks[:ROWS]
    ]
    low = page_elements.table(sheet, x, y + 51.0, columns, rows, step=4.4, size=2.6)
    said = "Middles, along the axis from the long points. Full line: edge of a hole on the outside."
    if any(mark.covered is not None for mark in marks):
        said = f"{said.removesuffix('.')}; dashed: what covers the tube."
    if len(marks) > ROWS:
        said = f"{len(marks) - ROWS} more are on the fixture sheet's page of marks."
    sheet.text((x, min(low - 3.8, y + 17.0)), said, 2.4)


def around(mark: Mark) -> str:
    """Return in words where around the tube a mark is: angle, and the way along the outside."""
    said = mark.around_text
    return said if said in (mark.zero, mark.toward) else f"{said}: {abs(mark.around):z.2f}"
