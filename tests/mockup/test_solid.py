"""Solids of the model against closed forms: a little smaller, since facets are inside the true surface."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.geometry.centreline import Centreline, Line
from frame3d.mockup.solid import (
    CHORD,
    area,
    axes,
    ball,
    block,
    bounds,
    circle,
    grown,
    hull_of,
    minus,
    pipe,
    pressed,
    rod,
    sides,
    together,
    turned,
)
from tests.frames import bar, context

X, Y, Z = np.eye(3)


@pytest.mark.parametrize("radius", [0.3, 2.0, 15.0, 400.0])
def test_facets_stay_within_the_chord(radius: float) -> None:
    """Sagitta r (1 − cos π/n)."""
    n = sides(radius)
    assert n % 8 == 0
    assert radius * (1 - math.cos(math.pi / n)) <= CHORD * (1 + 1e-9) or n == 16
    points = circle(radius, 3.0, 4.0)
    assert np.hypot(*(points - (3.0, 4.0)).T) == pytest.approx(radius)
    after = np.roll(points, -1, axis=0)
    twice = (points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum()
    assert 0.95 * 2 * math.pi * radius**2 < twice < 2 * math.pi * radius**2


def near(volume: float, exact: float, share: float = 0.03) -> bool:
    return exact * (1 - share) < volume <= exact * (1 + 1e-9)


def test_rods_cones_balls_and_blocks() -> None:
    a, b = np.array([1.0, 2.0, 3.0]), np.array([4.0, 6.0, 15.0])  # 13 apart
    assert near(rod(a, b, 5.0).volume(), math.pi * 25 * 13)
    assert near(rod(a, b, 5.0, 2.0).volume(), math.pi * 13 / 3 * (25 + 10 + 4))
    assert near(ball(a, 6.0).volume(), 4 / 3 * math.pi * 216)
    assert block((0, 0, 0), (3, 4, 5)).volume() == pytest.approx(60)
    # A bevel takes a prism off each upper edge, and a corner twice of each pair (by integrating z).
    bevelled = 3 * 4 * 4 + sum((3 - 2 * t) * (4 - 2 * t) for t in (0.5,)) * 1 + 1 / 12 * 4
    assert block((0, 0, 0), (3, 4, 5), 1.0).volume() == pytest.approx(bevelled, rel=1e-6)


def test_pressed_and_turned() -> None:
    square = area(np.array([(2.0, 0.0), (4.0, 0.0), (4.0, 1.0), (2.0, 1.0)]))
    assert pressed(square, 3.0, 8.0).volume() == pytest.approx(2 * 5)
    assert bounds(pressed(square, 3.0, 8.0))[:, 2] == pytest.approx([3, 8])
    assert near(turned(square).volume(), math.pi * (16 - 4) * 1)
    moved = pressed(square, 0.0, 1.0, axes(np.array([9.0, 0, 0]), X, Z))
    assert bounds(moved)[:, 0] == pytest.approx([9, 10])
    assert bounds(moved)[:, 2] == pytest.approx([2, 4])
    assert grown(square, 0.5).area() == pytest.approx(3 * 2)  # corners stay sharp


def test_a_bent_pipe_has_its_section_times_its_length() -> None:
    """Pappus, for a round bar of one radius along any axis that bends no tighter than it is thick."""
    bent = context({"bow": bar(20.0, (0, 0, 0), (-400, 60, 0), 1.0,
                               bends=[{"along": 150, "y": 60, "radius": 100}])}).tube("bow").axis  # fmt: skip
    made = pipe(bent, (0.0, bent.length), (8.0, 8.0))
    assert near(made.volume(), math.pi * 64 * bent.length, 0.01)
    taper = Centreline((Line((0, 0, 0), (0, 0, 90)),))
    assert near(pipe(taper, (0.0, 90.0), (9.0, 3.0)).volume(), math.pi * 30 * (81 + 27 + 9), 0.01)
    assert bounds(pipe(taper, (0.0, 90.0), (9.0, 3.0)))[:, 2] == pytest.approx([0, 90])


VECTORS = st.tuples(*[st.floats(-1, 1)] * 3).map(np.array)


@given(VECTORS, VECTORS, VECTORS)
def test_axes_are_right_handed_with_z_as_told(
    origin: np.ndarray, z: np.ndarray, x: np.ndarray
) -> None:
    if np.linalg.norm(np.cross(z, x)) < 0.05:
        return
    motion = axes(origin, z, x)
    turn = motion[:, :3]
    assert turn.T @ turn == pytest.approx(np.eye(3), abs=1e-9)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn[:, 2] @ z == pytest.approx(np.linalg.norm(z))
    assert turn[:, 0] @ x > 0
    assert motion[:, 3] == pytest.approx(origin)


def test_unions_and_differences() -> None:
    a, b = block((0, 0, 0), (2, 2, 2)), block((1, 0, 0), (3, 2, 2))
    assert together([a, b]).volume() == pytest.approx(12)
    assert together([a]) is a
    assert minus(a, [b]).volume() == pytest.approx(4)
    assert minus(a, []) is a


@given(st.lists(st.tuples(st.integers(-5, 5), st.integers(-5, 5)), min_size=3, max_size=12))
def test_a_hull_holds_every_point_and_turns_left(points: list[tuple[int, int]]) -> None:
    array = np.array(points, dtype=float)
    found = hull_of(array)
    rank = np.linalg.matrix_rank(array - array[0])
    if rank < 2:
        assert len(found) == 0
        return
    edges = np.roll(found, -1, axis=0) - found
    for point in array:
        away = point - found
        assert (edges[:, 0] * away[:, 1] - edges[:, 1] * away[:, 0] >= -1e-9).all()
    assert {tuple(corner) for corner in found} <= {tuple(point) for point in array}
