"""What bodies are fixed to, against rotations written down by themselves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.bodies.motion.mounts import CRANK, FRAME, MOTIONS, TRAVELS, crank_mounts, fork_mounts
from frame3d.bodies.motion.pose import Pose, matrix

CROWN = np.array([420.0, 0.0, 600.0])
ANGLE = np.radians(65.5)
UP = np.array([-np.cos(ANGLE), 0.0, np.sin(ANGLE)])


def about(axis: np.ndarray, degrees: float) -> np.ndarray:
    """Rodrigues' rotation by the exponential of its cross-product matrix, summed as a series."""
    x, y, z = axis * np.radians(degrees)
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    out, term = np.eye(3), np.eye(3)
    for n in range(1, 30):
        term = term @ k / n
        out = out + term
    return out


def moved(m: np.ndarray, p: np.ndarray) -> np.ndarray:
    return m[:3, :3] @ p + m[:3, 3]


@settings(max_examples=30)
@given(st.floats(-90, 90), st.floats(0, 200))
def test_steering_turns_and_the_fork_travels_along_the_turned_axis(
    steer: float, travel: float
) -> None:
    upper, lower = fork_mounts(CROWN, UP)
    p = np.array([700.0, 40.0, 100.0])
    turned = CROWN + about(UP, steer) @ (p - CROWN)
    pose = Pose(steer=steer, fork=travel)
    assert moved(matrix(upper, pose), p) == pytest.approx(turned, abs=1e-8)
    assert moved(matrix(lower, pose), p) == pytest.approx(turned + travel * UP, abs=1e-8)
    assert moved(matrix(lower, pose), CROWN) == pytest.approx(CROWN + travel * UP, abs=1e-8)


def test_steering_is_positive_to_the_left_and_travel_upward() -> None:
    upper, lower = fork_mounts(CROWN, UP)
    ahead = np.array([800.0, 0.0, 400.0])
    assert moved(matrix(upper, Pose(steer=10)), ahead)[1] > 0
    assert moved(matrix(lower, Pose(fork=50)), ahead)[2] > 400


@pytest.mark.parametrize(("side", "sign"), [("left", 1.0), ("right", -1.0)])
@pytest.mark.parametrize("crank", [0.0, 50.0, 90.0, 200.0])
def test_pedals_stay_level_on_their_circle(side: str, sign: float, crank: float) -> None:
    """Ahead at 0 on the left; a quarter turn on, forward pedalling has it at the bottom."""
    pedal = np.array([0.0, sign * 141.0, 0.0])
    level, shoe = crank_mounts(170.0, side, pedal)  # type: ignore[arg-type]
    turn = np.radians(crank)
    centre = pedal + sign * 170 * np.array([np.cos(turn), 0, -np.sin(turn)])
    m = matrix(level, Pose(crank=crank))
    assert moved(m, pedal) == pytest.approx(centre, abs=1e-9)
    assert m[:3, :3] == pytest.approx(np.eye(3))
    swung = matrix(shoe, Pose(crank=crank, heel=12))
    assert moved(swung, pedal) == pytest.approx(centre, abs=1e-9)
    heel = moved(swung, pedal - np.array([200, 0, 0])) - centre
    assert abs(heel[1] + pedal[1]) < abs(pedal[1])  # toward the frame
    assert np.linalg.norm(heel) == pytest.approx(200)


@pytest.mark.parametrize("crank", [0.0, 30.0, 90.0])
def test_the_crank_itself_turns_as_its_pedal_goes(crank: float) -> None:
    left = moved(matrix(CRANK, Pose(crank=crank)), np.array([170.0, 80.0, 0.0]))
    turn = np.radians(crank)
    assert left == pytest.approx([170 * np.cos(turn), 80.0, -170 * np.sin(turn)], abs=1e-9)


def test_the_frame_does_not_move() -> None:
    pose = Pose(steer=30, fork=50, crank=70, heel=9)
    assert matrix(FRAME, pose) == pytest.approx(np.eye(4))
    assert set(TRAVELS) < set(MOTIONS)
