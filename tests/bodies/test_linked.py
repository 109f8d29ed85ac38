"""Bodies on the rear links move as the linkage says."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.motion.linked import chain_swings, link_swings, longest_run, shock_swings
from frame3d.bodies.motion.mounts import link_mount
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.parts.drivetrain import tangent
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE


@pytest.fixture(scope="module")
def layout() -> Bike:
    return solve(loads(MINIMAL + SINGLE))


def test_links_move_as_the_linkage_says(layout: Bike) -> None:
    linkage = layout.linkage
    assert linkage is not None
    for name in linkage.links:
        mount = link_mount(name, link_swings(linkage, [name])[0])
        for travel in np.linspace(0, linkage.full_travel, 13):
            pose = linkage.pose_at(travel=float(travel))
            moved = matrix(mount, Pose(rear=float(travel)))
            for point in linkage.bodies[name]:
                x, z = linkage.drawn[point]
                at = moved @ [x, 3.0, z, 1.0]
                assert at[[0, 2]] == pytest.approx(pose.points[point], abs=2e-6)
                assert at[1] == 3.0


def test_the_shock_keeps_its_eyes_and_shortens_by_its_stroke(layout: Bike) -> None:
    linkage = layout.linkage
    assert linkage is not None
    halves = [link_mount(str(i), s) for i, s in enumerate(shock_swings(linkage))]
    for travel in np.linspace(0, linkage.full_travel, 9):
        pose = linkage.pose_at(travel=float(travel))
        eyes = []
        for mount, name in zip(halves, linkage.shock, strict=True):
            x, z = linkage.drawn[name]
            at = matrix(mount, Pose(rear=float(travel))) @ [x, 0.0, z, 1.0]
            assert at[[0, 2]] == pytest.approx(pose.points[name], abs=2e-6)
            eyes.append(at)
        length = float(np.linalg.norm(eyes[1] - eyes[0]))
        assert length == pytest.approx(linkage.eye_to_eye - pose.stroke, abs=1e-5)
        # Both halves keep pointing at each other.
        turned = [s.at(float(travel))[2] for s in shock_swings(linkage)]
        assert turned[0] == pytest.approx(turned[1], abs=1e-9)


@pytest.mark.parametrize("up", [1.0, -1.0])
def test_the_chain_stays_on_ring_and_cog(layout: Bike, up: float) -> None:
    """The moved run lies on the tangent that `tangent` draws anew for the moved axle."""
    linkage = layout.linkage
    assert linkage is not None
    ring, cog = 65.0, 103.0
    other, swing = chain_swings(linkage, [(50.0, 20.0, -up), (ring, cog, up)])
    (alone,) = chain_swings(linkage, [(50.0, 20.0, -up)])
    assert (other.knots == alone.knots).all()  # worked out together or not
    mount = link_mount("chain", swing)
    axle = (linkage.drawn["rear_axle"][0], 0.0, linkage.drawn["rear_axle"][1])
    a, b = tangent((0.0, 0.0, 0.0), ring, axle, cog, up)
    for travel in np.linspace(0, linkage.full_travel, 7):
        x, z = linkage.axle_at(float(travel))
        c, d = tangent((0.0, 0.0, 0.0), ring, (x, 0.0, z), cog, up)
        moved = matrix(mount, Pose(rear=float(travel)))
        assert (moved @ [*a, 1.0])[:3] == pytest.approx(c, abs=1e-5)
        direction = np.subtract(d, c) / np.linalg.norm(np.subtract(d, c))
        along = (moved[:3, :3] @ np.subtract(b, a)) / np.linalg.norm(np.subtract(b, a))
        assert along == pytest.approx(direction, abs=1e-7)
        assert np.linalg.norm(np.subtract(d, c)) <= longest_run(linkage, ring, cog) + 0.05


def test_bodies_on_links_stand_where_they_are_drawn_at_no_travel(layout: Bike) -> None:
    for body in bodies_of(layout).bodies:
        for solid in (*body.shapes, *body.tubes):
            if all(step.name == "rear" for step in solid.mount.steps):
                assert matrix(solid.mount, Pose()) == pytest.approx(np.eye(4), abs=1e-9)
