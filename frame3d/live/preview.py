"""A quick picture of a solved bike: one node a part, without booleans and CAD kernel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from itertools import chain

from frame3d.chart.cache import Cache
from frame3d.clearance.scene import Scene
from frame3d.formats.assembly import mating_bodies
from frame3d.formats.shading import shaded
from frame3d.looks.model_file import Named, packed
from frame3d.looks.piece import Piece
from frame3d.looks.surfaces import Surface, joined, sharp, tube_surface
from frame3d.report.meshes import outline_surface
from frame3d.solids.body import SolidBody
from frame3d.solids.mesh import solid_mesh
from frame3d.solids.sweep import Solid, Sweep

COARSE = 0.5
"""Largest distance of facets from the outline, for plates [mm]."""


def light_glb(
    scene: Scene,
    frame: Sequence[SolidBody],
    looks: Mapping[str, Sequence[Piece]],
    memory: Cache | None = None,
) -> bytes:
    """Return the bike as drawn, as binary glTF, with the same node names as the exact model.

    Args:
        scene: the bike and its parts.
        frame: the frame's parts, from `frame3d.solids.bodies`.
        looks: what the parts are drawn as.
        memory: cache from bikes drawn earlier; only looks that are not in it are in the model, none
            without it.
    """
    surfaces = surfaces_of(scene, frame, memory)
    if memory is not None:
        for piece in chain.from_iterable(looks.values()):
            memory.get_or_compute(piece.key, partial(_add, surfaces, piece))
    return packed(surfaces)


def _add(surfaces: list[Named], piece: Piece) -> None:
    surfaces.append((piece.key, piece.surface))


def surfaces_of(
    scene: Scene, frame: Sequence[SolidBody], memory: Cache | None = None
) -> list[Named]:
    """Return the surfaces of the frame's parts, uncut, then of the parts that it carries."""
    known = Cache() if memory is None else memory
    carried = mating_bodies(scene.parts)
    return [
        *((part.name, joined([_solid(solid, known) for solid in part.metal])) for part in frame),
        *((body.name, outline_surface(body)) for body in carried),
    ]


def _solid(solid: Solid, memory: Cache) -> Surface:
    return memory.get_or_compute(solid, lambda: _surface(solid))


def _surface(solid: Solid) -> Surface:
    if isinstance(solid, Sweep):
        return tube_surface(
            solid.axis, solid.s, solid.height, solid.width, box=solid.box, rounds=solid.rounds
        )
    points, normals, corners = shaded(solid_mesh(solid, COARSE))
    return Surface(points, normals, corners, sharp(points, normals, corners))
