"""Tracing the linkage along the stroke: the drawn branch is kept, and dead points are never passed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.linkage.trace import DeadPointError, trace
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
