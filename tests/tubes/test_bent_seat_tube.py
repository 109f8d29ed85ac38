"""A seat tube bent in an S: on the chart's axis at its top, elsewhere at its bottom."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.seatpost import bore_limit
from frame3d.bike.solve import solve
from frame3d.chart.givens import top_tube
from frame3d.errors import FrameError
from frame3d.geometry.vector import vector
from frame3d.parameters.reading.reader import load
from frame3d.solids.build_parts import make
from frame3d.tubes.seats import straight_below

CONFIGS = Path(__file__).parents[2] / "configs"
BENDS = "tubes.seat_tube.bends=[{along: 90, rise: 20, radius: 200}, {along: 190, radius: 220}]"
OFFSET = "geometry.seat_tube_offset=25"


@cache
def bike(*sets: str) -> Bike:
    return solve(load(CONFIGS / "trail_hardtail_29.yaml", sets=sets))


def chart_axis(made: Bike) -> np.ndarray:
    """Direction of the chart's axis, upwards."""
    angle = made.chart["actual_seat_tube_angle"]
    assert angle is not None
    turn = np.radians(angle)
    return np.array([-np.cos(turn), 0.0, np.sin(turn)])


@pytest.mark.parametrize("more", [(), (OFFSET,)], ids=["through the shell", "beside it"])
def test_top_is_the_charts_and_bottom_the_shells(more: tuple[str, ...]) -> None:
    made = bike(BENDS, *more)
    axis = made.tube("seat_tube").axis
    assert axis.end == pytest.approx(made.nodes["seat_tube_top"])
    assert axis.tangent(axis.length) == pytest.approx(chart_axis(made))
    assert axis.start == pytest.approx((0, 0, 0))
    assert made.tube("seat_tube").start.target == "bottom_bracket"
    for key, value in bike(*more).chart.items():
        assert made.chart[key] == pytest.approx(value, abs=1e-6) or key.startswith("standover")


def test_corners_count_along_the_charts_axis_from_its_foot() -> None:
    """Both legs about the first corner meet 90 mm up from the foot and 20 mm forward of the axis."""
    made = bike(BENDS, OFFSET)
    axis, up = made.tube("seat_tube").axis, chart_axis(made)
    top = vector(made.nodes["seat_tube_top"])
    foot = top - (top @ up) * up
    assert np.linalg.norm(foot) == pytest.approx(25.0)
    forward = np.array([up[2], 0.0, -up[0]])
    corner = foot + 90 * up + 20 * forward
    lean = corner / np.linalg.norm(corner)
    assert axis.tangent(0.0) == pytest.approx(lean)
    last = foot + 190 * up
    middle = axis.at(axis.starts[2] + axis.pieces[2].length / 2)
    leg = (last - corner) / np.linalg.norm(last - corner)
    assert np.linalg.norm(np.cross(middle - corner, leg)) < 1e-9


def test_the_post_goes_down_to_the_last_bend() -> None:
    """An arc takes R tan(θ/2) of each leg: any handbook of mathematics."""
    made = bike(BENDS)
    seat = made.tube("seat_tube")
    turn = math.atan2(20, 100)
    straight = 430 - 190 - 220 * math.tan(turn / 2)
    assert seat.axis.length - straight_below(seat) == pytest.approx(straight)
    limit = bore_limit(made, 31.6)
    assert limit is not None
    assert limit.value == pytest.approx(straight)
    assert limit.by == "the seat tube's bend"
    thick = bike(BENDS, "tubes.seat_tube.wall=1.7", "build.seatpost.insertion=300")
    (bore,) = (b for b in thick.bores if b.tube == "seat_tube")
    assert bore.depth == pytest.approx(straight)


def test_a_short_straight_top_is_warned_of() -> None:
    bends = "tubes.seat_tube.bends=[{along: 290, rise: 10, radius: 150}, {along: 365, radius: 150}]"
    said = [note.message for note in bike(bends).notes if "bends" in note.message]
    assert len(said) == 1
    assert "goes in by 63 mm at least" in said[0]


def test_mass_is_that_of_its_solid() -> None:
    made = bike(BENDS, "tubes.seat_tube.wall=1.6")
    (part,) = (p for p in make(made).parts if p.name == "seat_tube")
    assert made.frame.masses.parts["seat_tube"] == pytest.approx(part.mass, rel=1e-3)


def test_it_may_start_anywhere_along_another_tube() -> None:
    start = "tubes.seat_tube.start={on: down_tube, from_start: 60}"
    bends = "tubes.seat_tube.bends=[{along: 130, radius: 160}]"
    made = bike(start, bends, "tubes.down_tube.bends=[]")
    seat, down = made.tube("seat_tube"), made.tube("down_tube")
    assert seat.start.target == "down_tube"
    assert seat.axis.start == pytest.approx(tuple(down.axis.at(60.0)))
    assert seat.axis.tangent(seat.axis.length) == pytest.approx(chart_axis(made))


@pytest.mark.parametrize(
    ("start", "words"),
    [
        ("{on: down_tube, from_start: 60}", "or give the seat tube bends"),
        ("{on: down_tube, angle: 60}", "from_start: 60"),
    ],
)
def test_a_place_along_another_tube_needs_bends_and_a_distance(start: str, words: str) -> None:
    bends = "[{along: 130, radius: 160}]" if "angle" in start else "[]"
    with pytest.raises(FrameError) as caught:
        bike(f"tubes.seat_tube.start={start}", f"tubes.seat_tube.bends={bends}")
    assert any(words in fault.hint for fault in caught.value.faults)


def test_standover_is_that_of_the_placed_tube() -> None:
    """The chart's relations of a straight seat tube do not hold for it; higher up it is the same tube."""
    made = bike(BENDS)
    assert top_tube(made.spec) is None
    assert made.chart["standover"] == pytest.approx(bike().chart["standover"], abs=1e-3)
