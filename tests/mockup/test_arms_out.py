"""Crank arms are moved out beside a frame that they would meet, no further than their clearance needs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.mockup.arms_out import moved_out
from frame3d.mockup.meeting import meetings
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.cranks import cranks
from frame3d.mockup.solid import block, bounds
from tests.mockup.samples import drawing, made

DRAWN = drawing(("cranks",), 1 / 24)
CRANKS = cranks(DRAWN).parts
ARM = next(part.solid for part in CRANKS if part.name == "crank_arm_right")


def beside(overlap: float) -> ModelPart:
    """A stay that reaches into the right arm by a depth, away from its boss [mm]."""
    inner = -DRAWN.bike.spec.build.crank.q_factor / 48 + 1.2  # type: ignore[union-attr,operator]
    return ModelPart("frame", "#000000", block((-5, inner - overlap, -1), (-4, inner + 2, 1)))


@pytest.mark.parametrize("overlap", [0.2, 0.7])
def test_arms_keep_their_clearance_no_further_out_than_needed(overlap: float) -> None:
    stay = beside(overlap)
    assert list(meetings([stay, ModelPart("arm", "#000000", ARM)]))
    found, told = moved_out(DRAWN, [stay, *CRANKS])
    need = overlap + DRAWN.options.turn
    assert need - 0.02 <= found.arms_out <= need + 0.1
    assert told == [
        f"crank arms and pedals are {found.arms_out:.1f} mm further out on either side than the scale "
        "has them, as the frame would meet crank arm right"
    ]


def test_both_arms_and_pedals_move_with_the_spindles_ends() -> None:
    parts = {p.name: bounds(p.solid) for p in CRANKS}
    wide = {p.name: bounds(p.solid) for p in cranks(replace(DRAWN, arms_out=0.5)).parts}
    for name in ("crank_arm_left", "pedal_left", "crank_spindle"):
        assert wide[name][1, 1] - parts[name][1, 1] == pytest.approx(0.5), name
    for name in ("crank_arm_right", "pedal_right", "crank_spindle"):
        assert parts[name][0, 1] - wide[name][0, 1] == pytest.approx(0.5), name


@pytest.mark.parametrize("overlap", [-0.1, 6.0])
def test_arms_stay_where_nothing_meets_or_no_way_is_far_enough(overlap: float) -> None:
    assert moved_out(DRAWN, [beside(overlap), *CRANKS]) == (DRAWN, [])


def test_the_cranks_of_a_hardtail_at_1_24() -> None:
    found = made(scale="1:24", kits="cranks", stand=False)
    assert list(meetings(found.parts)) == []
    assert any("further out" in told for told in found.changes)
    joint = next(j for j in found.joints if j.hole == "crank_arm_right")
    arm = next(bounds(p.solid) for p in found.parts if p.name == "crank_arm_right")
    assert arm[0, 1] < joint.at[1] < arm[1, 1]
