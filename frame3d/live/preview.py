"""A quick picture of a solved bike: one node a part, without booleans and CAD kernel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial
from typing import Any

import numpy as np

from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.motion.pose import Matrix, Pose, matrix, own_matrix
from frame3d.chart.cache import Cache
from frame3d.clearance.scene import Scene
from frame3d.formats.assembly import mating_bodies
from frame3d.formats.glb import FLOAT, INDICES, VERTICES, container, to_gltf
from frame3d.formats.shading import shaded
from frame3d.live.preview_surfaces import Surface, joined, shape_surface, sharp, tube_surface
from frame3d.solids.body import SolidBody
from frame3d.solids.mesh import solid_mesh
from frame3d.solids.sweep import Solid, Sweep

Named = tuple[str, Surface]
TRIANGLES, LINES = 4, 1
"""Modes of glTF's primitives."""
SHORT = 5123
"""glTF's unsigned short; no part has 65,536 points."""
COARSE = 0.5
"""Largest distance of facets from the outline, for plates [mm]."""


def light_glb(scene: Scene, frame: Sequence[SolidBody], memory: Cache | None = None) -> bytes:
    """Return the bike as drawn, as binary glTF, with the same node names as the exact model.

    Args:
        scene: the bike and its parts.
        frame: the frame's parts, from `frame3d.solids.bodies`.
        memory: cache from bikes drawn earlier.
    """
    return packed(surfaces_of(scene, frame, memory))


def surfaces_of(
    scene: Scene, frame: Sequence[SolidBody], memory: Cache | None = None
) -> list[Named]:
    """Return the surfaces of the frame's parts, uncut, then of the parts that it carries."""
    known = Cache() if memory is None else memory
    carried = mating_bodies(Bodies(scene.bodies, scene.absent))
    standing = cache(partial(matrix, pose=Pose()))  # many parts share a mount
    return [
        *((part.name, joined([_solid(solid, known) for solid in part.metal])) for part in frame),
        *((body.name, _carried(body, standing)) for body in carried),
    ]


def _solid(solid: Solid, memory: Cache) -> Surface:
    return memory.get_or_compute(solid, lambda: _surface(solid))


def _surface(solid: Solid) -> Surface:
    if isinstance(solid, Sweep):
        return tube_surface(solid.axis, solid.s, solid.height, solid.width, box=solid.box)
    points, normals, corners = shaded(solid_mesh(solid, COARSE))
    return Surface(points, normals, corners, sharp(points, normals, corners))


def _carried(body: Body, standing: Callable[[Mount], Matrix]) -> Surface:
    shapes = [shape_surface(p.shape).moved(standing(p.mount) @ own_matrix(p)) for p in body.shapes]
    if shapes:
        return joined(shapes)
    return joined(
        [
            tube_surface(t.axis, t.section.s, t.section.height, t.section.width).moved(
                standing(t.mount)
            )
            for t in body.tubes
        ]
    )


def packed(parts: Sequence[Named]) -> bytes:
    """Return surfaces as binary glTF 2.0, in metres, y up; colours are in the scene document.

    Each surface is a mesh of triangles, and of lines for its sharp edges. All share three views of one
    buffer: positions, normals, indices.
    """
    if not parts:
        return container({"asset": {"version": "2.0"}, "scene": 0, "scenes": [{}]})
    surfaces = [surface for _, surface in parts]
    places = to_gltf(np.concatenate([s.points for s in surfaces]) / 1000).astype("<f4")
    normals = to_gltf(np.concatenate([s.normals for s in surfaces])).astype("<f4")
    corners = np.concatenate(
        [indices.ravel() for s in surfaces for indices in (s.corners, s.edges)]
    ).astype("<u2")
    firsts = np.cumsum([0, *(len(s.points) for s in surfaces[:-1])])
    lows = np.minimum.reduceat(places, firsts).tolist()
    highs = np.maximum.reduceat(places, firsts).tolist()
    arrays = (places, normals, corners)
    starts = np.cumsum([0, *(array.nbytes for array in arrays)])
    views = [
        {"buffer": 0, "byteOffset": int(start), "byteLength": array.nbytes, "target": target}
        for start, array, target in zip(starts, arrays, (VERTICES, VERTICES, INDICES), strict=False)
    ]
    accessors: list[dict[str, Any]] = []
    meshes: list[dict[str, Any]] = []
    point = corner = 0
    for surface, low, high in zip(surfaces, lows, highs, strict=True):
        count = len(surface.points)
        vertex = {"byteOffset": 12 * point, "componentType": FLOAT, "count": count, "type": "VEC3"}
        bounds = {"min": low, "max": high}
        first = len(accessors)
        accessors += [{"bufferView": 0, **vertex, **bounds}, {"bufferView": 1, **vertex}]
        attributes = {"POSITION": first, "NORMAL": first + 1}
        primitives: list[dict[str, Any]] = []
        for mode, indices in ((TRIANGLES, surface.corners), (LINES, surface.edges)):
            if indices.size == 0:
                continue
            index = {"byteOffset": 2 * corner, "componentType": SHORT, "count": indices.size}
            primitives.append({"attributes": attributes, "indices": len(accessors), "mode": mode})
            accessors.append({"bufferView": 2, **index, "type": "SCALAR"})
            corner += indices.size
        meshes.append({"primitives": primitives})
        point += count
    document = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(parts)))}],
        "nodes": [{"name": name, "mesh": i} for i, (name, _) in enumerate(parts)],
        "meshes": meshes,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": int(starts[-1])}],
    }
    return container(document, b"".join(array.tobytes() for array in arrays))
