"""GLB: the frame for viewers, one node a part, in metres and y up (glTF 2.0, ISO/IEC 12113)."""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frame3d.caution import CAUTION
from frame3d.export.shading import shaded
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import Colour, FrameModel

FLOAT, UNSIGNED = 5126, 5125
"""Component types (glTF 2.0, section 3.6.2.2)."""
VERTICES, INDICES = 34962, 34963
"""Targets of buffer views (section 3.6.1.1, `bufferView.target`)."""


def glb(model: FrameModel, meshes: Mapping[str, Mesh] | None = None) -> bytes:
    """The frame as binary glTF.

    Args:
        model: the frame.
        meshes: a closed mesh for each part by name; the model's own where left out.
    """
    meshes = model.meshes if meshes is None else meshes
    colours = list(dict.fromkeys(part.colour for part in model.parts))
    buffer = bytearray()
    views: list[dict[str, Any]] = []
    accessors: list[dict[str, Any]] = []

    def add(values: NDArray[Any], kind: str, component: int, target: int) -> int:
        views.append(
            {
                "buffer": 0,
                "byteOffset": len(buffer),
                "byteLength": values.nbytes,
                "target": target,
            }
        )
        buffer.extend(values.tobytes())
        accessor: dict[str, Any] = {
            "bufferView": len(views) - 1,
            "componentType": component,
            "count": len(values),
            "type": kind,
        }
        accessors.append(accessor)
        return len(accessors) - 1

    nodes, drawn = [], []
    for part in model.parts:
        vertices, normals, triangles = shaded(meshes[part.name])
        places = to_gltf(vertices / 1000).astype("<f4")
        position = add(places, "VEC3", FLOAT, VERTICES)
        accessors[position] |= {
            "min": places.min(axis=0).astype(float).tolist(),
            "max": places.max(axis=0).astype(float).tolist(),
        }
        normal = add(to_gltf(normals).astype("<f4"), "VEC3", FLOAT, VERTICES)
        index = add(triangles.astype("<u4").ravel(), "SCALAR", UNSIGNED, INDICES)
        drawn.append(
            {
                "name": part.name,
                "primitives": [
                    {
                        "attributes": {"POSITION": position, "NORMAL": normal},
                        "indices": index,
                        "material": colours.index(part.colour),
                    }
                ],
            }
        )
        nodes.append({"name": part.name, "mesh": len(drawn) - 1})
    document = {
        "asset": {
            "version": "2.0",
            "generator": "frame3d",
            "extras": {"title": model.layout.spec.name, "caution": CAUTION},
        },
        "scene": 0,
        "scenes": [{"name": model.layout.spec.name, "nodes": list(range(len(nodes)))}],
        "nodes": nodes,
        "meshes": drawn,
        "materials": [_material(colour) for colour in colours],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(buffer)}],
    }
    return _container(document, bytes(buffer))


def to_gltf(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    """From x forward, y left, z up to glTF's axes: (n, 3) float -> (n, 3) float.

    "glTF uses a right-handed coordinate system ... +Y as up, +Z as forward, and -X as right"
    (glTF 2.0, section 3.4); so ours go to z, x and y.
    """
    return np.ascontiguousarray(vectors[:, [1, 2, 0]])


def _material(colour: Colour) -> dict[str, Any]:
    """Painted metal; `baseColorFactor` is linear (glTF 2.0, section 3.9.2)."""
    return {
        "name": "#" + "".join(f"{round(255 * value):02x}" for value in colour),
        "pbrMetallicRoughness": {
            "baseColorFactor": [*(round(linear(value), 6) for value in colour), 1.0],
            "metallicFactor": 0.1,
            "roughnessFactor": 0.45,
        },
    }


def linear(value: float) -> float:
    """A colour value from sRGB to linear light, both 0 to 1 (IEC 61966-2-1, from memory)."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _container(document: dict[str, Any], buffer: bytes) -> bytes:
    """Header, JSON chunk, binary chunk (glTF 2.0, section 4.4)."""
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode("utf-8")
    text += b" " * (-len(text) % 4)
    buffer += b"\0" * (-len(buffer) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text
    chunks += struct.pack("<I4s", len(buffer), b"BIN\0") + buffer
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
