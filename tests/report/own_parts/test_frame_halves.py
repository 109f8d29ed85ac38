"""Front and rear triangle: which tubes are whose, and figures of the bike's own chart."""

from __future__ import annotations

import pytest

from frame3d import load, solve
from frame3d.report.meshes import Meshes
from frame3d.report.own_parts.frame_halves import front_triangle, rear_names, rear_triangle
from frame3d.report.own_parts.picture import picture
from frame3d.report.texts import texts
from frame3d.tubes.mass import masses_of
from tests.report.own_parts.samples import demo, said
from tests.report.samples import CONFIGS, bare, minimal_bike

SAY = texts()


def test_a_hardtails_rear_is_its_stays_and_what_sits_on_them_alone() -> None:
    assert rear_names(demo("trail_hardtail_29").bike) == {
        "chainstay_left", "chainstay_right", "seatstay_left", "seatstay_right",
        "chainstay_bridge", "seatstay_bridge",
    }  # fmt: skip


def test_a_suspended_rear_is_what_moves_with_its_links() -> None:
    names = rear_names(demo("trail_full_140").bike)
    assert {"chainstay_left", "seatstay_right", "plate_rocker_left"} <= names
    assert "lug_rear_pivot_seatstay_link_left" in names
    assert not names & {"pivot_strut", "seat_tube", "housing_main_pivot"}
    assert "lug_shock_front_frame_left" not in names


@pytest.mark.parametrize("name", ["trail_hardtail_29", "trail_full_140", "adventure_rigid"])
def test_front_triangles_size_is_the_charts(name: str) -> None:
    data = demo(name)
    chart = data.bike.chart
    words = said(front_triangle(data, SAY))
    assert f"{chart['reach']:.1f} mm ahead of the cranks' axle (reach)" in words
    assert f"{chart['stack']:.1f} mm above it (stack)" in words


def test_what_a_hardtail_is_made_of() -> None:
    """Its masses are those of the tubes, and both halves together the frame's."""
    bike = demo("trail_hardtail_29").bike
    grams = masses_of(bike.frame).parts
    data = bare(bike, meshes=Meshes((), grams, {}, None, b""))
    behind = sum(g for name, g in grams.items() if "stay" in name)
    front, rear = said(front_triangle(data, SAY)), said(rear_triangle(data, SAY))
    assert "made of head tube, seat tube, down tube and top tube; " in front
    assert f"weighs {sum(grams.values()) - behind:.0f} g" in front
    assert "made of chainstays, seatstays, seatstay bridge and chainstay bridge; " in rear
    assert f"weighs {behind:.0f} g" in rear
    assert "one piece with the front triangle" in rear
    assert (
        "axle it is 432.0 mm; between its ends fits a hub 148 mm wide on an axle of 12 mm" in rear
    )


def test_how_a_suspended_rear_moves() -> None:
    """Four bars: three moving links on four pivots; figures of linkage and chart."""
    data = demo("trail_full_140")
    assert data.bike.linkage is not None
    assert data.travelled is not None
    assert data.bike.sagged is not None
    words, sag = said(rear_triangle(data, SAY)), data.travelled.sag
    assert sag is not None
    assert "by 3 links on 4 pivots" in words
    assert f"rise by {data.bike.linkage.full_travel:.0f} mm" in words
    assert f"risen by {sag.travel:.1f} mm of that ({100 * sag.travel_share:.0f} %)" in words
    static, sagged = (c["chainstay_length"] for c in (data.bike.chart, data.bike.sagged.chart))
    assert f"it is {static:.1f} mm, and {sagged:.1f} mm with your weight" in words


def test_a_bike_of_which_the_file_says_little() -> None:
    data = bare(minimal_bike())
    front, rear = front_triangle(data, SAY), rear_triangle(data, SAY)
    assert "made of" not in said(front) + said(rear)
    assert "hub" not in said(rear)
    assert front.lit.areas == rear.lit.areas == ()
    assert front.lit.lines == data.side.front_lines
    assert rear.lit.lines == data.side.rear_lines


def test_pictures_share_the_frame_out() -> None:
    data = demo("trail_full_140")
    front, rear = front_triangle(data, SAY), rear_triangle(data, SAY)
    frame = [o for o in data.side.outlines if o.family == "frame"]
    assert len(front.lit.areas[0]) + len(rear.lit.areas[0]) == (
        sum(len(o.pieces) for o in frame) + len(data.side.dropout_solids())
    )


def test_a_rear_without_tubes_is_drawn_as_lines() -> None:
    """A front triangle alone: a file that is half written still has its page."""
    data = bare(solve(load(CONFIGS.parent / "tests" / "live" / "small.yaml")))
    rear, front = rear_triangle(data, SAY), front_triangle(data, SAY)
    assert rear.lit.areas == ()
    assert rear.lit.lines == data.side.rear_lines
    assert front.lit.areas
    assert str(picture(data.side, rear.lit, "rear")).startswith("<svg")
