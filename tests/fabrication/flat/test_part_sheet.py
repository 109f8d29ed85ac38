"""Dimensioned sheets of flat parts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.fabrication.flat.part_sheet import part_sheets
from frame3d.fabrication.flat.parts import SheetPart, at_datum, sheet_parts
from frame3d.geometry.outline import Outline
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.flat.samples import gusset, own_plate, strip, trail

PARTS = {
    "own": own_plate,
    "gusset": gusset,
    "strip": strip,
    "rocker": lambda: sheet_parts(trail())[0],
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PARTS)
def test_no_text_is_crossed_or_off_the_page(name: str, paper: str) -> None:
    for sheet in part_sheets(PARTS[name](), "A bike", PAPERS[paper]):
        assert crossed(sheet.entities(), through=("CENTRE",)) == []
        assert not any("…" in line for line in sheet.texts())  # nothing is shortened
        for entity in sheet.entities():
            if entity.dxftype() == "TEXT":
                _, at, _ = entity.get_placement()
                assert 8 < at.x < sheet.width - 8
                assert 8 < at.y < sheet.height - 8


def test_what_a_links_sheet_says() -> None:
    """Places and spacing to 0.01 mm, diameters with fits and limits, radii, thickness, quantity."""
    (part,) = sheet_parts(trail())
    (sheet,) = part_sheets(part, "A bike", PAPERS["A4"])
    said = sheet.texts()
    for hole in part.outline.holes:
        assert f"{hole.x:z.2f}" in said
        assert f"{hole.y:z.2f}" in said
    for text in (
        "90.78",
        "64.18",
        "A  Ø 12 H7",
        "R 15",
        "R 11 (2×)",
        "6 mm 6061-T6",
        "+0.000 / +0.018",
    ):
        assert text in said, text
    assert any("from memory of ISO 286-1" in line for line in said)
    assert any("no claim about strength" in line for line in said)
    assert any("drawn 1:1 " in line for line in said)


def test_drawn_at_full_size() -> None:
    """Circles are as far apart on the paper as in the part."""
    part = own_plate()
    first, _ = part_sheets(part, "A bike", PAPERS["A4"])
    circles = [e for e in first.entities() if e.dxftype() == "CIRCLE"]
    assert sorted(2 * c.dxf.radius for c in circles) == pytest.approx([5, 6.5, 26])
    a, b, _ = (c.dxf.center for c in circles)
    assert (b - a).magnitude == pytest.approx(part.outline.holes[1].x)


def test_what_the_drawing_has_no_room_for_is_in_tables() -> None:
    _, tables = part_sheets(own_plate(), "A bike", PAPERS["A4"])
    said = tables.texts()
    assert "S1" in said
    assert "R 14.00 left" in said
    assert "R 6.00 right" in said
    assert any(line.startswith("Pocket P1, 2 mm deep") for line in said)
    assert {"A", "R"} <= set(part_sheets(strip(), "A bike", PAPERS["A4"])[1].texts())


@pytest.mark.parametrize(
    ("side", "scale"), [(150, "drawn 1:1 "), (400, "drawn 1:5,"), (3000, "drawn 1:20,")]
)
def test_what_is_too_large_is_drawn_smaller_and_says_so(side: float, scale: str) -> None:
    outline = at_datum(Outline.rounded([(0, 0, 9), (side, 0, 9), (side, side, 9), (0, side, 9)]))
    part: SheetPart = replace(gusset(), outline=outline)
    sheet, *_ = part_sheets(part, "A bike", PAPERS["A4"])
    assert any(scale in line for line in sheet.texts())
