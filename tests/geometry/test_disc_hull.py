"""Flat plates: hulls of discs against closed forms."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import CrossSection

from frame3d.geometry.disc_hull import Disc, Flat

SIZE = st.floats(1.0, 40.0)
PLACE = st.floats(-150.0, 150.0)


def test_a_stadium() -> None:
    """Two equal discs: π r² + 2 r L (a rectangle between two half discs)."""
    plate = Flat(((0.0, 0.0, 12.0), (48.0, 64.0, 12.0)), 3.0, 9.0)
    assert plate.area == pytest.approx(np.pi * 12**2 + 2 * 12 * 80, rel=1e-12)
    assert plate.volume == pytest.approx(6 * plate.area, rel=1e-12)
    lengths = [float(np.hypot(b[0] - a[0], b[1] - a[1])) for a, b in plate.edges]
    assert lengths == pytest.approx([80.0, 80.0])


def test_two_unequal_discs() -> None:
    """The open belt about two pulleys: straight runs √(d² - (R - r)²), wraps π ± 2 asin((R - r)/d).

    Its area from the runs' trapezia and the wrapped sectors.
    """
    d, big, small = 80.0, 20.0, 10.0
    lean = np.arcsin((big - small) / d)
    run = np.sqrt(d**2 - (big - small) ** 2)
    area = (big + small) * run
    area += big**2 * (np.pi / 2 + lean) + small**2 * (np.pi / 2 - lean)
    plate = Flat(((0.0, 0.0, big), (d, 0.0, small)), 0.0, 1.0)
    assert plate.area == pytest.approx(area, rel=1e-12)
    assert sorted(rim.end - rim.start for rim in plate.rims) == pytest.approx(
        [np.pi - 2 * lean, np.pi + 2 * lean]
    )


def test_equal_discs_at_a_triangles_corners() -> None:
    """Steiner's formula for a convex polygon grown by r: A + r P + π r²."""
    corners = [(0.0, 0.0), (90.0, 10.0), (30.0, 70.0)]
    sides = [np.hypot(a[0] - b[0], a[1] - b[1]) for a, b in pairwise([*corners, corners[0]])]
    triangle = 0.5 * abs(90 * 70 - 30 * 10)
    plate = Flat(tuple((x, z, 9.0) for x, z in corners), 0.0, 1.0)
    assert plate.area == pytest.approx(triangle + 9 * sum(sides) + np.pi * 81, rel=1e-12)


@pytest.mark.parametrize("more", [(), ((3.0, 1.0, 5.0),)], ids=["alone", "with one inside it"])
def test_a_disc(more: tuple[Disc, ...]) -> None:
    plate = Flat(((0.0, 0.0, 12.0), *more), 0.0, 1.0)
    assert plate.area == pytest.approx(np.pi * 144, rel=1e-12)
    assert len(plate.rims) == 1
    assert plate.edges == ()


@given(st.lists(st.tuples(PLACE, PLACE, SIZE), min_size=1, max_size=6))
def test_area_by_a_polygon(discs: list[Disc]) -> None:
    """The hull of polygons of 3600 sides in the discs, by manifold3d: too small by r² π³ 2/3 / n²."""
    circles = [CrossSection.circle(r, 3600).translate((x, z)) for x, z, r in discs]
    polygon = CrossSection.batch_hull(circles).area()
    assert Flat(tuple(discs), 0.0, 1.0).area == pytest.approx(polygon, rel=1e-5)


def test_depth() -> None:
    plate = Flat(((0.0, 0.0, 12.0), (80.0, 0.0, 12.0)), 3.0, 9.0)
    points = np.array([[40.0, 6.0, 0.0], [40.0, 4.0, 11.5], [40.0, 6.0, 15.0], [95.0, 6.0, 0.0]])
    assert plate.depth(points) == pytest.approx([3.0, 0.5, -3.0, -3.0], abs=0.01)


def test_mirrored() -> None:
    plate = Flat(((0.0, 0.0, 12.0), (80.0, 5.0, 8.0)), 3.0, 9.0)
    other = plate.mirrored()
    assert (other.low, other.high) == (-9.0, -3.0)
    assert other.mirrored().is_same(plate)
    assert not other.is_same(plate)
    assert plate.is_same(Flat(plate.discs[::-1], 3.0, 9.0))
