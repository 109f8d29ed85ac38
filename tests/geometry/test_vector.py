"""Vectors against numpy's own products, angles by other formulas, turns that add up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from frame3d.geometry.vector import (
    Point,
    angle_between,
    apart,
    cross,
    mirrored,
    pitched,
    pitched_side,
    point,
    unit,
    vector,
)

number = st.floats(-1e3, 1e3)
points = st.tuples(number, number, number)


@given(points, points)
def test_products_against_numpy(a: Point, b: Point) -> None:
    assert cross(vector(a), vector(b)) == pytest.approx(np.cross(a, b), abs=1e-9)
    assert point(vector(a)) == a


@given(points)
def test_a_unit_vector_has_length_one_and_the_same_direction(a: Point) -> None:
    length = np.linalg.norm(a)
    assume(length > 1e-9)
    assert np.linalg.norm(unit(vector(a))) == pytest.approx(1)
    assert unit(vector(a)) * length == pytest.approx(vector(a))


@pytest.mark.parametrize("length", [0.0, 1e-13])
def test_without_length_there_is_no_direction(length: float) -> None:
    with pytest.raises(ValueError, match="no length has no direction"):
        unit(np.array([length, 0.0, 0.0]))


@pytest.mark.parametrize("angle", [0.0, 1e-7, 1e-3, 45.0, 90.0, 179.999, 180 - 1e-7, 180.0])
def test_angles_down_to_the_smallest(angle: float) -> None:
    """Where the arc cosine of a product has nothing left: 1e-7 degrees beside 0 and 180."""
    turn = np.radians(angle)
    a, b = np.array([3.0, 0.0, 0.0]), np.array([np.cos(turn), np.sin(turn), 0.0])
    assert angle_between(a, 7 * b) == pytest.approx(angle, abs=1e-9)
    assert angle_between(7 * b, a) == pytest.approx(angle, abs=1e-9)


@given(points, st.floats(-180, 180), st.floats(-180, 180))
def test_pitches_add_up(p: Point, one: float, other: float) -> None:
    twice, once = pitched(pitched(p, one), other), pitched(p, one + other)
    assert twice == pytest.approx(once, abs=1e-8)
    assert twice[1] == p[1]
    assert (twice[0], twice[2]) == pytest.approx(
        pitched_side(pitched_side((p[0], p[2]), one), other), abs=1e-8
    )
    assert np.linalg.norm(twice) == pytest.approx(np.linalg.norm(p), abs=1e-8)


def test_nose_up() -> None:
    """What lies ahead rises."""
    assert pitched((100.0, 5.0, 0.0), 90.0) == pytest.approx((0.0, 5.0, 100.0), abs=1e-12)
    assert pitched((100.0, 5.0, 0.0), 1.0)[2] > 0


def test_mirrored_and_no_negative_zeros() -> None:
    assert mirrored((1.0, 2.0, 3.0)) == (1.0, -2.0, 3.0)
    for p in (
        mirrored((1.0, 0.0, 3.0)),
        point(np.array([-0.0, -0.0, -0.0])),
        pitched((-0.0, 1.0, -0.0), 0.0),
    ):
        assert "-0.0" not in str(p)


def test_points_of_a_right_triangle_are_apart_by_pythagoras() -> None:
    assert apart((1.0, 2.0, 3.0), (4.0, 6.0, 3.0)) == 5.0
