"""Poses as the command line states them."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.motion.pose_text import pose_at
from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import load

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


@pytest.fixture(scope="module")
def hardtail() -> Bike:
    """A fork of 130 mm travel with 25 % sag."""
    return solve(load(DEMO))


@pytest.mark.parametrize(
    ("text", "pose"),
    [
        ("fork=60%", Pose(fork=78)),
        ("fork=80", Pose(fork=80)),
        ("fork=80mm, steer=-25", Pose(fork=80, steer=-25)),
        ("fork=sag,steer=20", Pose(fork=32.5, steer=20)),
        ("rear=0,crank=90°", Pose(crank=90)),
        ("heel=4", Pose(heel=4)),
    ],
)
def test_poses(hardtail: Bike, text: str, pose: Pose) -> None:
    assert pose_at(hardtail, text) == pose


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("frok=3", "did you mean fork"),
        ("fork", "no motion with a value"),
        ("", "no motion with a value"),
        ("fork=131", "from 0 to 130 mm"),
        ("fork=-1", "from 0 to 130 mm"),
        ("fork=101%", "from 0% to 100%"),
        ("steer=200", "from -180 to 180"),
        ("steer=nan", "no finite number"),
        ("steer=left", "no number"),
        ("rear=10", "no rear suspension"),
        ("rear=50%", "no rear suspension"),
        ("rear=sag", "no rear suspension"),
        ("rear=50%,fork=60%,steer=x", "no number"),
    ],
)
def test_faults_name_the_option(hardtail: Bike, text: str, words: str) -> None:
    with pytest.raises(SpecError, match=words) as caught:
        pose_at(hardtail, text)
    assert all(str(f.render()).startswith(f"--at {text}") for f in caught.value.faults)
