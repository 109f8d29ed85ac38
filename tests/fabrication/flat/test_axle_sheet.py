"""Sheets of the pivots' axles."""

from __future__ import annotations

import pytest

from frame3d.fabrication.flat.axle_sheet import axle_sheets
from frame3d.fabrication.flat.axles import axles_of
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.flat.samples import trail
from tests.fabrication.flat.test_axles import HOUSED


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sets", [(), HOUSED])
def test_every_axle_is_there_and_legible(sets: tuple[str, ...], paper: str) -> None:
    axles = axles_of(trail(*sets))
    sheets = axle_sheets(axles, "axles", "Axles", "A bike", PAPERS[paper])
    said = [line for sheet in sheets for line in sheet.texts()]
    for axle in axles:
        name = axle.point.replace("_", " ").capitalize()
        assert sum(line.startswith(f"{name}:") for line in said) == 1
    for sheet in sheets:
        assert crossed(sheet.entities(), through=("CENTRE", "BUTT")) == []
        low = min(e.get_placement()[1].y for e in sheet.entities()
                  if e.dxftype() == "TEXT" and e.dxf.layer != "CAUTION")  # fmt: skip
        assert low > 9
    assert len({sheet.name for sheet in sheets}) == len(sheets) == 2


def test_no_axles_no_sheets() -> None:
    assert axle_sheets([], "axles", "Axles", "A bike", PAPERS["A4"]) == []
