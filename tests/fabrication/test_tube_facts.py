"""Lengths, butts, twist and lines of a tube, by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.fabrication.cut_list import (
    butt_warnings,
    cut_list_csv,
    cut_list_sheets,
    feather_warnings,
)
from frame3d.fabrication.tube_facts import TubeFacts, carried_to, facts_of, line_name
from frame3d.paper.page_elements import PAPERS
from frame3d.tubes.edge import Cutting, bodies_of
from tests.fabrication.bikes import demo
from tests.fabrication.crossing import crossed
from tests.frames import bar, context


def facts(layout: Bike, name: str) -> TubeFacts:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    return facts_of(tube, bodies, Cutting(tube, bodies))


def between(wall: Any = 1.0, lean: float = 0.0, od: float = 20.0) -> Bike:
    """A tube along x between two upright ones of 40 mm, 300 mm apart; the far one leans sideways."""
    turn = np.radians(lean)
    side, up = 200 * np.sin(turn), 200 * np.cos(turn)
    return context(
        {
            "near": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "far": bar(40.0, (300, -side, -up), (300, side, up)),
            "middle": bar(
                od, {"on": "near", "from_start": 200}, {"on": "far", "from_start": 200}, wall
            ),
        }
    )


def test_cut_length_between_two_square_joints() -> None:
    # By hand: each mitre of a 20 mm tube at 90° on 40 mm reaches from √(20² − 10²) = 17.3205 (long
    # point) to 20 (short point) from the axis; 300 mm between the axes.
    found = facts(between(), "middle")
    assert found.centre_to_centre == pytest.approx(300.0)
    assert found.long_to_long == pytest.approx(300 - 2 * 17.320508, abs=1e-5)
    assert found.short_to_short == pytest.approx(260.0, abs=1e-5)
    assert found.stock == 290.0  # 265.4 and 10 mm on each end, in whole 5 mm


def test_the_second_of_two_cuts_counts_in_both_lengths() -> None:
    """A 24 mm branch along x from the crossing of an upright 40 mm tube and a 30 mm one at 45°.

    By hand: in the plane y = 0 the slanting tube's upper side is x = z + 15 √2, so the branch's top
    (z = 12) is cut to 12 + 15 √2 = 33.2132, where the upright one alone would cut to 20. A bar of
    60 mm at x = 160 takes all of it that lies beyond.
    """
    crossing = {
        "stop": bar(60.0, (160, 0, -100), (160, 0, 100)),
        "one": bar(40.0, (0, 0, -200), (0, 0, 200)),
        "two": bar(30.0, (-141, 0, -141), (141, 0, 141)),
        "branch": bar(24.0, {"on": "one", "from_start": 200}, (170, 0, 0), 1.0),
    }
    short, long = 12 + 15 * np.sqrt(2), 16.0  # √(20² − 12²) at the branch's sides
    found = facts(context(crossing), "branch")
    # The stop's near side: x = 160 − 30 in the middle, 160 − √(30² − 12²) beside it.
    assert found.short_to_short == pytest.approx(130 - short, abs=1e-3)
    assert found.long_to_long == pytest.approx(160 - np.sqrt(900 - 144) - long, abs=1e-3)
    del crossing["stop"]
    found = facts(context(crossing), "branch")
    assert found.short_to_short == pytest.approx(170 - short, abs=1e-3)
    assert found.long_to_long == pytest.approx(170 - long, abs=1e-3)


def test_the_demos_down_tube_from_short_point_to_short_point() -> None:
    """It is mitred to the shell and then coped to the seat tube, which cuts it deepest."""
    found = facts(demo(), "down_tube")
    assert found.short_to_short == pytest.approx(686.50, abs=0.005)
    assert found.long_to_long == pytest.approx(729.92, abs=0.005)


@pytest.mark.parametrize("lean", [0.0, 30.0, -30.0, 90.0])
def test_twist_is_the_turn_from_one_mating_axis_to_the_other(lean: float) -> None:
    # The far tube leans to the left (+y) by `lean`. Seen along the tube (x forward), with the height
    # direction up, phi turns from the top to the left, so the twist is the lean itself.
    assert facts(between(lean=lean), "middle").twist == pytest.approx(lean, abs=1e-9)


def test_a_mitre_that_leaves_the_thick_wall_is_warned_of() -> None:
    # The mitre is 2.6795 mm deep: a butt of 2 mm ends inside it, one of 30 mm leaves 27.32.
    wall = {"butted": [1.0, 0.6, 1.0], "lengths": [30, 2], "transition": 30}
    layout = between(wall)
    found = facts(layout, "middle")
    first, last = found.butts
    assert first is not None
    assert last is not None
    assert (first.length, first.left) == pytest.approx((30.0, 30 - 2.679492), abs=1e-5)
    assert (last.length, last.left) == pytest.approx((2.0, 2 - 2.679492), abs=1e-5)
    (note,) = butt_warnings(layout, [found])
    assert "middle: the cut at its end leaves the 1 mm wall by 0.7 mm" in note.message
    assert "a butt of 3 mm" in note.message
    assert not butt_warnings(between(1.0), [facts(between(1.0), "middle")])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_short_butts_leave_room_for_their_figures(paper: str) -> None:
    layout = between({"butted": [1.0, 0.6, 1.0], "lengths": [7, 6], "transition": 5})
    bodies = bodies_of(layout.frame)
    cutting = Cutting(layout.tube("middle"), bodies)
    found = facts_of(layout.tube("middle"), bodies, cutting)
    (sheet,) = cut_list_sheets(
        layout, [found], {"middle": cutting}, {"middle": 100.0}, PAPERS[paper]
    )
    assert crossed(sheet.entities(), through=()) == []
    said = [e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT"]
    # 265.36 mm cut: thick to 7, thin from 12 to 11 before the end, thick over the last 6.
    assert {"7", "12", "254", "259", "265.4"} <= set(said)


def test_a_wall_that_thickens_inward_is_no_butt_there() -> None:
    wall = {"butted": [0.6, 1.0], "lengths": [100], "transition": 30}
    first, last = facts(between(wall), "middle").butts
    assert first is None
    assert last is not None
    assert last.length == pytest.approx(300 - 2 * 17.320508 - 130)


def test_lines_are_named_by_where_they_face() -> None:
    layout = between()
    tube, upright = layout.tube("middle"), layout.tube("near")
    assert [line_name(tube, 150.0, phi) for phi in (0, 90, 180, 270)] == [
        "top",
        "left",
        "bottom",
        "right",
    ]
    assert [line_name(upright, 9.0, phi) for phi in (0, 90, 180, 270)] == [
        "rear",
        "left",
        "front",
        "right",
    ]


@pytest.mark.parametrize(
    ("end", "names"),
    [
        # A down tube at 50 degrees and a top tube have a bottom, a seat tube at 73 has a front.
        ((300 * np.cos(np.radians(50)), 0, 300 * np.sin(np.radians(50))), "top bottom"),
        ((300 * np.cos(np.radians(73)), 0, 300 * np.sin(np.radians(73))), "front rear"),
        ((-400, 60, 0), "top bottom"),
        ((-160, 40, -300), "front rear"),
    ],
)
def test_four_lines_have_four_names(end: tuple[float, float, float], names: str) -> None:
    tube = context({"one": bar(20.0, (0, 0, 0), end, 1.0)}).tube("one")
    for turn in range(0, 90, 7):  # wherever the first of them lies
        found = [line_name(tube, 100.0, turn + quarter) for quarter in (0, 90, 180, 270)]
        assert sorted(found) == sorted([*names.split(), "left", "right"])
    assert {line_name(context({"one": bar(12.0, (0, 90, 0), (20, -90, 30), 1.0)}).tube("one"), 50.0,
                      phi) for phi in (0, 90, 180, 270)} == {"top", "bottom", "front", "rear"}  # fmt: skip


def test_a_line_scribed_before_bending_stays_where_it_is_in_a_flat_bend() -> None:
    flat = context({"bow": bar(20.0, (0, 0, 0), (-400, 60, 0), 1.0,
                             bends=[{"along": 150, "y": 60, "radius": 100}])}).tube("bow")  # fmt: skip
    assert carried_to(flat, flat.axis.length) == pytest.approx(0.0, abs=1e-9)


def test_the_cut_list_as_csv() -> None:
    layout = between()
    bodies = bodies_of(layout.frame)
    tube = layout.tube("middle")
    cutting = Cutting(tube, bodies)
    found = facts_of(tube, bodies, cutting)
    text = cut_list_csv([found], {"middle": cutting}, {"middle": 123.4}).decode().splitlines()
    row = dict(zip(text[0].split(","), text[1].split(","), strict=True))
    assert row["cut_length_mm"] == "265.36"
    assert (row["start_on"], row["start_angle_deg"], row["mass_g"]) == ("near", "90.00", "123.4")
    assert text[2].startswith('"# Geometry only')


def slow(angle: float) -> Bike:
    """A tube that meets an upright bar at so small an angle."""
    turn = np.radians(angle)
    far = (float(500 * np.sin(turn)), 0.0, float(500 * np.cos(turn)))
    return context(
        {
            "host": bar(40.0, (0, 0, -600), (0, 0, 600)),
            "brace": bar(12.0, {"on": "host", "from_start": 600}, far, 1.0),
        }
    )


def test_a_feather_edge_is_warned_of_by_every_command_and_on_the_cut_list() -> None:
    layout = slow(4.3)
    (note,) = [note for note in layout.notes if "feather" in note.message]
    # By hand: the middle planes' points lie (20 ± 6 cos θ) / sin θ along it, 12 / tan θ = 160 apart.
    assert (
        "brace: its cut to host runs out in a feather edge 160 mm long, under 15°" in note.message
    )
    tube, bodies = layout.tube("brace"), bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    one = facts_of(tube, bodies, cutting)
    sheets = cut_list_sheets(layout, [one], {"brace": cutting}, {"brace": 1.0}, PAPERS["A4"])
    said = " ".join(e.dxf.text for e in sheets[0].entities() if e.dxftype() == "TEXT")
    assert "feather edge 160 mm long" in said
    assert not any("feather" in note.message for note in slow(35.0).notes)


def test_a_feather_edge_beside_the_mitre_is_warned_of_in_the_pack() -> None:
    """A tube along x, mitred to an upright one; another, at 4°, shaves the underside of its far end."""
    low = -18.0 - 240.0 * float(np.tan(np.radians(4.0)))
    layout = context(
        {
            "host": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "under": bar(20.0, (300, 0, -18), (60, 0, low)),
            "branch": bar(24.0, {"on": "host", "from_start": 200}, (270, 0, 0), 1.0),
        }
    )
    tube, bodies = layout.tube("branch"), bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    one = facts_of(tube, bodies, cutting)
    (note,) = feather_warnings(layout, [one], {"branch": cutting})
    # In the middle plane the two meet where 18 + (300 − x) tan 4° − 10 / cos 4° = 12: 243 of 270.
    assert "branch: its cut to under runs out in a feather edge 28 mm long" in note.message
