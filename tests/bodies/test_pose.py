"""Poses: the same motions as the clearance engine's, and by hand."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import CRANK, FRAME, Mount
from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.shapes import PlacedShape, bar, box
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.clearance.certify.motion import Range
from frame3d.geometry.vector import Point
from tests.bodies.bike import layout, place
from tests.bodies.distance import signed

POSES = [
    Pose(),
    Pose(fork=60),
    Pose(steer=35),
    Pose(crank=75),
    Pose(heel=12),
    Pose(fork=110, steer=-42, crank=211, heel=-14),
]
MOUNTS: list[Mount] = [
    FRAME,
    CRANK,
    place().steering,
    place().fork,
    *place().pedal_mounts("left", 141),
    *place().pedal_mounts("right", 141),
]


@pytest.mark.parametrize("pose", POSES, ids=str)
@pytest.mark.parametrize("shape_mount", MOUNTS, ids=lambda m: m.name)
@pytest.mark.parametrize("tube_mount", MOUNTS, ids=lambda m: m.name)
def test_the_clearance_engine_moves_bodies_the_same_way(
    tube_mount: Mount, shape_mount: Mount, pose: Pose
) -> None:
    """A thin needle against a far ball-like box: the engine's gap is the distance of the moved needle.

    The needle is cut to 0.02 mm and its radius is 0.01 mm, so that it is a point to 0.03 mm.
    """
    a: Point = (320.0, 40.0, 150.0)
    needle = bar("needle", a, (320.0, 40.02, 150.0), 0.01, tube_mount)
    axes = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    brick = PlacedShape("brick", box(30, 20, 10, 2), (-100.0, -300.0, 420.0), shape_mount, axes)
    ranges = [
        Range("fork", pose.fork, pose.fork),
        Range("steer", pose.steer, pose.steer),
        Range("crank", pose.crank, pose.crank),
        Range("heel", pose.heel, pose.heel),
    ]
    found = nearest(needle, brick, ranges)
    assert isinstance(found, Gap)
    moved = (matrix(tube_mount, pose) @ (*a, 1.0))[:3]
    assert found.gap == pytest.approx(signed(brick, moved[None], pose)[0], abs=0.05)


def test_by_hand() -> None:
    """Steering left takes what is ahead of the axis to the left; travel goes up the axis."""
    race, up, ahead = place().node("crown_race"), place().up, place().ahead
    start = race + 100 * ahead
    left = (matrix(place().steering, Pose(steer=90)) @ (*start, 1.0))[:3]
    assert left == pytest.approx(race + np.array([0, 100, 0]))
    raised = (matrix(place().fork, Pose(fork=30)) @ (*start, 1.0))[:3]
    assert raised == pytest.approx(start + 30 * up)
    assert matrix(place().steering, Pose(fork=30)) == pytest.approx(np.eye(4))


@pytest.mark.parametrize("mount", MOUNTS, ids=lambda m: m.name)
@pytest.mark.parametrize("pose", POSES, ids=str)
def test_motions_are_rigid(mount: Mount, pose: Pose) -> None:
    m = matrix(mount, pose)
    assert m[:3, :3] @ m[:3, :3].T == pytest.approx(np.eye(3))
    assert np.linalg.det(m[:3, :3]) == pytest.approx(1)
    assert list(m[3]) == [0, 0, 0, 1]


def test_a_shapes_own_axes_go_where_they_are_drawn() -> None:
    axes = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    placed = PlacedShape("brick", box(3, 2, 1), (10.0, 20.0, 30.0), FRAME, axes)
    m = placed_matrix(placed, Pose())
    assert m @ (1, 0, 0, 1) == pytest.approx((10, 21, 30, 1))
    assert m @ (0, 0, 1, 1) == pytest.approx((11, 20, 30, 1))


def test_the_front_wheel_stands_at_its_axle() -> None:
    axle = np.array(layout().nodes["front_axle"])
    assert (matrix(place().fork, Pose()) @ (*axle, 1))[:3] == pytest.approx(axle)
