"""Rounded outlines: closed forms against a polygon of 40,000 points and hand-worked figures."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry import rounded
from frame3d.geometry.arrays import Array
from frame3d.geometry.rounded import Rounds

OUTLINES: dict[str, tuple[float, float, Rounds]] = {
    "rectangle": (20.0, 15.0, (4.0, 4.0, 4.0, 4.0)),
    "four radii": (18.0, 22.0, (3.0, 7.0, 12.0, 5.0)),
    "D": (20.0, 14.0, (14.0, 5.0, 5.0, 14.0)),
    "low D": (15.0, 20.0, (20.0, 5.0, 5.0, 20.0)),
    "D aside": (20.0, 14.0, (5.0, 5.0, 20.0, 20.0)),
    "square": (15.0, 15.0, (6.0, 6.0, 6.0, 6.0)),
}
PHI = np.arange(40_000) * (360.0 / 40_000)


def each(kind: str, n: int) -> tuple[Array, Array, Array]:
    a, b, radii = OUTLINES[kind]
    return np.full(n, a), np.full(n, b), np.tile(radii, (n, 1))


def polygon(kind: str) -> tuple[Array, Array, Array]:
    """Points around, and their normals."""
    points, normal, _ = rounded.place(PHI, *each(kind, len(PHI)))
    return points[:, 0], points[:, 1], normal


@pytest.mark.parametrize("kind", OUTLINES)
def test_area_moments_and_girth_are_those_of_a_fine_polygon(kind: str) -> None:
    """Green's theorem along the polygon."""
    u, v, _ = polygon(kind)
    un, vn = np.roll(u, -1), np.roll(v, -1)
    part = u * vn - un * v
    one = each(kind, 1)
    first, second = rounded.moments(*one)
    assert rounded.area(*one)[0] == pytest.approx(part.sum() / 2, rel=1e-7)
    assert rounded.girth(*one)[0] == pytest.approx(np.hypot(un - u, vn - v).sum(), rel=1e-7)
    assert first[0, 0] == pytest.approx((part * (u + un)).sum() / 6, abs=1e-2)
    assert first[0, 1] == pytest.approx((part * (v + vn)).sum() / 6, abs=1e-2)
    assert second[0, 0] == pytest.approx((part * (u * u + u * un + un * un)).sum() / 12, rel=1e-7)
    assert second[0, 1] == pytest.approx((part * (v * v + v * vn + vn * vn)).sum() / 12, rel=1e-7)
    assert rounded.furthest(*one)[0] >= np.hypot(u, v).max() - 1e-9


def test_a_square_whose_corners_meet_is_a_circle() -> None:
    one = np.array([10.0]), np.array([10.0]), np.full((1, 4), 10.0)
    assert rounded.area(*one)[0] == pytest.approx(np.pi * 100)
    assert rounded.girth(*one)[0] == pytest.approx(np.pi * 20)
    assert rounded.moments(*one)[1][0] == pytest.approx(np.pi * 1e4 / 4)
    points, normal, _ = rounded.place(PHI[:1000], *(np.repeat(x, 1000, axis=0) for x in one))
    turn = np.radians(PHI[:1000])
    assert points == pytest.approx(10 * np.column_stack([np.cos(turn), np.sin(turn)]))
    assert normal == pytest.approx(points / 10)


def test_a_half_disc_on_a_rectangle() -> None:
    """A D 40 deep and 30 wide with corners of 1e-6: a rectangle of 25 x 30 and half a disc of 15."""
    one = np.array([20.0]), np.array([15.0]), np.array([[15.0, 1e-6, 1e-6, 15.0]])
    assert rounded.area(*one)[0] == pytest.approx(25 * 30 + np.pi * 225 / 2)
    assert rounded.girth(*one)[0] == pytest.approx(30 + 50 + np.pi * 15)
    # Centroids: of the rectangle 7.5 below the middle, of the half disc 4 r / (3 pi) above its flat.
    first = -7.5 * 750 + (5 + 4 * 15 / (3 * np.pi)) * np.pi * 225 / 2
    assert rounded.moments(*one)[0][0, 0] == pytest.approx(first)


@pytest.mark.parametrize("kind", OUTLINES)
def test_points_their_normals_and_the_way_back_agree(kind: str) -> None:
    u, v, normal = polygon(kind)
    n = each(kind, len(PHI))
    for out in (-2.5, 0.0, 3.0):  # inwards less than the smallest radius
        beside = u + out * normal[:, 0], v + out * normal[:, 1]
        assert rounded.level(*beside, *n) == pytest.approx(np.full(len(u), out), abs=1e-9)
        off = (rounded.phi_of(*beside, *n) - PHI + 180) % 360 - 180
        assert np.abs(off).max() < 1e-7
    step = np.hypot(np.roll(u, -1) - u, np.roll(v, -1) - v)
    _, _, speed = rounded.place(PHI, *n)
    assert np.abs(speed) * np.radians(360 / len(PHI)) == pytest.approx(step, rel=1e-2)


@pytest.mark.parametrize("kind", OUTLINES)
def test_the_level_is_the_distance(kind: str) -> None:
    """That of random points to the polygon's corners."""
    rng = np.random.default_rng(3)
    p = rng.uniform(-40, 40, (300, 2))
    u, v, _ = polygon(kind)
    near = np.hypot(p[:, :1] - u, p[:, 1:] - v).min(axis=1)
    found = rounded.level(p[:, 0], p[:, 1], *each(kind, 300))
    assert np.abs(np.where(found > 0, found - near, 0.0)).max() < 1e-3
    assert (-found - near).max() < 1e-3


@pytest.mark.parametrize("kind", OUTLINES)
def test_lines_leave_where_the_last_of_the_polygon_is_crossed(kind: str) -> None:
    rng = np.random.default_rng(8)
    a, b, radii = OUTLINES[kind]
    for turn in rng.uniform(0, 2 * np.pi, 6):
        du, dv = float(np.cos(turn)), float(np.sin(turn))
        start = rng.uniform(-30, 30, (12, 2))
        z = rounded.last_in(start[:, 0], start[:, 1], du, dv, a, b, radii)
        fan = np.linspace(-100, 100, 10_001)
        at = start[:, :, None] + np.array([du, dv])[:, None] * fan
        inside = (
            rounded.level(at[:, 0].ravel(), at[:, 1].ravel(), *each(kind, 12 * len(fan))) <= 0
        ).reshape(12, -1)
        hit = inside.any(axis=1)
        assert (hit <= ~np.isnan(z)).all()
        last = len(fan) - 1 - inside[:, ::-1].argmax(axis=1)
        assert np.abs(fan[last] - z)[hit].max(initial=0.0) < 0.021
        there = start + z[:, None] * np.array([du, dv])
        met = ~np.isnan(z)
        on = rounded.level(there[met, 0], there[met, 1], *each(kind, int(met.sum())))
        assert np.abs(on).max(initial=0.0) < 1e-9


@pytest.mark.parametrize("kind", OUTLINES)
def test_the_outer_polygon_holds_it_closely(kind: str) -> None:
    a, b, radii = OUTLINES[kind]
    corners = rounded.outer_polygon(a, b, radii, 24)
    off = rounded.level(corners[:, 0], corners[:, 1], *each(kind, len(corners)))
    allowed = max(radii) * (1 / np.cos(np.pi / 96) - 1)
    assert off.min() >= -1e-9
    assert off.max() <= allowed + 1e-9
    along = np.roll(corners, -1, axis=0) - corners
    u, v, _ = polygon(kind)
    for start, way in zip(corners[::5], along[::5], strict=True):  # v to the right, u up
        side = way[1] * (u - start[0]) - way[0] * (v - start[1])
        assert side.min() > -1e-6


def test_names_of_directions_that_turn_over() -> None:
    x, y = np.array([1.0, 0.0]), np.array([0.0, 1.0])
    assert rounded.signs_kept((x, y), (x, y), (1, 2, 3, 4)) == (1, 2, 3, 4)
    assert rounded.signs_kept((x, y), (x, -y), (1, 2, 3, 4)) == (4, 3, 2, 1)
    assert rounded.signs_kept((x, y), (-x, y), (1, 2, 3, 4)) == (2, 1, 4, 3)


def test_arcs_lie_between_the_middles_of_sides() -> None:
    """A rectangle of 40 x 30 with corners of 10: sides of 20 and 10, arcs of 5 pi."""
    whole = 5 + 5 * np.pi + 10
    marks = rounded.arc_marks(np.array([20.0]), np.array([15.0]), np.full((1, 4), 10.0))
    assert marks[0] == pytest.approx((90 * 5 / whole, 90 * (5 + 5 * np.pi) / whole))
