"""Surfaces as binary glTF for the viewer: small, one node each, with lines for sharp edges."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from frame3d.formats.glb import FLOAT, INDICES, UNSIGNED, VERTICES, container, to_gltf
from frame3d.looks.surfaces import Surface

Named = tuple[str, Surface]
TRIANGLES, LINES = 4, 1
"""Modes of glTF's primitives."""
SHORT = 5123
"""glTF's unsigned short, where no surface has 65,536 points."""


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
    short = max(len(s.points) for s in surfaces) < 2**16
    corners = np.concatenate(
        [indices.ravel() for s in surfaces for indices in (s.corners, s.edges)]
    ).astype("<u2" if short else "<u4")
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
    for (name, surface), low, high in zip(parts, lows, highs, strict=True):
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
            index = {
                "byteOffset": corners.itemsize * corner,
                "componentType": SHORT if short else UNSIGNED,
                "count": indices.size,
            }
            primitives.append({"attributes": attributes, "indices": len(accessors), "mode": mode})
            accessors.append({"bufferView": 2, **index, "type": "SCALAR"})
            corner += indices.size
        meshes.append({"name": name, "primitives": primitives})
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
