"""Where links put the parts of the frame."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.formats.standing import link_motions, motions_from_drawn, moved, standing_meshes
from tests.bikes import hardtail_layout
from tests.formats.suspended import POSE, layout, model, mounts


def test_every_part_is_on_its_link_or_on_the_front_frame() -> None:
    for tube in layout().tubes:
        assert mounts()[tube.name].name == ("frame" if tube.link is None else tube.link)
    assert mounts()["chainstay_left"].name == "chainstay_link"
    assert mounts()["rear_dropout_right"].name == "seatstay_link"
    assert mounts()["down_tube"] == FRAME


def test_links_carry_their_points_to_where_the_mechanism_has_them() -> None:
    linkage = layout().linkage
    assert linkage is not None
    there = linkage.pose_at(travel=POSE.rear)
    motions = link_motions(layout(), POSE)
    assert list(motions) == list(linkage.links)
    for link, motion in motions.items():
        for name in linkage.bodies[link]:
            x, z = linkage.drawn[name]
            goal = (there.points[name][0], 0.0, there.points[name][1])
            assert (motion @ (x, 0.0, z, 1.0))[:3] == pytest.approx(goal, abs=1e-5)
    axle = motions[linkage.axle_link] @ (*layout().nodes["rear_axle"], 1.0)
    assert (axle[0], axle[2]) == pytest.approx(there.axle, abs=1e-5)
    assert axle[2] - layout().nodes["rear_axle"][2] == pytest.approx(POSE.rear, abs=1e-5)


def test_nothing_moves_where_it_is_drawn() -> None:
    assert link_motions(layout(), Pose(fork=50, steer=10)) == {}
    assert link_motions(hardtail_layout(), Pose()) == {}
    meshes = standing_meshes(model().parts, model().meshes, {})
    assert all(meshes[name] is mesh for name, mesh in model().meshes.items())


def test_meshes_move_rigidly_with_their_links() -> None:
    motions = link_motions(layout(), POSE)
    meshes = standing_meshes(model().parts, model().meshes, motions)
    for part in model().parts:
        mesh, drawn = meshes[part.name], model().meshes[part.name]
        assert mesh.volume == pytest.approx(drawn.volume)
        motion = np.eye(4) if part.link is None else motions[part.link]
        first = motion @ (*drawn.vertices[0], 1.0)
        assert mesh.vertices[0] == pytest.approx(first[:3])
    assert moved(drawn, None) is drawn


def test_pedals_start_where_they_are_drawn() -> None:
    """Their mount's own motion starts from the middle of their circle; the picture's does not."""
    mount = mounts()["pedal_left"]
    assert not np.allclose(matrix(mount, Pose()), np.eye(4))
    still, quarter = motions_from_drawn(mount, Pose(), "crank", np.array([0.0, 90.0]))
    assert still == pytest.approx(np.eye(4))
    assert quarter[:3, 3] == pytest.approx((-170, 0, -170))  # from straight ahead to straight down
