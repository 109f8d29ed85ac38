"""The fixture sheet: settings by hand, diagonals, what a millimetre does."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import replace

import numpy as np
import pytest

from frame3d.fabrication.diagonals import parts_of
from frame3d.fabrication.fixture import DATUM, figures_of, fixture_csv, fixture_sheet
from frame3d.paper.page_elements import MARGIN, PAPERS
from tests.fabrication.bikes import demo
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import texts
from tests.formats import suspended


def test_the_fixture_sheet_by_hand() -> None:
    rows = dict(figures_of(demo()))
    # Chainstay 432 with a drop of 62: √(432² − 62²) = 427.53 horizontally.
    assert rows["chainstay, horizontal"] == "427.53 mm"
    assert rows["rear axle above the datum"] == "62.00 mm"
    # The file: down tube 50 above the head tube's bottom, top tube 48 below the seat tube's top of 430.
    assert rows["down tube from the head tube's bottom"] == "50.00 mm"
    assert rows["top tube from the seat tube's start"] == "382.00 mm"
    assert rows["dummy rear axle"] == "148 wide, 12 mm"
    # Fork: 535 straight with 44 offset is √(535² − 44²) = 533.19 along the axis.
    assert rows["dummy fork, axle to crown along the axis"] == "533.19 mm"


def test_the_fixture_sheet_says_where_the_rear_suspension_turns() -> None:
    layout = suspended.layout()
    rows = dict(figures_of(layout))
    linkage = layout.linkage
    assert linkage is not None
    for name, (x, z) in linkage.drawn.items():
        if name in layout.nodes:
            continue
        (said,) = [value for what, value in rows.items() if what.startswith(name.replace("_", " "))]
        assert said == f"x {x:.2f}  z {z:.2f} mm"
    # Between the shock's own two points, by Pythagoras.
    apart = math.dist(*(linkage.drawn[end] for end in linkage.shock))
    assert rows["dummy shock, eye to eye, full length"] == f"{apart:.2f} mm" == "210.00 mm"
    assert not any("shock" in what for what in dict(figures_of(demo())))


def test_the_fixture_sheets_csv_says_all_that_the_sheet_says() -> None:
    text = fixture_csv(demo()).decode()
    rows = {row["what"]: row for row in csv.DictReader(io.StringIO(text))}
    parts = {part.what: part for part in parts_of(demo())}
    for what, part in parts.items():
        assert part.trail is not None
        assert float(rows[what]["trail_mm_per_mm"]) == pytest.approx(part.trail, abs=6e-4)
        assert float(rows[what]["head_angle_deg_per_mm"]) == pytest.approx(
            part.head_angle, abs=6e-5
        )
    assert all(len(row) == 7 for row in csv.reader(io.StringIO(text)))


def number(said: str) -> float:
    return float(said.partition(" ")[0].rstrip("°"))


@pytest.mark.parametrize("bike", [demo, suspended.layout], ids=["hardtail", "four links"])
def test_settings_lead_to_the_same_frame(bike: object) -> None:
    """The head tube found again from its distance to the datum, its angle and its length."""
    assert callable(bike)
    layout = bike()
    rows = dict(figures_of(layout))
    angle = np.radians(number(rows["head tube angle"]))
    up = np.array([-np.cos(angle), np.sin(angle)])
    ahead = np.array([up[1], -up[0]])
    foot = number(rows["head tube axis from the datum, square"]) * ahead
    low = foot + number(rows["  and from that foot up to the bottom"]) * up
    high = low + number(rows["head tube length"]) * up
    for found, node in ((low, "head_tube_bottom"), (high, "head_tube_top")):
        x, _, z = layout.nodes[node]
        assert found == pytest.approx((x, z), abs=0.08)
    race = low - number(rows["lower headset stack"]) * up
    axle = race - number(rows["dummy fork, axle to crown along the axis"]) * up
    axle = axle + number(rows["dummy fork, offset"]) * ahead
    x, _, z = layout.nodes["front_axle"]
    assert axle == pytest.approx((x, z), abs=0.15)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_has_every_setting_and_the_datum(paper: str) -> None:
    sheet = fixture_sheet(demo(), PAPERS[paper])
    said = texts(sheet)
    for what, value in figures_of(demo()):
        assert value in said, what
    assert any(DATUM in text for text in said)
    assert [text for text in said if text in tuple("12345678")][:8] == list("12345678")
    assert crossed(sheet.entities(), through=("CENTRE", "CUT_INNER", "STRIP")) == []
    for e in sheet.entities():
        if e.dxftype() == "CIRCLE":
            assert e.dxf.center.x - e.dxf.radius > MARGIN
            assert e.dxf.center.x + e.dxf.radius < sheet.width - MARGIN


def test_what_a_bike_has_not_is_not_set() -> None:
    chart = dict(demo().chart) | {"lower_headset_stack": None}
    bare = replace(demo(), chart=chart)
    rows = dict(figures_of(bare))
    assert "lower headset stack" not in rows
    assert "head tube angle" in rows
