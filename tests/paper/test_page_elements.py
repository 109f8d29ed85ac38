"""Elements of sheets: what they draw stands within its room, and says no less than asked."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from frame3d.caution import CAUTION
from frame3d.paper import page_elements
from frame3d.paper.fonts import text_width
from frame3d.paper.page_elements import (
    MARGIN,
    SMALLEST,
    Column,
    caution,
    fitted,
    paragraph,
    table,
)
from frame3d.paper.sheet import CAP, Sheet
from tests.fabrication.crossing import crossed


def test_a_line_that_is_too_wide_becomes_smaller_then_shorter() -> None:
    assert fitted("head tube", 50.0, 3.0) == ("head tube", 3.0)
    text = "lug rear pivot chainstay link"
    wide = text_width(text, 3.0)
    assert fitted(text, 0.8 * wide, 3.0) == (text, pytest.approx(2.4))
    for share in (0.7, 0.4, 0.1):
        shown, size = fitted(text, share * wide, 3.0, after=" · mm")
        assert size == SMALLEST
        assert shown.endswith(" · mm")
        first, last = shown.removesuffix(" · mm").split("…")
        assert text.startswith(first)
        assert text.endswith(last)
        assert text_width(shown, size) <= share * wide or shown == "… · mm"
    assert fitted(text, 5.0, 2.0)[1] == 2.0  # never larger than asked


def test_a_long_name_in_a_heading_leaves_its_line_and_the_right_alone() -> None:
    sheet = Sheet("check", "A check", 210.0, 297.0)
    below = "mitre template 1:1 · wrap with the print outside"
    page_elements.heading(sheet, "Top tube " * 9, "Велосипед " * 8, below, ("31.8 mm, wall 0.8",))
    assert crossed(sheet.entities(), through=()) == []
    assert any(e.dxf.text.endswith(below) for e in sheet.entities() if e.dxftype() == "TEXT")


def texts(sheet: Sheet) -> list[Any]:
    return [e for e in sheet.entities() if e.dxftype() == "TEXT"]


def ends(entity: Any) -> tuple[float, float]:
    """Where a level text starts and ends [mm]."""
    align, at, _ = entity.get_placement()
    wide = text_width(entity.dxf.text, entity.dxf.height / CAP, bold=entity.dxf.style == "BOLD")
    start = at.x - wide * {"LEFT": 0.0, "CENTER": 0.5, "RIGHT": 1.0}[align.name]
    return start, start + wide


@pytest.mark.parametrize("align", ["left", "right", "centre"])
def test_every_cell_stands_in_its_column(align: str) -> None:
    sheet = Sheet("t", "T", 210.0, 297.0)
    columns = [Column("Tube", 30.0), Column("Wall", 22.0, align), Column("A long title here", 18.0)]
    rows = [("top tube", "0.8", "1"), ("the right seatstay's lower end", "1.25 – 0.9 – 1.25", "x")]
    low = table(sheet, 20.0, 200.0, columns, rows)
    edges = [20.0, 50.0, 72.0, 90.0]
    drawn = texts(sheet)
    assert len(drawn) == 9
    for i, entity in enumerate(drawn):
        start, end = ends(entity)
        assert edges[i % 3] < start
        assert end < edges[i % 3 + 1] + 1e-6
        assert low < entity.get_placement()[1].y < 200.0
    tops = [entity.get_placement()[1].y for entity in drawn[::3]]
    assert tops == sorted(tops, reverse=True)
    lines = [e for e in sheet.entities() if e.dxftype() == "LINE"]
    assert min(line.dxf.start.y for line in lines) == low


def test_a_table_without_titles_has_rows_alone() -> None:
    sheet = Sheet("t", "T", 210.0, 297.0)
    low = table(sheet, 20.0, 200.0, [Column("", 30.0), Column("", 20.0)], [("a", "b")] * 3)
    assert low == pytest.approx(200.0 - 3 * 4.6)
    assert [e.dxf.text for e in texts(sheet)] == ["a", "b"] * 3


@pytest.mark.parametrize("width", [100.0, 210.0, 420.0])
def test_the_caution_is_whole_at_any_width(width: float) -> None:
    sheet = Sheet("t", "T", width, 297.0)
    top = caution(sheet)
    drawn = sorted(texts(sheet), key=lambda e: -e.get_placement()[1].y)
    assert " ".join(e.dxf.text for e in drawn) == " ".join(CAUTION.split())
    for entity in drawn:
        start, end = ends(entity)
        assert start >= MARGIN
        assert end <= width - MARGIN + 1e-6
        assert entity.get_placement()[1].y + entity.dxf.height < top


def test_a_paragraph_goes_on_below_itself() -> None:
    sheet = Sheet("t", "T", 210.0, 297.0)
    after = paragraph(sheet, 10.0, 100.0, "one two three four five six", 14.0)
    heights = [e.get_placement()[1].y for e in texts(sheet)]
    assert heights[0] == 100.0
    steps = {round(a - b, 6) for a, b in pairwise([*heights, after])}
    assert len(steps) == 1
    assert len(heights) > 2
