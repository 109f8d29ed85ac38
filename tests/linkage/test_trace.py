"""Tracing the linkage along the stroke: the drawn branch is kept, and dead points are never passed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.linkage.trace import DeadPointError, poses, trace
from tests.linkage.bikes import four_bar, mechanism
from tests.linkage.test_motion import bases, four_bars, solvable


def test_few_strokes_find_the_same_branch_as_many() -> None:
    """A single far stroke is not jumped to on another branch."""
    made = four_bar(*bases)
    many = trace(made, np.linspace(0, 30, 301))
    few = trace(made, np.array([0.0, 30.0]))
    assert few.turn[:, -1] == pytest.approx(many.turn[:, -1], abs=1e-12)


def test_a_dead_point_of_the_shock_where_its_ends_line_up() -> None:
    """A swingarm on the origin, shock end at radius 100, other end at 200: no nearer than 100 mm."""
    end = 100 * np.exp(1j * np.radians(60))
    made = mechanism(
        {"o": 0j, "fix": 200 + 0j, "end": end, "rear_axle": -400 + 0j},
        {"frame": ["o", "fix"], "arm": ["o", "end"]},
        "arm",
        ("fix", "end"),
    )
    room = made.length - 100
    with pytest.raises(DeadPointError) as caught:
        trace(made, np.linspace(0, 1.2 * room, 50))
    assert caught.value.last.stroke[0] == pytest.approx(room, abs=1e-6)
    trace(made, np.linspace(0, 0.9999 * room, 50))


@settings(max_examples=40, deadline=None)
@given(st.floats(20, 70), st.floats(1, 15), st.integers(2, 400))
def test_a_change_point_is_never_passed_by_luck(angle: float, beyond: float, count: int) -> None:
    """A parallelogram whose crank comes down onto the ground line: told there, however many strokes."""
    a = 60 * np.exp(1j * np.radians(angle))
    made = four_bar(a, a + 100, 100 + 0j, -60 + 0j, 60 - 150j)
    room = abs(a - 60 + 150j) - 150
    with pytest.raises(DeadPointError) as caught:
        trace(made, np.linspace(0, room + beyond, count))
    assert caught.value.last.stroke[0] == pytest.approx(room, abs=1e-3)


@settings(max_examples=40, deadline=None)
@given(four_bars, st.integers(2, 6))
def test_few_strokes_lie_where_many_do(points: tuple[complex, ...], count: int) -> None:
    made, motion = solvable(points)
    few = trace(made, np.linspace(0, motion.stroke[-1], count))
    assert few.turn[:, -1] == pytest.approx(motion.track.turn[:, -1], abs=1e-9)


def test_the_drawn_pose_is_where_it_starts() -> None:
    made = four_bar(*bases)
    start = trace(made, np.linspace(0, 5, 6))[:1]
    assert start.turn == pytest.approx(np.zeros((3, 1)), abs=1e-12)
    assert start.turned == pytest.approx(np.ones((3, 1)), abs=1e-12)


def test_poses_on_the_branch_of_known_ones() -> None:
    """Shortened by 12 mm a four-bar has poses on other branches too; the one nearby is found."""
    made = four_bar(*bases)
    known = trace(made, np.linspace(0, 20, 21))
    strokes = np.array([11.5, 12.0])
    found, good, determinant = poses(made, strokes, known[np.array([11, 12])])
    assert good.all()
    assert (determinant != 0).all()
    assert made.misfit(found.turned, made.length - strokes).max() < 1e-9 * made.size
    assert found.turn[:, 1] == pytest.approx(known.turn[:, 12], abs=1e-10)
    _, beyond, _ = poses(made, np.array([-1000.0]), known[-1:])
    assert not beyond.any()  # a metre further apart than the links allow


def test_a_coarse_smallest_step_ends_earlier() -> None:
    """The dead point at 8.4397 mm (shock in line with its crank, by Pythagoras) is found to the step."""
    made = mechanism(
        {"o": 100 + 0j, "b": 100 + 60j, "fix": 200j, "rear_axle": -300 + 0j},
        {"frame": ["o", "fix"], "arm": ["o", "b"]},
        "arm",
        ("fix", "b"),
    )
    wanted = np.hypot(100, 140) - (np.hypot(100, 200) - 60)
    ends = []
    for smallest in (1e-2, 1e-9):
        with pytest.raises(DeadPointError, match="dead point at stroke 8") as caught:
            trace(made, np.linspace(0, 20, 11), smallest)
        ends.append(float(caught.value.last.stroke[0]))
    assert wanted - 0.2 <= ends[0] < ends[1] <= wanted
    assert ends[1] == pytest.approx(wanted, abs=1e-7)
