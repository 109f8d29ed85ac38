"""Frame, outlines of parts and their looks as one GLB, as drawn, without the CAD kernel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.motion.pose import Pose, matrix, own_matrix
from frame3d.formats.assembly import mating_bodies
from frame3d.formats.shading import shaded
from frame3d.geometry.vector import Point, point
from frame3d.looks.model_file import Named, packed
from frame3d.looks.piece import Piece
from frame3d.looks.pieces import looks_of
from frame3d.looks.surfaces import NO_EDGES, Surface, joined, shape_surface, tube_surface
from frame3d.solids.bodies import bodies as frame_bodies
from frame3d.solids.body import SolidBody
from frame3d.solids.body_meshes import mesh_of_part
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import FramePart, rgb
from frame3d.solids.outline_mesh import body_mesh
from frame3d.tubes.cuts.edge import cut_lengths

FRAME, PARTS = 0.2, 0.4
"""Largest distance of a mesh from the true surface, for the frame and for its parts [mm]."""


@dataclass(frozen=True)
class Meshes:
    """The frame's parts with masses and lengths, and everything as one GLB."""

    frame: tuple[SolidBody, ...]
    """Parts of the frame in build order."""
    grams: Mapping[str, float]
    """Mass of each of the frame's parts by name."""
    lengths: Mapping[str, float]
    """Cut length of each tube by name [mm], see `frame3d.tubes.cuts.edge.cut_lengths`; empty in a quick
    picture."""
    centre: Point | None
    """Centre of mass of the bare frame [mm]; None where there are no parts."""
    glb: bytes
    """One node for each part, with its name, and for each piece of its looks, with the piece's key, in
    the piece's own axes; empty where there is nothing to show."""
    looks: Mapping[str, tuple[Piece, ...]] = field(default_factory=dict)
    """What parts are drawn as, by name; others are drawn as their outlines."""
    surfaces: tuple[Named, ...] = ()
    """What the GLB is made of, by the names of its nodes."""


def meshes_of(
    bike: Bike, carried: Bodies, *, frame_within: float = FRAME, quick_outlines: bool = False
) -> Meshes:
    """Mesh the frame of a bike and the parts that it carries.

    Args:
        bike: a solved bike.
        carried: its bodies.
        frame_within: largest distance of the frame's meshes from the true surface [mm].
        quick_outlines: whether outlines of parts are left in pieces, see `outline_surface`.

    Raises:
        SolidError: a bore that leaves no wall; nothing is left of a part after its cuts.
    """
    bodies = frame_bodies(bike)
    meshes: dict[str, Mesh] = {}
    parts: list[FramePart] = []
    for body in bodies:
        mesh = mesh_of_part(bike, body, frame_within)
        meshes[body.name] = mesh
        parts.append(
            FramePart(
                name=body.name,
                key=body.key,
                side=body.side,
                colour=rgb(body.colour),
                material=body.material,
                density=body.density,
                shape=None,
                volume=mesh.volume,
                centre=point(mesh.centre),
            )
        )
    frame = tuple(parts)
    surfaces = [(name, _surface(mesh)) for name, mesh in meshes.items()]
    outline = outline_surface if quick_outlines else _whole_outline
    fork = {} if bike.fork is None else {body.name: body for body in frame_bodies(bike.fork)}
    for part in mating_bodies(carried):
        own = fork.get(part.name)  # of a fork that the shop builds, with every cut
        if own is None or bike.fork is None:
            surfaces.append((part.name, outline(part)))
        else:
            mesh = mesh_of_part(bike.fork, own, PARTS)
            surfaces.append((part.name, _surface(_taken_up(mesh, part))))
    looks = looks_of(bike, carried)
    pieces = {piece.key: piece for look in looks.values() for piece in look}
    surfaces += [(key, piece.surface) for key, piece in pieces.items()]
    total = sum(part.mass for part in frame)
    return Meshes(
        bodies,
        {part.name: part.mass for part in frame},
        cut_lengths(bike.frame),
        _common(frame, total) if total > 0 else None,
        packed(surfaces) if surfaces else b"",
        looks,
        tuple(surfaces),
    )


def outline_surface(body: Body) -> Surface:
    """Return the surfaces of a part's outlines, each whole, where the viewer's mounts take them up.

    They are quickly made, and unlike a mesh of the part they go on inside each other.
    """
    shapes = [shape_surface(p.shape).moved(own_matrix(p)) for p in body.shapes]
    if shapes:
        return joined(shapes)
    return joined(
        [
            tube_surface(
                t.axis, t.section.s, t.section.height, t.section.width, rounds=t.section.rounds
            )
            for t in body.tubes
        ]
    )


def _whole_outline(body: Body) -> Surface:
    """Return a body's outline where its mounts take it up: what circles begins at the middle."""
    return _surface(_taken_up(body_mesh(body, tolerance=PARTS), body))


def _taken_up(mesh: Mesh, body: Body) -> Mesh:
    """Return a mesh of a body where its mounts take it up."""
    back = np.linalg.inv(matrix(body.mount, Pose()))
    return Mesh(mesh.vertices @ back[:3, :3].T + back[:3, 3], mesh.triangles)


def _surface(mesh: Mesh) -> Surface:
    """Return a mesh with normals; the viewer finds its sharp edges by itself."""
    points, normals, corners = shaded(mesh)
    return Surface(points, normals, corners, NO_EDGES)


def _common(parts: tuple[FramePart, ...], total: float) -> Point:
    x, y, z = (sum(part.mass * part.centre[i] for part in parts) / total for i in range(3))
    return (x, y, z)
