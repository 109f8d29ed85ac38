"""Planes and extruded paths: handedness, mirror images, volume by the closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.side_motion import SideMotion

SIDE = Plane((10.0, 5.0, 20.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
DISC = Extrusion(Path.circle(3.0, 4.0, 10.0), SIDE, -1.0, 2.0)


def test_a_plane_in_the_side_view_is_seen_from_the_drive_side() -> None:
    assert SIDE.normal.tolist() == [0.0, -1.0, 0.0]
    assert SIDE.at((1.0, 2.0), 3.0) == (11.0, 2.0, 22.0)


def test_of_is_the_inverse_of_place() -> None:
    points = np.array([[1.0, 2.0, 3.0], [-4.0, 5.0, 0.5]])
    assert SIDE.of(SIDE.place(points)) == pytest.approx(points)


def test_volume_is_that_of_a_cylinder() -> None:
    assert DISC.volume == pytest.approx(math.pi * 25 * 3, rel=1e-12)
    assert DISC.thickened(0.5).thickness == 4.0


def test_a_mirror_image_holds_the_mirrored_points() -> None:
    """What lies between the heights goes to the other side of the centre plane."""
    there = DISC.mirrored()
    for height, mirrored in ((DISC.low, there.high), (DISC.high, there.low)):
        x, y, z = SIDE.at((3.0, 4.0), height)
        assert there.plane.at((3.0, 4.0), mirrored) == pytest.approx((x, -y, z))
    assert there.mirrored().is_same(DISC)
    assert not there.is_same(DISC)
    assert not DISC.is_same(SIDE)


def test_a_moved_plane_takes_its_points_along() -> None:
    motion = SideMotion(12.0, 3.0, -7.0)
    assert SIDE.moved(motion).at((5.0, 6.0), 2.0) == pytest.approx(
        motion.point(SIDE.at((5.0, 6.0), 2.0))
    )


def test_another_number_of_vertices_is_another_solid() -> None:
    square = Path.polygon([(0, 0), (1, 0), (1, 1), (0, 1)])
    assert not Extrusion(square, SIDE, -1.0, 2.0).is_same(DISC)


def test_resized_is_an_offset_all_round() -> None:
    """A circle and a rounded square have theirs in closed form."""
    disc = DISC.resized(2.0)
    assert disc.volume == pytest.approx(math.pi * 36 * 5)
    square = Path.rounded([(0, 0, 3), (20, 0, 3), (20, 20, 3), (0, 20, 3)])
    inner = Extrusion(square, SIDE, 0.0, 4.0).resized(-2.0)
    assert inner.path.area == pytest.approx(18**2 - (4 - math.pi) * 4)
    assert (inner.low, inner.high) == (1.0, 3.0)


def test_a_sharp_corner_moves_along_its_bisector() -> None:
    square = Path.polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    assert Extrusion(square, SIDE, 0.0, 4.0).resized(2.0).path.area == pytest.approx(144.0)
