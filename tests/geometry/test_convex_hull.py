"""Convex hulls against shapely's."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from frame3d.geometry.convex_hull import convex_hull


@pytest.mark.parametrize("seed", range(5))
def test_it_is_the_hull_that_shapely_finds(seed: int) -> None:
    points = np.random.default_rng(seed).normal(size=(40, 2))
    corners = convex_hull(points)
    assert shapely.Polygon(corners).equals(shapely.convex_hull(shapely.MultiPoint(points)))
    assert shapely.LinearRing(corners).is_ccw


def test_points_on_a_line_and_points_twice_are_no_corners() -> None:
    square = np.array([(0, 0), (1, 0), (2, 0), (2, 2), (2, 2), (0, 2), (0, 1)], dtype=float)
    assert convex_hull(square).tolist() == [[0, 0], [2, 0], [2, 2], [0, 2]]
