"""Motions of insert and slots: each pose is the drawn place on the bike that is exchanged to there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.tension.insert import at_angle
from frame3d.bike.tension.slide import at_place
from frame3d.bodies import Body, bodies_of
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.motion.pose import Pose, placed_matrix
from frame3d.bodies.motion.tensioned import insert_of, run_mount, slots_of, spindle_mount
from frame3d.bodies.shapes import Box
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec
from frame3d.parameters.reading.change import changed
from tests.bike.tension.bikes import eccentric
from tests.mounted import mounted_spec

HARDTAIL = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


def carried(bike: Bike) -> dict[str, Body]:
    return {body.name: body for body in bodies_of(bike).bodies}


def corner(body: Body, pose: Pose, shift: Array) -> Array:
    """The middle and axes of a body's first shape, as seen from the frame."""
    at = placed_matrix(body.shapes[0], pose)
    at[:3, 3] -= shift
    return at[:3]


@pytest.mark.parametrize("angle", [-180.0, -65.0, 0.0])
def test_an_insert_carries_cranks_and_chain(angle: float) -> None:
    bike = eccentric()
    there = at_angle(bike, angle)
    assert bike.shell is not None
    assert there.shell is not None
    shift = np.array(there.shell.place) - np.array(bike.shell.place)
    before, after = carried(bike), carried(there)
    for name in ("chainring", "crank_swept_left", "crank_arm_right", "pedal_left", "shoe_right"):
        moved = corner(before[name], Pose(insert=angle + 90.0), np.zeros(3))
        assert moved == pytest.approx(corner(after[name], Pose(), shift), abs=2e-6), name
    # A run is as long as it ever gets, so only its front end and direction are the other bike's.
    for name in ("chain_upper_38_18", "chain_lower_38_18"):
        ends = []
        for body, pose, by in (
            (before[name], Pose(insert=angle + 90.0), np.zeros(3)),
            (after[name], Pose(), shift),
        ):
            at, shape = corner(body, pose, by), body.shapes[0].shape
            assert isinstance(shape, Box)
            front = at[:, 3] - (shape.half[0] + shape.rounding) * at[:, 0]
            ends.append(np.concatenate((front, at[:, 0])))
        assert ends[0] == pytest.approx(ends[1], abs=2e-6), name


@pytest.mark.parametrize("at", [0.0, 9.0, 16.0])
def test_an_axle_takes_wheel_caliper_and_chain_along(at: float) -> None:
    sliding = "build.dropout={kind: sliding, slide: {length: 16, at: 6}}"
    bike = frame3d.solve(frame3d.load(HARDTAIL, sets=[sliding]))
    before, after = carried(bike), carried(at_place(bike, at))
    for name in ("rear_tyre", "rear_rotor", "cassette", "rear_hub"):
        moved = corner(before[name], Pose(slide=at - 6.0), np.zeros(3))
        assert moved == pytest.approx(corner(after[name], Pose(), np.zeros(3)), abs=1e-9), name
    name = next(name for name in before if name.startswith("chain_upper"))
    moved, own = (
        corner(before[name], Pose(slide=at - 6.0), np.zeros(3))[:, 0],
        corner(after[name], Pose(), np.zeros(3))[:, 0],
    )
    assert moved == pytest.approx(own, abs=1e-6)


def test_without_either_nothing_moves() -> None:
    bike = frame3d.solve(frame3d.load(HARDTAIL))
    assert insert_of(bike) is None
    assert slots_of(bike) is None
    assert spindle_mount(None) == FRAME
    assert run_mount(None, None, FRAME, -430 + 60j, (64.0, 24.0), 1.0) is None


@pytest.mark.parametrize(
    ("mount", "stays"),
    [
        ({"kind": "post_mount"}, True),
        ({"kind": "flat_mount", "from_end": 60}, False),
        (None, False),
    ],
)
def test_a_caliper_stays_on_its_mount_and_else_goes_with_the_axle(
    mount: dict[str, Any] | None, stays: bool
) -> None:
    slide = DropoutSpec.model_validate({"kind": "sliding", "slide": {"length": 16, "at": 6}})
    bike = solve(changed(mounted_spec(mount, angle=25.0), "build.dropout", slide))
    before, after = (carried(one)["rear_caliper"] for one in (bike, at_place(bike, 16.0)))
    still = corner(before, Pose(), np.zeros(3))
    gone = np.array(corner(after, Pose(), np.zeros(3))) - still
    assert gone[:, 3] == pytest.approx([0.0 if stays else -10.0, 0.0, 0.0], abs=1e-9)
    moved = corner(before, Pose(slide=10.0), np.zeros(3)) - still
    assert moved == pytest.approx(gone, abs=1e-9)
    said = [note.message for note in bike.warnings if "the caliper" in note.message]
    assert len(said) == (mount is not None)
    assert all(("stays on it" in one) == stays for one in said)
