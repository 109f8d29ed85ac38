"""Standing: where a pose puts the parts of the frame, each with its link of the rear suspension."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Body
from frame3d.bodies.motion.mounts import Mount, Name
from frame3d.bodies.motion.pose import Matrix, Pose, matrices, matrix
from frame3d.bodies.placement import Placement
from frame3d.solids.mesh import Mesh

Array = NDArray[np.float64]


class Linked(Protocol):
    """A part of the frame, its body or its tube."""

    @property
    def name(self) -> str:
        """No two alike."""

    @property
    def link(self) -> str | None:
        """Link of the rear suspension that it moves with; None on the front frame."""


def part_mount(place: Placement, part: Linked) -> Mount:
    """Return what a part of the frame is fixed to: its link, or the front frame."""
    return place.link(part.link)


def body_mount(body: Body) -> Mount:
    """Return what a mating part is fixed to, all of it."""
    return (body.shapes[0] if body.shapes else body.tubes[0]).mount


def motions_from_drawn(mount: Mount, pose: Pose, name: Name, values: Array) -> Matrix:
    """Return the motion of what a mount carries from where it stands at `Pose()`, as its mesh does.

    That is `matrices` but for a pedal, whose mount starts from the middle of its circle.

    Args:
        mount: what it is fixed to.
        pose: where everything stands but for one motion.
        name: that motion.
        values: its values: (k,) float [mm or degrees].

    Returns:
        (k, 4, 4) float [mm].
    """
    start = matrix(mount, Pose())
    motions: Matrix = matrices(mount, pose, name, values) @ np.linalg.inv(start)
    return motions


def link_motions(bike: Bike, pose: Pose) -> dict[str, Matrix]:
    """The motion of each link from where it is drawn to where it stands, by name: (4, 4) float [mm].

    Empty where the links stand as drawn, and on a frame without rear suspension.
    """
    if bike.linkage is None or pose.rear == 0:
        return {}
    place = Placement(bike)
    return {name: matrix(place.link(name), pose) for name in bike.linkage.links}


def moved(mesh: Mesh, motion: Matrix | None) -> Mesh:
    """Return a mesh after a motion; the same one where there is none."""
    if motion is None:
        return mesh
    return Mesh(mesh.vertices @ motion[:3, :3].T + motion[:3, 3], mesh.triangles)


def standing_meshes(
    parts: tuple[Linked, ...], meshes: Mapping[str, Mesh], motions: Mapping[str, Matrix]
) -> Mapping[str, Mesh]:
    """Return the meshes of parts where they stand, by name.

    Args:
        parts: of the frame.
        meshes: of each part where it is drawn, by name.
        motions: from `link_motions`.
    """
    return {part.name: moved(meshes[part.name], motions.get(part.link or "")) for part in parts}
