"""Light: a solved bike as a picture at once, one node a part, without booleans and CAD kernel."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.pose import Pose, matrix, placed_matrix
from frame3d.clearance.scene import Scene
from frame3d.export.assembly import mating_bodies
from frame3d.export.glb import FLOAT, INDICES, UNSIGNED, VERTICES, to_gltf
from frame3d.export.shading import shaded
from frame3d.report.live.surfaces import Surface, joined, shape_surface, tube_surface
from frame3d.solids.body import Body as FrameBody
from frame3d.solids.mesh import solid_mesh
from frame3d.solids.sweep import Solid, Sweep

Named = tuple[str, Surface]
COARSE = 0.5
"""Of plates: how far facets may lie from the outline [mm]."""


def light_glb(scene: Scene, frame: Sequence[FrameBody]) -> bytes:
    """Everything where it is drawn, as binary glTF; nodes carry the same names as the exact model's.

    Args:
        scene: the bike and its parts.
        frame: the frame's parts, from `frame3d.solids.bodies`.
    """
    return packed(surfaces_of(scene, frame))


def surfaces_of(scene: Scene, frame: Sequence[FrameBody]) -> list[Named]:
    """The parts of the frame, whole, then those that it carries."""
    carried = mating_bodies(Bodies(scene.bodies, scene.absent))
    return [
        *((part.name, joined([_solid(solid) for solid in part.metal])) for part in frame),
        *((body.name, _carried(body)) for body in carried),
    ]


def _solid(solid: Solid) -> Surface:
    if isinstance(solid, Sweep):
        return tube_surface(solid.axis, solid.s, solid.height, solid.width, box=solid.box)
    return Surface(*shaded(solid_mesh(solid, COARSE)))


def _carried(body: Body) -> Surface:
    drawn = Pose()
    if body.shapes:
        return joined([shape_surface(p.shape).moved(placed_matrix(p, drawn)) for p in body.shapes])
    return joined(
        [
            tube_surface(t.axis, t.section.s, t.section.height, t.section.width).moved(
                matrix(t.mount, drawn)
            )
            for t in body.tubes
        ]
    )


def packed(parts: Sequence[Named]) -> bytes:
    """Surfaces as binary glTF 2.0: metres, y up; colours are the scene document's."""
    buffer = bytearray()
    views: list[dict[str, Any]] = []
    accessors: list[dict[str, Any]] = []
    nodes, meshes = [], []
    for name, surface in parts:
        places = to_gltf(surface.points / 1000).astype("<f4")
        arrays = (
            (places, "VEC3", FLOAT, VERTICES),
            (to_gltf(surface.normals).astype("<f4"), "VEC3", FLOAT, VERTICES),
            (surface.corners.astype("<u4").ravel(), "SCALAR", UNSIGNED, INDICES),
        )
        first = len(accessors)
        for values, kind, component, target in arrays:
            views.append(
                {
                    "buffer": 0,
                    "byteOffset": len(buffer),
                    "byteLength": values.nbytes,
                    "target": target,
                }
            )
            buffer += values.tobytes()
            accessors.append(
                {
                    "bufferView": len(views) - 1,
                    "componentType": component,
                    "count": len(values),
                    "type": kind,
                }
            )
        accessors[first] |= {
            "min": places.min(axis=0).astype(float).tolist(),
            "max": places.max(axis=0).astype(float).tolist(),
        }
        attributes = {"POSITION": first, "NORMAL": first + 1}
        meshes.append({"primitives": [{"attributes": attributes, "indices": first + 2}]})
        nodes.append({"name": name, "mesh": len(meshes) - 1})
    document: dict[str, Any] = {"asset": {"version": "2.0"}, "scene": 0}
    document["scenes"] = [{"nodes": list(range(len(nodes)))}] if nodes else [{}]
    if nodes:
        document |= {
            "nodes": nodes,
            "meshes": meshes,
            "accessors": accessors,
            "bufferViews": views,
            "buffers": [{"byteLength": len(buffer)}],
        }
    text = json.dumps(document, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text
    if nodes:
        buffer += b"\0" * (-len(buffer) % 4)
        chunks += struct.pack("<I4s", len(buffer), b"BIN\0") + bytes(buffer)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
