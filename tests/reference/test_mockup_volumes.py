"""Solids of the scale model against closed forms: Steinmetz' solid, Pappus' rings, pegs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import ellipe, ellipk

from frame3d.geometry.centreline import Centreline
from frame3d.mockup.fits import FLAT, TIP, Peg
from frame3d.mockup.solid import CHORD, area, pipe, rod, together, turned

X, Y, Z = np.eye(3)


def close(radius: float, length: float) -> float:
    """What facets within `CHORD` of the surface may take off a rod of a radius and length [mm³]."""
    return 2 * math.pi * radius * length * CHORD


@pytest.mark.parametrize("radius", [1.0, 2.6, 5.0])
def test_fused_pair_of_equal_rods_by_steinmetz(radius: float) -> None:
    """Two cylinders of radius r across each other share 16 r³ / 3 (Steinmetz)."""
    half = 4 * radius
    pair = together([rod(-half * X, half * X, radius), rod(-half * Y, half * Y, radius)])
    plain = 2 * math.pi * radius**2 * 2 * half
    assert pair.volume() == pytest.approx(plain - 16 / 3 * radius**3, abs=close(radius, 4 * half))
    # and no closer than facets come: inscribed rods are smaller.
    assert pair.volume() < plain - 16 / 3 * radius**3


def test_fused_pair_of_unequal_rods_at_an_angle() -> None:
    """(8a/3)[(a² + b²) E(k) − (a² − b²) K(k)] / sin β, k = b/a (Hubbell 1965; scipy takes m = k²)."""
    a, b, angle = 3.0, 2.0, math.radians(75)
    m = (b / a) ** 2
    shared = (
        8 * a / 3 * ((a * a + b * b) * ellipe(m) - (a * a - b * b) * ellipk(m)) / math.sin(angle)
    )
    way = math.cos(angle) * X + math.sin(angle) * Y
    long, short = rod(-20 * X, 20 * X, a), rod(-20 * way, 20 * way, b)
    assert (long ^ short).volume() == pytest.approx(shared, rel=0.02)
    whole = together([long, short]).volume()
    assert whole == pytest.approx(
        long.volume() + short.volume() - (long ^ short).volume(), rel=1e-9
    )


def test_a_bent_bar_by_pappus() -> None:
    """Section times the way of its middle."""
    axis = Centreline.through(((0, 0, 0), (30, 0, 0), (30, 20, 0), (30, 20, 25)), (8.0, 8.0))
    bar = pipe(axis, (0.0, axis.length), (2.0, 2.0))
    assert bar.volume() == pytest.approx(math.pi * 4 * axis.length, rel=0.015)
    assert len(bar.decompose()) == 1


def test_a_ring_by_pappus() -> None:
    middle, r = 40.0, 5.0
    turn = 2 * np.pi * np.arange(64) / 64
    ring = turned(area(np.stack([middle + r * np.cos(turn), r * np.sin(turn)], axis=1)))
    assert ring.volume() == pytest.approx(2 * math.pi**2 * middle * r**2, rel=0.005)


def test_a_keyed_peg_is_a_cylinder_less_its_segment() -> None:
    r, length = 1.5, 10.0
    half = math.acos(FLAT)
    section = r * r * (math.pi - half + math.sin(half) * math.cos(half))
    plain = Peg(np.zeros(3), Z, -Y, r).solid(0.0, length, (False, False))
    assert plain.volume() == pytest.approx(section * length, rel=0.02)
    bevelled = Peg(np.zeros(3), Z, -Y, r).solid(0.0, length)
    assert plain.volume() - 2 * TIP * section < bevelled.volume() < plain.volume()
    low, high = np.array(bevelled.bounding_box()).reshape(2, 3)
    assert low == pytest.approx([-r, -FLAT * r, 0.0], abs=1e-6)
    assert high == pytest.approx([r, r, length], abs=1e-6)
