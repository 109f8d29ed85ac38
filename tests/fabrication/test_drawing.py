"""The drawing: A3 at the scale that it states, its tables, the mass of the whole frame."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import ezdxf
import numpy as np
import pdfplumber
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.fabrication.drawing import EDGE, WIDTH, drawing_sheet, frame_grams, outlines
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.tube_facts import TubeFacts, plain
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP, Sheet
from frame3d.parameters.reading.reader import loads
from frame3d.tubes.mass import masses_of
from tests.fabrication.samples import SMALL, pack, texts
from tests.frames import bar, context

POINT = 72 / 25.4


@cache
def drawn() -> tuple[Bike, list[TubeFacts], Sheet]:
    """The drawing of a front triangle."""
    bike = solve(loads(SMALL))
    facts = Maker(bike, "A4", None).facts
    return bike, facts, drawing_sheet(bike, facts, masses_of(bike.frame).parts)


def test_the_drawing_is_a3_at_the_scale_that_it_states() -> None:
    layout, made = pack("trail_hardtail_29")
    with pdfplumber.open(io.BytesIO(made.files["drawing.pdf"])) as read:
        page = read.pages[0]
        assert (page.width / POINT, page.height / POINT) == pytest.approx((420, 297), abs=1e-3)
        text = page.extract_text()
    scale = float(re.search(r"1:(\d+)", text)[1])  # type: ignore[index]
    doc = ezdxf.read(io.StringIO(made.files["drawing.dxf"].decode()))  # type: ignore[attr-defined]
    arcs = [e for e in doc.modelspace() if e.dxftype() == "ARC" and e.dxf.layer == "PHANTOM"]
    # The two tyres' arcs stand about the axles: as far apart as the wheelbase, with the wheels' radii.
    rear, front = sorted(arcs, key=lambda e: e.dxf.center.x)
    wheelbase = layout.chart["wheelbase"]
    assert (front.dxf.center.x - rear.dxf.center.x) * scale == pytest.approx(wheelbase, abs=1e-6)
    assert rear.dxf.radius * scale == pytest.approx(372.0)
    for figure in ("reach", "stack", "wheelbase", "chainstay_length", "bb_drop"):
        assert f"{layout.chart[figure]:.1f}" in text
    said = [e.dxf.text for e in doc.modelspace() if e.dxftype() == "TEXT"]
    assert said[said.index("chainstay") + 4] == "2"  # one row for a pair


def test_tables_say_chart_tubes_and_parts() -> None:
    bike, facts, sheet = drawn()
    said = texts(sheet)
    assert sum(value is not None for value in bike.chart.values()) > 20
    for name, value in bike.chart.items():
        if value is not None:
            assert any(text.startswith(f"{value:.1f}"[:-1]) for text in said), name
    for one in facts:
        at = said.index(plain(one.tube.key))
        assert said[at + 3 : at + 5] == [f"{one.long_to_long:.1f}", "1"]
    assert "bottom bracket shell" in said


def test_a_long_name_stands_in_the_title_block() -> None:
    bike = context({"one": bar(30.0, (0, 0, 0), (300, 0, 100), 1.0)})
    spec = bike.spec.model_copy(update={"name": "A very long name of a bike " * 4})
    sheet = drawing_sheet(replace(bike, spec=spec), [], {})
    names = [e for e in sheet.entities() if e.dxftype() == "TEXT" and "very long" in e.dxf.text]
    assert len(names) == 2
    for e in names:
        end = e.get_placement()[1].x + text_width(e.dxf.text, e.dxf.height / CAP, bold=True)
        assert end < WIDTH - EDGE - 20  # clear of the symbol of projection


def test_the_whole_frame_weighs_its_parts_by_hand() -> None:
    """A bar and a tube of 4130, 7.85 g/cm³; what is known already is not weighed again."""
    bike = context(
        {"bar": bar(20.0, (0, 0, 0), (300, 0, 0)), "pipe": bar(30.0, (0, 90, 0), (300, 90, 0), 2.0)}
    )
    solid = np.pi * 10**2 * 300 * 7.85e-3
    pipe = np.pi * (15**2 - 13**2) * 300 * 7.85e-3
    assert frame_grams(bike, {}) == pytest.approx(solid + pipe, rel=1e-3)
    assert frame_grams(bike, {"bar": 1000.0}) == pytest.approx(1000 + pipe, rel=1e-3)


def test_bores_are_drawn_where_they_are_seen() -> None:
    """A tube is drawn solid, but for the seat tube, which stands open."""
    bike = context(
        {"pipe": bar(30.0, (0, 90, 0), (300, 90, 0), 2.0), "seat_tube": {"od": 34.9, "wall": 1.2}}
    )
    meshes = outlines(bike)
    seat = bike.tube("seat_tube")
    assert meshes["pipe"].volume == pytest.approx(np.pi * 15**2 * 300, rel=2e-3)
    walls = np.pi * (17.45**2 - 16.25**2) * seat.axis.length
    assert meshes["seat_tube"].volume == pytest.approx(walls, rel=0.05)
