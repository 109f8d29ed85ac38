"""Numbers of marks on the drawing: where their mark is, clear of all that is drawn."""

from __future__ import annotations

import numpy as np

from frame3d.fabrication.drawing import drawing_sheet
from frame3d.fabrication.on_tubes.balloons import numbered, points_of
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.silhouette import SIDE, TOP
from frame3d.paper.sheet import Sheet
from tests.fabrication.crossing import crossed
from tests.featured import one_tube, solved


def test_every_mark_is_numbered_and_no_line_runs_through_a_text() -> None:
    made = Maker(solved(), "A4", None)
    sheet = drawing_sheet(made.bike, made.facts, made.bike.frame.masses.parts)
    said = sheet.texts()
    for text in ("1", "2–3", "4–6", "7", "8–10", "11", "12", "13", "14"):
        assert text in said
    assert crossed(sheet.entities(), through=("CENTRE",)) == []


def test_a_mark_is_shown_in_the_view_that_it_faces() -> None:
    for angle, right in ((-90, 0.0), (0, 0.0), (90, 500.0)):
        made = Maker(one_tube({"kind": "vent", "from_start": 150, "angle": angle}), "A4", None)
        sheet = Sheet("it", "", 1000, 300)
        views = [
            (SIDE, lambda p: (p[0] + 300.0, p[1])),
            (TOP, lambda p: (p[0] + 800.0, p[1] + 100.0)),
        ]
        numbered(sheet, made.marks, views)
        (line,) = [e for e in sheet.entities() if e.dxftype() == "LINE"]
        assert abs(line.dxf.end.x - (250.0 + right)) < 1e-9


def test_what_the_left_stay_alone_has_is_shown_from_above() -> None:
    """From the drive side the right stay hides it; what both have is shown on the right one."""
    own = {
        "chainstay": {"brake": {"kind": "flat_mount", "from_end": 90}},
        "seatstay": {"rack": {"kind": "eye", "from_end": 150, "angle": 90}},
    }
    made = Maker(solved(own), "A4", None)
    sheet = Sheet("it", "", 3000, 1000)
    views = [
        (SIDE, lambda p: (p[0] + 1000.0, p[1] + 300.0)),
        (TOP, lambda p: (p[0] + 2500.0, p[1] + 300.0)),
    ]
    numbered(sheet, made.marks, views)
    assert sorted(sheet.texts()) == ["1–2", "3"]
    ends = {round(e.dxf.end.x) for e in sheet.entities() if e.dxftype() == "LINE"}
    assert {x > 1600 for x in ends} == {True, False}
    assert len([x for x in ends if x > 1600]) == 2


def test_a_row_has_one_circle() -> None:
    row = {"kind": "vent", "from_start": 200, "count": 3, "spacing": 50}
    made = Maker(one_tube(row), "A4", None)
    sheet = Sheet("it", "", 600, 300)
    numbered(sheet, made.marks, [(SIDE, lambda p: (p[0] + 300.0, p[1]))])
    kinds = [e.dxftype() for e in sheet.entities()]
    assert (kinds.count("CIRCLE"), kinds.count("LINE")) == (1, 3)
    assert sheet.texts() == ["1–3"]


def test_points_cover_lines_arcs_and_texts() -> None:
    sheet = Sheet("it", "", 100, 100)
    sheet.line((0, 0), (10, 0), "STRIP")
    sheet.box(20, 20, 10, 10, "STRIP")
    sheet.circle((60, 60), 5.0, "STRIP")
    sheet.text((80, 10), "word", 4.0, turn=90.0)
    points = points_of(sheet)
    for at in ((5, 0), (20, 25), (25, 30), (60, 65), (80, 14)):
        assert np.hypot(points[:, 0] - at[0], points[:, 1] - at[1]).min() < 1.1
    assert points_of(Sheet("it", "", 10, 10)).shape == (0, 2)
