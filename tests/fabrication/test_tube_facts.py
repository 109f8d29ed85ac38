"""Lengths, butts, twist and lines of a tube, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.fabrication.tube_facts import carried_to, line_name, section_text, wall_text
from tests.fabrication.bars import between, facts
from tests.fabrication.bikes import demo
from tests.frames import bar, context


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


def test_a_wall_that_thickens_inward_is_no_butt_there() -> None:
    wall = {"butted": [0.6, 1.0], "lengths": [100], "transition": 30}
    first, last = facts(between(wall), "middle").butts
    assert first is None
    assert last is not None
    assert last.length == pytest.approx(300 - 2 * 17.320508 - 130)


def test_sections_are_told_with_their_corners() -> None:
    layout = context({
        "box": bar({"height": 40, "width": 30, "corner": 4.5}, (0, 0, 0), (300, 0, 0), 2.0),
        "d": bar({"height": 34, "width": 30, "corner": 4, "flat": "below"}, (0, 0, 90), (300, 0, 90)),
    })  # fmt: skip
    assert section_text(layout.tube("box")) == "40 × 30 rect. R4.5"
    assert section_text(layout.tube("d")) == "34 × 30 D R4"
    assert wall_text(layout.tube("box")) == "2"


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
