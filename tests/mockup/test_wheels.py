"""Wheels and axles: walls that print, halves that go into the tyre."""

from __future__ import annotations

import numpy as np

from frame3d.mockup.options import WALL
from frame3d.mockup.solid import Y, Z, bounds, rod
from tests.mockup.probing import parts, walls
from tests.mockup.samples import drawing


def test_axle_heads() -> None:
    made = parts(drawing())
    for end in ("front", "rear"):
        axle = made[f"{end}_axle"].solid
        tip = bounds(axle)[1, 1]
        edge = axle ^ rod(np.array([0.0, tip - 5.0, 0.0]), np.array([0.0, tip, 0.0]), 1000.0)
        at = drawing().axle(end) + (drawing().axle_pin(end) / 2 + 0.7) * Z
        found = walls(edge, at + (tip - 5.0) * Y, Y)
        assert found[0] >= WALL - 1e-6


def test_halves_of_wheels() -> None:
    """Half a wheel prints by itself: its spokes rise a wall's thickness."""
    half = parts(drawing())["front_wheel_left"].solid
    axle = drawing().axle("front")
    low = float(bounds(half)[0, 1])
    ring = half ^ (
        rod(axle + (low - 1) * Y, axle + (low + 9) * Y, 35.0)
        - rod(axle + (low - 2) * Y, axle + (low + 10) * Y, 25.0)
    )
    assert float(np.ptp(bounds(ring)[:, 1])) >= WALL - 1e-6
