"""Cranks and pedals: where they are through a turn."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose, placed_matrix
from tests.bodies.bike import bodies, body
from tests.bodies.distance import Array, signed

SIGN = {"left": 1.0, "right": -1.0}


def extent(name: str, direction: Array, pose: Pose) -> float:
    """How far a body of boxes reaches along a unit direction [mm]: corners, and the rounding beyond."""
    far = -np.inf
    for placed in body(name).shapes:
        m = placed_matrix(placed, pose)
        box = placed.shape
        core = np.abs(m[:3, :3].T @ direction) @ box.core
        far = max(far, m[:3, 3] @ direction + core + box.rounding)
    return float(far)


@pytest.mark.parametrize("side", ["left", "right"])
def test_arms_end_at_the_q_factor(side: str) -> None:
    y = np.array([0.0, SIGN[side], 0.0])
    assert extent(f"crank_arm_{side}", y, Pose()) == pytest.approx(86)
    assert extent(f"crank_arm_{side}", -y, Pose()) == pytest.approx(-72)  # 14 mm thick
    swept = body(f"crank_swept_{side}").shapes[0]
    corners = np.array(swept.shape.profile)
    assert sorted({abs(c) for c in corners[:, 1]}) == [72, 86]
    assert corners[:, 0].max() == 170 + 16  # half of the 32 mm boss
    assert not body(f"crank_swept_{side}").drawn


@pytest.mark.parametrize("crank", [0.0, 37.0, 90.0, 200.0])
@pytest.mark.parametrize("side", ["left", "right"])
def test_what_is_swept_holds_the_arm_at_every_angle(side: str, crank: float) -> None:
    """The arm's middle line and pedal end lie within; the end's round boss touches the rim."""
    swept = body(f"crank_swept_{side}").shapes[0]
    arm = body(f"crank_arm_{side}").shapes[0]
    m = placed_matrix(arm, Pose(crank=crank))
    out = SIGN[side] * m[:3, 0]  # from the bottom bracket to the pedal
    tip = m[:3, 3] + (85 + 16) * out
    assert signed(swept, tip[None])[0] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("crank", "left"),
    [(0.0, (170, 0)), (90.0, (0, -170)), (180.0, (-170, 0)), (270.0, (0, 170))],
)
def test_pedals_go_round_as_pedalled_forward(crank: float, left: tuple[float, float]) -> None:
    """Left pedal ahead at 0, down at 90 degrees, the right one opposite; both stay level."""
    for side, sign in SIGN.items():
        m = placed_matrix(body(f"pedal_{side}").shapes[0], Pose(crank=crank))
        assert m[:3, 3] == pytest.approx((sign * left[0], sign * 141, sign * left[1]), abs=1e-9)
        assert m[:3, :3] == pytest.approx(np.eye(3))
        # The arm's end is where the pedal's axle comes out of it.
        arm = placed_matrix(body(f"crank_arm_{side}").shapes[0], Pose(crank=crank))
        end = arm[:3, 3] + sign * 85 * arm[:3, 0]
        assert end[[0, 2]] == pytest.approx(m[[0, 2], 3], abs=1e-9)


def test_no_arms_without_a_q_factor() -> None:
    found = bodies((", q_factor: 172", ""))
    needs = {a.name: a.needs for a in found.absent}
    assert needs["crank_arm"] == needs["crank_swept"] == needs["pedal"] == "build.crank.q_factor"
    assert needs["shoe"] == "build.crank.q_factor"
