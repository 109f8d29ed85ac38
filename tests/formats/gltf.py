"""A small reader of GLB by the formulas of glTF 2.0 alone; shares nothing with the exporter.

Sections are those of the Khronos Group's "glTF 2.0 Specification" (ISO/IEC 12113), from memory.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]

TYPES = {5126: "<f4", 5125: "<u4"}
WIDTHS = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}

TO_FRAME = np.array([[0.0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 0, 1]])
"""From glTF's axes to x forward, y left, z up: +Z is forward, +X left, +Y up (section 3.4)."""


@dataclass(frozen=True)
class Gltf:
    """A binary glTF."""

    data: bytes

    @cached_property
    def document(self) -> dict[str, Any]:
        """The JSON chunk (section 4.4)."""
        size = struct.unpack("<I", self.data[12:16])[0]
        return json.loads(self.data[20 : 20 + size])

    @cached_property
    def buffer(self) -> bytes:
        """The binary chunk."""
        size = struct.unpack("<I", self.data[12:16])[0]
        return self.data[28 + size :]

    @cached_property
    def _read(self) -> dict[int, Array]:
        return {}

    def values(self, accessor: int) -> Array:
        """What an accessor reads (section 3.6.2): (count, width) float."""
        if accessor not in self._read:
            self._read[accessor] = self._values(accessor)
        return self._read[accessor]

    def _values(self, accessor: int) -> Array:
        a = self.document["accessors"][accessor]
        view = self.document["bufferViews"][a["bufferView"]]
        start, width = view["byteOffset"], WIDTHS[a["type"]]
        flat = np.frombuffer(
            self.buffer[start : start + view["byteLength"]], TYPES[a["componentType"]]
        )
        assert flat.size == a["count"] * width
        return flat.reshape(a["count"], width).astype(float)

    @cached_property
    def nodes(self) -> dict[str, int]:
        """Place of each node by its name."""
        return {node["name"]: i for i, node in enumerate(self.document["nodes"])}

    def vertices(self, name: str) -> Array:
        """A node's mesh in its own axes: (n, 3) float [m]."""
        mesh = self.document["meshes"][self.document["nodes"][self.nodes[name]]["mesh"]]
        return self.values(mesh["primitives"][0]["attributes"]["POSITION"])

    def animation(self, title: str) -> dict[str, Any]:
        """The animation of that name."""
        return next(a for a in self.document["animations"] if a["name"] == title)

    def local(self, name: str, title: str | None = None, time: float = 0.0) -> Array:
        """A node's matrix T R S (section 3.5.3), where an animation has it at a time: (4, 4) float."""
        index = self.nodes[name]
        node = self.document["nodes"][index]
        assert "matrix" not in node
        assert "scale" not in node
        own = {
            "translation": np.array(node.get("translation", (0.0, 0, 0))),
            "rotation": np.array(node.get("rotation", (0.0, 0, 0, 1))),
        }
        if title is not None:
            animation = self.animation(title)
            for channel in animation["channels"]:
                if channel["target"]["node"] == index:
                    sampler = animation["samplers"][channel["sampler"]]
                    own[channel["target"]["path"]] = self.sample(sampler, time, channel)
        x, y, z, w = own["rotation"]
        out = np.eye(4)
        # The rotation q v q*, written out.
        out[:3, :3] = [
            [w * w + x * x - y * y - z * z, 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), w * w - x * x + y * y - z * z, 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), w * w - x * x - y * y + z * z],
        ]
        out[:3, 3] = own["translation"]
        return out

    def sample(self, sampler: dict[str, Any], time: float, channel: dict[str, Any]) -> Array:
        """A LINEAR sampler at a time (appendix C): held before the first and after the last key."""
        assert sampler["interpolation"] == "LINEAR"
        times = self.values(sampler["input"])[:, 0]
        keys = self.values(sampler["output"])
        assert len(keys) == len(times)
        if time <= times[0]:
            return keys[0]
        if time >= times[-1]:
            return keys[-1]
        k = int(np.searchsorted(times, time, side="right")) - 1
        t = (time - times[k]) / (times[k + 1] - times[k])
        a, b = keys[k], keys[k + 1]
        if channel["target"]["path"] != "rotation":
            return (1 - t) * a + t * b
        dot = float(a @ b)
        angle = np.arccos(min(abs(dot), 1.0))
        side = 1.0 if dot >= 0 else -1.0
        if (
            angle < 1e-4
        ):  # "close to zero, spherical linear interpolation turns into regular linear"
            return (1 - t) * a + side * t * b
        return (np.sin(angle * (1 - t)) * a + side * np.sin(angle * t) * b) / np.sin(angle)

    def placed(self, name: str, title: str | None = None, time: float = 0.0) -> Array:
        """A node's vertices in the frame's axes: (n, 3) float [mm]."""
        own = self.vertices(name)
        world = np.column_stack([own, np.ones(len(own))]) @ self.local(name, title, time).T
        return (world @ TO_FRAME.T)[:, :3] * 1000
