"""Sweeps: volumes against closed forms, copies."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.centreline import Centreline
from frame3d.solids.sweep import Sweep, rod, straight


def test_frustum() -> None:
    """V = π h (R² + R r + r²) / 3: any handbook of mathematics."""
    cone = straight((0, 0, 0), (0, 0, 90), (40, 20))
    assert cone.volume == pytest.approx(math.pi * 90 * (20**2 + 20 * 10 + 10**2) / 3, rel=1e-12)


def test_elliptic_cylinder_and_block() -> None:
    assert straight((0, 0, 0), (50, 0, 0), (30, 30), (17, 17)).volume == pytest.approx(
        math.pi / 4 * 30 * 17 * 50, rel=1e-12
    )
    block = straight((0, 0, 0), (50, 0, 0), (30, 30), (17, 17), box=True)
    assert block.volume == pytest.approx(30 * 17 * 50, rel=1e-12)


def test_obelisk() -> None:
    """A block between two rectangles: V = h/6 (2ab + ad + cb + 2cd), the prismatoid's formula."""
    block = straight((0, 0, 0), (0, 0, 60), (30, 10), (20, 12), box=True)
    a, b, c, d = 30, 20, 10, 12
    assert block.volume == pytest.approx(
        60 / 6 * (2 * a * b + a * d + c * b + 2 * c * d), rel=1e-12
    )


def test_extended_adds_its_end_sections() -> None:
    cone = straight((0, 0, 0), (0, 0, 90), (40, 20)).extended(5, 7)
    assert cone.axis.start == (0, 0, -5)
    assert cone.axis.end == pytest.approx((0, 0, 97))
    added = math.pi * (20**2 * 5 + 10**2 * 7)
    assert cone.volume == pytest.approx(
        math.pi * 90 * (20**2 + 20 * 10 + 10**2) / 3 + added, rel=1e-12
    )


def test_extended_bend_follows_its_end_tangents() -> None:
    axis = Centreline.through(((0, 0, 0), (100, 0, 0), (100, 0, 100)), (40,))
    sweep = Sweep(axis, (0.0, axis.length), (20, 20), (20, 20)).extended(10, 10)
    assert sweep.axis.start == pytest.approx((-10, 0, 0))
    assert sweep.axis.end == pytest.approx((100, 0, 110))
    assert sweep.s[-1] == pytest.approx(axis.length + 20)


def test_extended_by_rounding_alone_stays_as_it_is() -> None:
    """A mitre as wide as its target has its long point on the axis, give or take 1e-15 mm."""
    axis = Centreline.through(((0, 0, 0), (100, 0, 0), (200, 40, 0)), (60,))
    sweep = Sweep(axis, (0.0, axis.length), (20, 20), (20, 20))
    assert sweep.extended(1.4e-15, 0.0) is sweep


def test_same_forwards_and_backwards() -> None:
    shell = rod((0, 0, 0), (0, 1, 0), 30, 30, 40)
    assert shell.is_same(shell.mirrored())  # runs the other way, encloses the same
    assert not shell.is_same(rod((0, 0, 0), (0, 1, 0), 30, 31, 40))
    assert not shell.is_same(rod((0, 0, 1e-3), (0, 1, 0), 30, 30, 40))
    assert not shell.is_same(rod((0, 0, 0), (0, 1, 0), 30, 30, 40.01))
