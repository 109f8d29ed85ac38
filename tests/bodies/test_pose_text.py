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
from tests.bike.tension.bikes import eccentric

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
        ("slide=3", "no sliding dropouts"),
        ("insert=-30", "no eccentric insert"),
        ("rear=50%,fork=60%,steer=x", "no number"),
    ],
)
def test_faults_name_the_option(hardtail: Bike, text: str, words: str) -> None:
    with pytest.raises(SpecError, match=words) as caught:
        pose_at(hardtail, text)
    assert all(str(f.render()).startswith(f"--at {text}") for f in caught.value.faults)


def test_slide_and_insert_count_as_the_file_does() -> None:
    """Each pose is the one that takes the drawn place to the file's value."""
    slots = solve(load(DEMO, sets=["build.dropout={kind: sliding, slide: {length: 16, at: 6}}"]))
    assert pose_at(slots, "slide=16mm") == Pose(slide=10)
    assert pose_at(slots, "slide=6") == Pose()
    insert = eccentric()
    assert pose_at(insert, "insert=-30") == Pose(insert=60)
    assert pose_at(insert, "insert=-100°,steer=5") == Pose(insert=-10, steer=5)
    for bike, text, words in (
        (slots, "slide=17", "from 0 to 16 mm"),
        (slots, "slide=-1", "from 0 to 16 mm"),
        (slots, "slide=50%", "no number"),
        (insert, "insert=200", "from -180 to"),
    ):
        with pytest.raises(SpecError, match=words):
            pose_at(bike, text)
