"""Dropouts: boss, arms and sockets that reach their stays."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.solids import make, occ
from frame3d.solids.body_meshes import frame_mesh
from frame3d.solids.dropout import block, dropout_holes, dropout_metal
from frame3d.tubes.hardware import Arm
from tests.bikes import hardtail_layout
from tests.frames import bar, context
from tests.solids.test_cases import shells


@pytest.mark.parametrize("inward", [-20.0, -8.0, 0.0, 12.0])
def test_dropouts_reach_stays_that_lie_elsewhere(inward: float) -> None:
    """The stay's end may lie anywhere across the frame; the dropout is one solid and closes it."""
    layout = context(
        {
            "stay": bar(
                18.0,
                {"on": "bottom_bracket", "y": 25.0},
                {"on": "rear_dropout", "stop_short": 30.0, "y": 77.0 + inward},
                1.0,
                pair=True,
            ),
        },
        rear_wheel={"hub": "148x12"},
        bottom_bracket={"shell": "threaded-73"},
    )
    model = make(layout)
    for name in ("rear_dropout_left", "rear_dropout_right"):
        part = model.part(name)
        assert len(occ.solids(part.shape)) == 1
        assert part.volume > 0.5 * np.pi / 4 * (30**2 - 12**2) * 7
    whole = frame_mesh(model.bodies)
    assert shells(whole) == 1
    assert whole.volume == pytest.approx(model.volume, rel=2e-4)


def test_the_boss_stands_outside_of_the_hub_and_is_bored_for_the_axle() -> None:
    layout = hardtail_layout()
    tubes = {tube.name: tube for tube in layout.tubes}
    for dropout in layout.dropouts:
        out = 1.0 if dropout.side == "left" else -1.0
        boss, *arms = dropout_metal(dropout, tubes)
        assert boss.axis.start == dropout.axle
        assert out * (boss.axis.end[1] - boss.axis.start[1]) == pytest.approx(dropout.thickness)
        assert abs(boss.axis.start[1]) == pytest.approx(74.0)  # half of a hub of 148
        assert set(boss.height) == {dropout.boss}
        assert len(arms) >= len(dropout.stays)
        bore, inside, outside = dropout_holes(dropout)
        assert set(bore.height) == {dropout.bore}
        assert min(out * p[1] for p in (bore.axis.start, bore.axis.end)) < 74 - 20
        assert (
            max(out * p[1] for p in (bore.axis.start, bore.axis.end)) > 74 + dropout.thickness + 20
        )
        # What is kept free lies beside the plate, not in it.
        assert max(out * p[1] for p in (inside.axis.start, inside.axis.end)) == pytest.approx(74.0)
        near = min(out * p[1] for p in (outside.axis.start, outside.axis.end))
        assert near == pytest.approx(74 + dropout.thickness)


def test_an_arm_is_a_block_between_its_two_ends() -> None:
    made = block(
        Arm(start=(0.0, 0.0, 0.0), end=(0.0, 0.0, 30.0), height=(20.0, 10.0), width=(8.0, 4.0))
    )
    assert made.box
    assert (made.height, made.width) == ((20.0, 10.0), (8.0, 4.0))
    assert made.axis.length == 30.0
