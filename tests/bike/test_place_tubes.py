"""Placing a whole frame: names, pairs, materials, and the places of faults."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import TubeError
from frame3d.geometry.vector import mirrored
from frame3d.parameters import load
from frame3d.tubes.cuts.mitre import MitreCut
from frame3d.tubes.placing.context import other_side
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_chart, hardtail_data, hardtail_layout
from tests.tubes.placing import NODES, from_data, image, with_tubes

PAIRS = ("chainstay", "seatstay", "strut")


@pytest.fixture(scope="module")
def hardtail() -> PlacedTubes:
    return from_data(hardtail_data())


def test_names_and_build_order(hardtail: PlacedTubes) -> None:
    assert [t.name for t in hardtail.tubes] == [
        "head_tube",
        "seat_tube",
        "down_tube",
        "top_tube",
        "chainstay_left",
        "chainstay_right",
        "seatstay_left",
        "seatstay_right",
        "seatstay_bridge",
        "chainstay_bridge",
    ]
    assert [t.side for t in hardtail.tubes[4:6]] == ["left", "right"]


def assert_mirrored(left: Tube, right: Tube) -> None:
    s = np.linspace(-10.0, left.axis.length + 10.0, 40)
    flip = np.array([1.0, -1.0, 1.0])
    assert right.axis.points(s) == pytest.approx(left.axis.points(s) * flip, abs=1e-9)
    assert right.section == left.section
    for mine, theirs in ((left.start, right.start), (left.end, right.end)):
        assert theirs.point == mirrored(mine.point)
        assert theirs.target == other_side(mine.target, PAIRS)
        assert (theirs.cut, theirs.offset) == (mine.cut, mine.offset)
        assert (theirs.long_point, theirs.short_point) == (mine.long_point, mine.short_point)


def test_pairs_are_mirror_images(hardtail: PlacedTubes) -> None:
    for key in ("chainstay", "seatstay"):
        left, right = image(hardtail, key)
        assert_mirrored(left, right)
        assert left.start.point[1] > 0
        assert right.cut_by == tuple(other_side(name, PAIRS) for name in left.cut_by)


@given(
    y=st.floats(20.0, 34.0),
    bow=st.floats(30.0, 60.0),
    rise=st.floats(-20.0, 20.0),
    along=st.floats(120.0, 260.0),
    height=st.floats(14.0, 32.0),
)
@settings(max_examples=15, deadline=None)
def test_a_bike_is_its_own_mirror_image(
    y: float, bow: float, rise: float, along: float, height: float
) -> None:
    """Turned about, the bike has the same sides: bridges end where the stays are."""
    data = hardtail_data()
    stay = data["tubes"]["chainstay"]
    stay["start"]["y"] = y
    stay["bends"] = [{"along": along, "y": bow, "rise": rise, "radius": 150.0}]
    stay["od"]["start"]["height"] = height
    placed = from_data(data)
    left, right = image(placed, "chainstay")
    assert_mirrored(left, right)
    bridge = next(t for t in placed.tubes if t.key == "chainstay_bridge")
    assert bridge.end.point == pytest.approx(mirrored(bridge.start.point), abs=1e-9)
    assert bridge.end.long_point == pytest.approx(bridge.start.long_point, abs=1e-6)
    assert bridge.end.angle == pytest.approx(bridge.start.angle, abs=1e-9)
    # The right stay's own cut, worked out afresh, is the mirrored one.
    assert placed.shell is not None
    assert MitreCut(right, "start", placed.shell).extremes() == pytest.approx(
        (left.start.long_point, left.start.short_point), abs=1e-6
    )


def test_pair_on_one_tube_that_serves_both_sides() -> None:
    """On a beam across the bike the angle toward its end turns round from left to right."""
    beam = {"start": {"at": [-250.0, -90.0, 500.0]}, "end": {"at": [-250.0, 90.0, 500.0]}}
    strut = {
        "pair": True,
        "start": {"on": "beam", "from_end": 50.0},
        "end": {"on": "seatstay", "from_start": 150.0},
    }
    left, right = image(with_tubes(beam=beam, strut=strut), "strut")
    assert_mirrored(left, right)
    assert left.start.angle is not None
    assert right.start.angle == pytest.approx(180.0 - left.start.angle)
    assert left.end.target == "seatstay_left"
    assert right.end.target == "seatstay_right"


def test_free_ends_are_warned_of() -> None:
    placed = with_tubes(
        strut={
            "start": {"at": [-200.0, 0.0, 600.0]},
            "end": {"on": "top_tube", "from_start": 90.0},
        },
        other={
            "start": {"at": list(placed_point("top_tube", 200.0))},
            "end": {"on": "down_tube", "from_start": 300.0},
        },
    )
    assert [(n.path, n.message) for n in placed.notes] == [
        ("tubes.strut.start", "the start of strut touches no other part")
    ]


def placed_point(name: str, s: float) -> tuple[float, ...]:
    return tuple(hardtail_layout().tube(name).axis.at(s).tolist())


def test_material_and_colour_of_a_tube_and_of_the_frame() -> None:
    data = hardtail_data()
    data["tubes"]["top_tube"] |= {"material": "Ti-3Al-2.5V", "colour": "#112233"}
    data |= {"material": {"name": "AlSi10Mg", "density_g_cm3": 2.67}, "colour": "#aabbcc"}
    tubes = {t.name: t for t in from_data(data).tubes}
    top, seat = tubes["top_tube"], tubes["seat_tube"]
    assert (top.material, top.density, top.colour) == ("Ti-3Al-2.5V", 4.48, "#112233")
    assert (seat.material, seat.density, seat.colour) == ("AlSi10Mg", 2.67, "#aabbcc")


def test_a_file_without_tubes_has_none() -> None:
    data = hardtail_data()
    data["tubes"] = {}
    placed = from_data(data)
    assert placed.tubes == ()
    assert placed.bores == ()


def test_same_result_on_every_run(hardtail: PlacedTubes) -> None:
    assert from_data(hardtail_data()) == hardtail


def test_faults_name_their_lines(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(
        "format: 1\n"
        "name: Lines\n"
        "geometry: {}\n"
        "tubes:\n"
        "  head_tube: {od: 50, wall: 3}\n"
        "  strut:\n"
        "    start: {on: hed_tube, below_top: 20}\n"
        "    end:\n"
        "      on: head_tube\n"
        "      below_top: 180\n"
        "    od: 20\n"
        "    wall: 1\n"
        "  brace:\n"
        "    start: {at: [0, 0, 0]}\n"
        "    end: {on: head_tube, below_top: 180}\n"
        "    od: 20\n"
        "    wall: 1\n"
    )
    with pytest.raises(TubeError) as caught:
        place_tubes(load(file), NODES, hardtail_chart())
    places = [(f.place.line, f.place.text.strip()) for f in caught.value.faults if f.place]
    assert places == [
        (7, "start: {on: hed_tube, below_top: 20}"),
        (15, "end: {on: head_tube, below_top: 180}"),
    ]
