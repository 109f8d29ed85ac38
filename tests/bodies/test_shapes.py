"""Makers of shapes: what they refuse, and that their bounding spheres hold all of them."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Ring,
    Shape,
    Torus,
    Tubular,
    bar,
    box,
    capsule,
    cylinder,
    disc,
    frustum,
    ring,
    standing,
)
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from tests.clearance.brute import signed
from tests.clearance.samples import SHAPES, TUBES, a_shape, a_tube, axes, rows

SQUARE = [(10.0, -5.0), (20.0, -5.0), (20.0, 5.0), (10.0, 5.0)]


def at(shape: Shape, *points: tuple[float, float, float]) -> list[float]:
    """Signed distances, as tests write them down."""
    return signed(shape, np.array(points)).tolist()


def test_a_profile_may_be_given_either_way_round() -> None:
    one, other = ring(SQUARE), ring(SQUARE[::-1])
    points = np.random.default_rng(0).uniform(-30, 30, (200, 3))
    assert signed(one, points) == pytest.approx(signed(other, points))


def test_shapes_by_hand() -> None:
    assert at(Torus(300, 20), (320, 0, 0), (0, 30, 300)) == pytest.approx([0, 10])
    assert at(ring(SQUARE), (15, 0, 0), (0, 0, 0), (0, 9, 15)) == pytest.approx([-5, 10, 4])
    assert at(cylinder(10, -5, 5), (0, 0, 0), (0, 9, 0), (13, 9, 0)) == pytest.approx([-5, 4, 5])
    assert at(box(20, 30, 40), (10, 0, 0), (13, 19, 0)) == pytest.approx([0, 5])
    assert at(box(20, 30, 40, 5), (10, 15, 0)) == pytest.approx([5 * (np.sqrt(2) - 1)])
    assert at(capsule(50, 8), (0, 0, 60), (10, 0, 25)) == pytest.approx([2, 2])


@pytest.mark.parametrize(
    "profile",
    [
        [(10, 0), (20, 0)],
        [(10, -5), (20, -5), (12, 0), (20, 5), (10, 5)],
        [(10, -5), (20, 5), (20, -5), (10, 5)],
    ],
    ids=["two corners", "a notch", "crossed"],
)
def test_a_profile_is_a_convex_polygon(profile: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match="convex polygon"):
        ring(profile)


def test_a_ring_stays_clear_of_its_axis() -> None:
    with pytest.raises(ValueError, match="clear of its axis"):
        ring([(0.0, -5.0), (20.0, -5.0), (20.0, 5.0), (0.0, 5.0)])


def test_a_disc_is_convex_with_its_mirror_image() -> None:
    """A waist at the axis is a notch of the whole, though not of the half."""
    with pytest.raises(ValueError, match="convex polygon"):
        disc([(0.0, -2.0), (20.0, -5.0), (20.0, 5.0), (0.0, 2.0)])
    assert at(disc([(0.0, -8.0), (20.0, -5.0), (20.0, 5.0), (0.0, 8.0)]), (0, 9, 0))[0] > 0


@pytest.mark.parametrize("sizes", [(3.0, 3.0, 10.0), (4.0, 2.0, 7.5), (2.0, 0.0, 5.0)])
def test_a_tapering_bar_is_the_disc_of_its_profile(sizes: tuple[float, float, float]) -> None:
    radius, end, length = sizes
    profile = [(0.0, 0.0), (radius, 0.0), (end, length), (0.0, length)]
    assert frustum(radius, end, length) == disc(profile)


def test_a_box_is_at_least_as_large_as_its_rounding() -> None:
    with pytest.raises(ValueError, match="more than half a size"):
        box(20, 30, 40, 10.1)
    assert at(box(20, 20, 20, 10), (13, 0, 0)) == pytest.approx([3])  # a ball


def extent(shape: Shape) -> tuple[np.ndarray, np.ndarray]:
    """A box in the shape's own axes that holds it."""
    match shape:
        case Torus(centre, radius):
            far = np.array([centre + radius, radius, centre + radius])
            return -far, far
        case Box():
            return -np.array(shape.half), np.array(shape.half)
        case Capsule(length, start, end):
            r = max(start, end)
            return np.array([-r, -r, -r]), np.array([r, r, length + r])
        case Prism(profile, half):
            corners = np.array(profile)
            return np.append(corners.min(axis=0), -half), np.append(corners.max(axis=0), half)
        case Ring(profile) | Disc(profile):
            across, y = np.array(profile).T
            r = np.abs(across).max()
            return np.array([-r, y.min(), -r]), np.array([r, y.max(), r])


@pytest.mark.parametrize("kind", SHAPES)
def test_spheres_hold_the_whole_shape(kind: str) -> None:
    """Points within the shape, found at random, lie in one of its spheres, wherever it is placed."""
    rng = np.random.default_rng(len(kind))
    for _ in range(5):
        shape, frame = a_shape(kind, rng), axes(rng)
        origin = rng.uniform(-200, 200, 3)
        placed = PlacedShape(kind, shape, tuple(origin), axes=rows(frame))
        local = rng.uniform(*extent(shape), (3000, 3))
        inside = local[signed(shape, local) <= 0] @ frame + origin
        assert len(inside) > 5
        spheres = placed.bounding_spheres
        far = np.linalg.norm(inside[:, None] - spheres[:, :3], axis=2) - spheres[:, 3]
        assert far.min(axis=1).max() <= 1e-9


@pytest.mark.parametrize("kind", TUBES)
@pytest.mark.parametrize("trimmed", [(0.0, 0.0), (-12.0, 30.0)])
def test_spheres_hold_the_whole_tube(kind: str, trimmed: tuple[float, float]) -> None:
    rng = np.random.default_rng(len(kind))
    for flat in ((True, True), (False, True)):
        plain = a_tube(kind, rng)
        tube = Tubular("t", plain.axis, plain.section, flat=flat, trimmed=trimmed)
        low, high = tube.span
        assert (low, high) == (trimmed[0], plain.axis.length - trimmed[1])
        s, turn = rng.uniform(low, high, 2000), rng.uniform(0, 2 * np.pi, 2000)
        p, up, side = tube.axis.frames(s)
        a, b = tube.section.radii_at(s)
        points = p + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * side
        spheres = tube.bounding_spheres
        far = np.linalg.norm(points[:, None] - spheres[:, :3], axis=2) - spheres[:, 3]
        assert far.min(axis=1).max() <= 1e-9


def test_a_bar_runs_from_one_point_to_the_other() -> None:
    one = bar("b", (1.0, 2.0, 3.0), (1.0, 2.0, 53.0), 8.0, end_radius=5.0)
    assert one.axis.at(0.0) == pytest.approx((1, 2, 3))
    assert one.axis.at(one.axis.length) == pytest.approx((1, 2, 53))
    assert [float(r) for r in one.section.radii_at(25.0)] == pytest.approx([6.5, 6.5])
    assert one.section == Section((0.0, 50.0), (16.0, 10.0), (16.0, 10.0), (0.0, 0.0))
    assert isinstance(one.axis, Centreline)


def test_standing_axes_are_square_and_right_handed() -> None:
    found = np.array(standing(np.array([1.0, 1.0, 5.0]), np.array([1.0, 0.0, 0.3])))
    assert found @ found.T == pytest.approx(np.eye(3))
    assert np.linalg.det(found) == pytest.approx(1)
    assert found[2] == pytest.approx(np.array([1, 1, 5]) / np.sqrt(27))
    assert found[0] @ [1.0, 0.0, 0.3] > 0
