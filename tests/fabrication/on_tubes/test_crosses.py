"""Crosses at the middles of marks, their numbers where nothing is drawn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.fabrication.on_tubes.crosses import ARM, crosses_on
from frame3d.fabrication.on_tubes.marking import marking_of
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.template import Panel
from frame3d.paper.sheet import Sheet
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import texts
from tests.featured import one_tube


def panel() -> Panel:
    row = {"kind": "port", "from_start": 200, "count": 4, "spacing": 20, "width": 9, "length": 14}
    made = Maker(one_tube(row), "A4", None)
    return marking_of(made.facts[0], made.marks).panels[0]


def test_a_cross_stands_at_each_middle() -> None:
    made, sheet = panel(), Sheet("it", "", 200, 300)
    crosses_on(sheet, made, (100.0, -60.0), (made.low, made.high))
    lines = [e for e in sheet.entities() if e.dxftype() == "LINE"]
    middles = {
        ((e.dxf.start.x + e.dxf.end.x) / 2, (e.dxf.start.y + e.dxf.end.y) / 2) for e in lines
    }
    for _, x, y in made.crosses:
        assert any(np.hypot(x + 100 - a, y - 60 - b) < 1e-9 for a, b in middles)
    assert all((e.dxf.end - e.dxf.start).magnitude == pytest.approx(2 * ARM) for e in lines)


def test_numbers_stand_clear_of_edges_crosses_and_each_other() -> None:
    made, sheet = panel(), Sheet("it", "", 200, 300)
    for path in made.outer:
        sheet.path(path + np.array([100.0, -60.0]), "CUT")
    crosses_on(sheet, made, (100.0, -60.0), (made.low, made.high))
    assert texts(sheet) == ["1", "2", "3", "4"]
    assert crossed(sheet.entities(), through=()) == []


def test_only_what_the_page_shows_is_drawn() -> None:
    made, sheet = panel(), Sheet("it", "", 200, 300)
    crosses_on(sheet, made, (100.0, -60.0), (made.low, made.crosses[1][2] + 12.0))
    assert texts(sheet) == ["1", "2"]
    crosses_on(sheet, replace(made, crosses=()), (100.0, -60.0), (made.low, made.high))
    assert texts(sheet) == ["1", "2"]
