"""GLB: the frame for viewers, one node a part, in metres and y up (glTF 2.0, ISO/IEC 12113).

Meshes are in the drawn position; nodes move them to the pose, and animations move the nodes.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.motion.mounts import TRAVELS, Mount
from frame3d.bodies.motion.pose import Pose
from frame3d.caution import CAUTION
from frame3d.formats.animation import Animation, Stroke, animated, quaternions_of
from frame3d.formats.shading import shaded
from frame3d.formats.standing import motions_from_drawn
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import Colour, FrameModel

FLOAT, UNSIGNED = 5126, 5125
"""Component types (glTF 2.0, section 3.6.2.2)."""
VERTICES, INDICES = 34962, 34963
"""Targets of buffer views (section 3.6.1.1, `bufferView.target`); data of animations has none."""
STILL = 1e-9
"""Smaller movements count as none [m]."""


def glb(
    model: FrameModel,
    meshes: Mapping[str, Mesh] | None = None,
    mounts: Mapping[str, Mount] | None = None,
    pose: Pose | None = None,
    strokes: Sequence[Stroke] = (),
) -> bytes:
    """Return the frame as binary glTF.

    Args:
        model: the frame.
        meshes: a closed mesh of each part as drawn, by name; the model's own if not given.
        mounts: mount of each part, by name; others do not move.
        pose: pose of all moving parts; as drawn if not given.
        strokes: motions to show as animations.
    """
    meshes = model.meshes if meshes is None else meshes
    mounts = {} if mounts is None else mounts
    stand = Pose() if pose is None else pose
    colours = list(dict.fromkeys(part.colour for part in model.parts))
    buffer = _Buffer()
    nodes: list[dict[str, Any]] = []
    drawn = []
    for part in model.parts:
        vertices, normals, triangles = shaded(meshes[part.name])
        position = buffer.add(to_gltf(vertices / 1000), "VEC3", VERTICES, bounds=True)
        normal = buffer.add(to_gltf(normals), "VEC3", VERTICES)
        index = buffer.add(triangles.ravel(), "SCALAR", INDICES)
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
        mount = mounts.get(part.name)
        placed = {} if mount is None else _placed(mount, stand)
        nodes.append({"name": part.name, "mesh": len(drawn) - 1, **placed})
    corners = _corners(mounts, {part.name: meshes[part.name] for part in model.parts})
    animations = []
    for stroke in strokes:
        shown = animated(stroke, stand, corners)
        if shown.tracks:
            on = {i: mounts[node["name"]] for i, node in enumerate(nodes) if node["name"] in mounts}
            animations.append(_animation(shown, on, buffer))
    document = {
        "asset": {
            "version": "2.0",
            "generator": "frame3d",
            "extras": {"title": model.bike.spec.title, "caution": CAUTION},
        },
        "scene": 0,
        "scenes": [{"name": model.bike.spec.title, "nodes": list(range(len(nodes)))}],
        "nodes": nodes,
        "meshes": drawn,
        "materials": [_material(colour) for colour in colours],
        **({"animations": animations} if animations else {}),
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return container(document, bytes(buffer.data))


class _Buffer:
    """The binary chunk, with its views and accessors."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def add(
        self, values: NDArray[Any], kind: str, target: int | None = None, *, bounds: bool = False
    ) -> int:
        """Append values in 32 bits; return the index of their accessor."""
        whole = np.issubdtype(values.dtype, np.integer)
        stored = values.astype("<u4" if whole else "<f4")
        view: dict[str, Any] = {
            "buffer": 0,
            "byteOffset": len(self.data),
            "byteLength": stored.nbytes,
        }
        self.views.append(view if target is None else {**view, "target": target})
        self.data.extend(stored.tobytes())
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": UNSIGNED if whole else FLOAT,
            "count": len(stored),
            "type": kind,
        }
        if bounds:
            rows = stored.reshape(len(stored), -1).astype(float)
            accessor |= {"min": rows.min(axis=0).tolist(), "max": rows.max(axis=0).tolist()}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def to_gltf(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return vectors (x forward, y left, z up) in glTF's axes: (n, 3) float -> (n, 3) float.

    "glTF uses a right-handed coordinate system ... +Y as up, +Z as forward, and -X as right"
    (glTF 2.0, section 3.4); so ours go to z, x and y.
    """
    return np.ascontiguousarray(vectors[:, [1, 2, 0]])


def quaternions_to_gltf(quaternions: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return unit quaternions x, y, z, w in glTF's axes: (n, 4) float -> (n, 4) float."""
    return np.ascontiguousarray(quaternions[:, [1, 2, 0, 3]])


def _placed(mount: Mount, pose: Pose) -> dict[str, list[float]]:
    """Return a node's position as translation and rotation, since it may be animated (section 3.5.2)."""
    motion = motions_from_drawn(mount, pose, "rear", np.array([pose.rear]))
    (translation,) = to_gltf(motion[:, :3, 3] / 1000)
    (rotation,) = quaternions_to_gltf(quaternions_of(motion[:, :3, :3]))
    out = {}
    if np.abs(translation).max() > STILL:
        out["translation"] = (np.round(translation, 9) + 0.0).tolist()
    if np.abs(rotation[:3]).max() > STILL:
        out["rotation"] = (np.round(rotation, 9) + 0.0).tolist()
    return out


def _corners(
    mounts: Mapping[str, Mount], meshes: Mapping[str, Mesh]
) -> dict[Mount, NDArray[np.float64]]:
    """Return the corners of the bounding boxes of each mount's parts, as drawn: (n, 3) float [mm]."""
    out: dict[Mount, list[NDArray[np.float64]]] = {}
    for name, mesh in meshes.items():
        if name in mounts:
            box = np.array([mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)])
            corners = np.array(np.meshgrid(*box.T)).reshape(3, -1).T
            out.setdefault(mounts[name], []).append(corners)
    return {mount: np.vstack(boxes) for mount, boxes in out.items()}


def _animation(shown: Animation, on: Mapping[int, Mount], buffer: _Buffer) -> dict[str, Any]:
    """Return a glTF animation (section 3.11); nodes on the same mount share samplers."""
    stroke = shown.stroke
    times = buffer.add(shown.times, "SCALAR", bounds=True)
    samplers: list[dict[str, Any]] = []
    known: dict[bytes, int] = {}
    paths: dict[Mount, dict[str, int]] = {}
    for mount, track in shown.tracks.items():
        paths[mount] = {}
        for path, kind, values in (
            ("translation", "VEC3", to_gltf(track.translation / 1000)),
            ("rotation", "VEC4", quaternions_to_gltf(track.rotation)),
        ):
            if np.ptp(values, axis=0).max() <= STILL:
                continue
            if (key := values.tobytes()) not in known:
                known[key] = len(samplers)
                output = buffer.add(values, kind)
                samplers.append({"input": times, "output": output, "interpolation": "LINEAR"})
            paths[mount][path] = known[key]
    return {
        "name": stroke.title,
        "channels": [
            {"sampler": sampler, "target": {"node": node, "path": path}}
            for node, mount in on.items()
            for path, sampler in paths.get(mount, {}).items()
        ],
        "samplers": samplers,
        "extras": {
            "motion": stroke.motion,
            "low": round(stroke.low, 6),
            "high": round(stroke.high, 6),
            "unit": "mm" if stroke.motion in TRAVELS else "degrees",
        },
    }


def _material(colour: Colour) -> dict[str, Any]:
    """Return the material of painted metal; `baseColorFactor` is linear (glTF 2.0, section 3.9.2)."""
    return {
        "name": "#" + "".join(f"{round(255 * value):02x}" for value in colour),
        "pbrMetallicRoughness": {
            "baseColorFactor": [*(round(linear(value), 6) for value in colour), 1.0],
            "metallicFactor": 0.1,
            "roughnessFactor": 0.45,
        },
    }


def linear(value: float) -> float:
    """Return an sRGB colour value as linear light, both 0 to 1 (IEC 61966-2-1, from memory)."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def container(document: dict[str, Any], buffer: bytes = b"") -> bytes:
    """Return the file: header, JSON chunk, binary chunk if not empty (glTF 2.0, section 4.4)."""
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode("utf-8")
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text
    if buffer:
        buffer += b"\0" * (-len(buffer) % 4)
        chunks += struct.pack("<I4s", len(buffer), b"BIN\0") + buffer
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
