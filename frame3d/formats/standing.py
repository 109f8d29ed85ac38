"""Positions of the frame's parts at a pose, each part with its link of the rear suspension."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import Mount, Name
from frame3d.bodies.motion.pose import Matrix, Pose, matrices, matrix
from frame3d.bodies.placement import Placement
from frame3d.geometry.arrays import Array
from frame3d.solids.mesh import Mesh

STEERS = "built fork"
"""Name of the sub-assembly of a fork that the shop builds; no link's name has a space."""


class Linked(Protocol):
    """A part of the frame, as a body or a tube."""

    @property
    def name(self) -> str:
        """Unique name."""

    @property
    def link(self) -> str | None:
        """Link of the rear suspension with which it moves; None on the front frame."""


def part_mount(place: Placement, part: Linked) -> Mount:
    """Return the mount of a part of the frame: its link, or the front frame."""
    return place.link(part.link)


def motions_from_drawn(mount: Mount, pose: Pose, name: Name, values: Array) -> Matrix:
    """Return the motions of a mount from its position at `Pose()`, where meshes are.

    The same as `matrices`, except for a pedal, whose mount starts from the centre of its circle.

    Args:
        mount: the mount.
        pose: of everything but one motion.
        name: that motion.
        values: its values: (k,) float [mm or degrees].

    Returns:
        (k, 4, 4) float [mm].
    """
    start = matrix(mount, Pose())
    motions: Matrix = matrices(mount, pose, name, values) @ np.linalg.inv(start)
    return motions


def link_motions(bike: Bike, pose: Pose) -> dict[str, Matrix]:
    """Return the motion of each link from its drawn position to a pose, by name: (4, 4) float [mm].

    Empty where the links stand as drawn, and on a frame without rear suspension.
    """
    if bike.linkage is None or pose.rear == 0:
        return {}
    place = Placement(bike)
    return {name: matrix(place.link(name), pose) for name in bike.linkage.links}


def steering_motion(bike: Bike, pose: Pose) -> dict[str, Matrix]:
    """Return the motion of what turns with the bar to a pose, under `STEERS`: (4, 4) float [mm].

    Empty where the bar is straight.
    """
    return {STEERS: matrix(Placement(bike).steering, pose)} if pose.steer else {}


def moved(mesh: Mesh, motion: Matrix | None) -> Mesh:
    """Return a mesh after a motion; unchanged where there is none."""
    if motion is None:
        return mesh
    return Mesh(mesh.vertices @ motion[:3, :3].T + motion[:3, 3], mesh.triangles)


def standing_meshes(
    parts: tuple[Linked, ...], meshes: Mapping[str, Mesh], motions: Mapping[str, Matrix]
) -> Mapping[str, Mesh]:
    """Return the meshes of parts at their positions in a pose, by name.

    Args:
        parts: of the frame.
        meshes: of each part where it is drawn, by name.
        motions: from `link_motions`.
    """
    return {part.name: moved(meshes[part.name], motions.get(part.link or "")) for part in parts}
