"""A block of a brake mount in place: what it is, and where it goes with its dropout."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.side_motion import SideMotion
from frame3d.tubes.on_dropout import Block, Eye

BLOCK = Block("b_left", "b", (10.0, 68.0, 60.0), (0.0, 0.0, 1.0), 14.0, 61.0, 81.0, 17.0, 6.0, 12.0)


def test_its_metal_reaches_from_side_to_side_below_its_face() -> None:
    corners = BLOCK.metal.plane.place(
        [(x, y, h) for x, y, _ in BLOCK.metal.path.vertices for h in (-7.0, 7.0)]
    )
    assert corners.min(axis=0) == pytest.approx((3, 61, 43))
    assert corners.max(axis=0) == pytest.approx((17, 81, 60))
    assert BLOCK.metal.volume == pytest.approx(20 * 14 * 17)
    assert BLOCK.bottom == pytest.approx((10, 68, 48))
    assert not BLOCK.through


def test_it_turns_with_its_dropout() -> None:
    """By 90 degrees, nose up: what was above the bottom bracket is behind it."""
    moved = BLOCK.moved(SideMotion(90.0, 5.0, 0.0))
    assert moved.face == pytest.approx((-60 + 5, 68, 10))
    assert moved.way == pytest.approx((-1, 0, 0))
    eye = Eye("rack", (0.0, 74.0, 60.0), "M5", 4.2).moved(SideMotion(90.0))
    assert math.dist(eye.at, (-60, 74, 0)) < 1e-9
