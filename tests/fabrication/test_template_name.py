"""The tube's name on its template: within the paper that is cut out, and where there is room for it."""

from __future__ import annotations

import pytest

from frame3d.fabrication.pack import Maker
from frame3d.fabrication.template import panels_of
from frame3d.fabrication.template_name import LEAST
from frame3d.fabrication.template_sheets import sheets_of
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.bikes import demo
from tests.fabrication.crossing import crossed


@pytest.mark.parametrize("name", ["seatstay_left", "chainstay_left", "down_tube"])
def test_each_end_says_whose_it_is(name: str) -> None:
    bike = demo("trail_hardtail_29")
    maker = Maker(bike, "A4", None)
    facts = next(one for one in maker.facts if one.tube.name == name)
    panels = panels_of(facts, maker.cuttings[name], maker.bodies)
    sheets = sheets_of(facts, panels, bike, PAPERS["A4"], maker.bodies)
    said = [
        e for sheet in sheets for e in sheet.entities()
        if e.dxftype() == "TEXT" and e.dxf.text.startswith(name.replace("_", " "))
    ]  # fmt: skip
    ends = [panel for panel in panels if panel.straight is not None and panel.width / 4 >= LEAST]
    assert len(said) == len(ends) == 2
    assert all(abs(e.dxf.rotation - 90.0) < 1e-9 for e in said)
    for sheet in sheets:
        assert crossed(sheet.entities(), through=("CENTRE",)) == []
