"""A left part as a rigid copy of the right one, where there is such a motion."""

from __future__ import annotations

import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Pnt

from frame3d.formats import copies
from frame3d.solids import make, occ
from frame3d.solids.sweep import straight
from tests.frames import bar, context

PAIR = bar(20.0, (-50, 30, 0), (-400, 70, 60), 1.0, pair=True)


def test_motion_takes_left_to_right() -> None:
    """Held against the kernel: the moved left part fills the right one's place."""
    model = make(context({"stay": PAIR}))
    left, right = (model.part(f"stay_{side}").shape for side in ("left", "right"))
    motion = copies.motion_to_right(left, right)
    assert motion is not None
    assert not motion.IsNegative()  # a motion, no mirror
    moved = occ.bulk(BRepBuilderAPI_Transform(left, motion, True).Shape())
    there = occ.bulk(right)
    assert moved.volume == pytest.approx(there.volume)
    assert moved.centre == pytest.approx(there.centre, abs=1e-6)


def test_a_block_beside_the_middle_goes_over_by_a_motion() -> None:
    """It has planes of symmetry. The motion takes its centre to the mirrored one and keeps lengths."""
    left = occ.solid(straight((10, 30, 5), (60, 45, 20), (12, 12), (8, 8), box=True))
    motion = copies.motion_to_right(left, occ.mirrored(left))
    assert motion is not None
    assert not motion.IsNegative()
    assert motion.ScaleFactor() == pytest.approx(1.0)
    x, y, z = occ.bulk(left).centre
    there = gp_Pnt(x, y, z).Transformed(motion)
    assert (there.X(), there.Y(), there.Z()) == pytest.approx((x, -y, z), abs=1e-6)


def test_a_shape_without_symmetry_has_none() -> None:
    """Three bars of three lengths along three axes: a hand, which no motion makes the other one."""
    arms = [
        straight((0, 40, 0), (60, 40, 0), (10, 10), (10, 10), box=True),
        straight((0, 40, 0), (0, 80, 0), (10, 10), (10, 10), box=True),
        straight((0, 40, 0), (0, 40, 25), (10, 10), (10, 10), box=True),
    ]
    hand = occ.fuse([occ.solid(arm) for arm in arms])
    assert copies.motion_to_right(hand, occ.mirrored(hand)) is None


def test_another_part_is_no_copy() -> None:
    left = occ.solid(straight((10, 30, 5), (60, 45, 20), (12, 12), (8, 8), box=True))
    other = occ.solid(straight((10, -30, 5), (60, -45, 21), (12, 12), (8, 8), box=True))
    assert copies.motion_to_right(left, other) is None
    fewer = occ.solid(straight((10, -30, 5), (60, -45, 20), (12, 12), (8, 8)))
    assert copies.motion_to_right(left, fewer) is None
