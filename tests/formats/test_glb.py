"""GLB: each part where it is, in metres and y up, moved by its node; read by tests/formats/gltf.py."""

from __future__ import annotations

import json
import struct
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.caution import CAUTION
from frame3d.formats.glb import container, glb, linear, to_gltf
from frame3d.solids.model import FrameModel, mesh_part
from tests.bikes import hardtail_layout
from tests.formats.gltf import Gltf
from tests.viewer.viewer_scene import mounts, parts


@cache
def model() -> FrameModel:
    """Blocks, a tube and tyres on every kind of mount."""
    made = tuple(mesh_part(name, colour, mesh) for name, (_, _, colour, mesh) in parts().items())
    return FrameModel(hardtail_layout(), (), made, {name: p[3] for name, p in parts().items()})


def test_parts_lie_where_their_meshes_do() -> None:
    read = Gltf(glb(model()))
    assert list(read.nodes) == list(parts())
    for name, (_, _, _, mesh) in parts().items():
        found = read.placed(name)
        for way in (np.min, np.max):
            assert way(found, axis=0) == pytest.approx(way(mesh.vertices, axis=0), abs=1e-3)
        node = read.document["nodes"][read.nodes[name]]
        assert "translation" not in node
        assert "rotation" not in node
    wide = read.vertices("tube")  # 40 across and 200 high: in metres, its height along y
    assert np.ptp(wide, axis=0) == pytest.approx((0.04, 0.2, 0.04), abs=1e-4)


POSE = Pose(rear=70.0, fork=40.0, steer=25.0)


def test_nodes_take_parts_to_a_pose_and_meshes_stay() -> None:
    on = {name: mounts()[mount] for name, (_, mount, _, _) in parts().items()}
    still, read = Gltf(glb(model())), Gltf(glb(model(), mounts=on, pose=POSE))
    for name, (_, mount, _, _) in parts().items():
        if mount in ("left pedal", "left shoe"):  # drawn away from where their motion starts
            continue
        motion = matrix(mounts()[mount], POSE)
        drawn = still.placed(name)
        expected = drawn @ motion[:3, :3].T + motion[:3, 3]
        assert read.placed(name) == pytest.approx(expected, abs=2e-3), name
        assert read.vertices(name) == pytest.approx(still.vertices(name))


def test_accessors_bound_their_positions_and_views_lie_behind_each_other() -> None:
    """Bounds are asked for of positions (glTF 2.0, section 3.7.2.1); views start at multiples of four."""
    read = Gltf(glb(model()))
    document, end = read.document, 0
    for view in document["bufferViews"]:
        assert view["byteOffset"] == end
        assert view["byteOffset"] % 4 == 0
        end += view["byteLength"]
    assert document["buffers"] == [{"byteLength": end}]
    for mesh in document["meshes"]:
        (primitive,) = mesh["primitives"]
        place = primitive["attributes"]["POSITION"]
        values = read.values(place)
        accessor = document["accessors"][place]
        assert values.min(axis=0).tolist() == accessor["min"]
        assert values.max(axis=0).tolist() == accessor["max"]
        assert read.values(primitive["indices"]).max() == accessor["count"] - 1


def test_colours_are_named_once_and_stored_as_linear_light() -> None:
    document = Gltf(glb(model())).document
    names = [material["name"] for material in document["materials"]]
    assert names == list(dict.fromkeys(colour for _, _, colour, _ in parts().values()))
    for material in document["materials"]:
        r, g, b, a = material["pbrMetallicRoughness"]["baseColorFactor"]
        channels = [int(material["name"][i : i + 2], 16) / 255 for i in (1, 3, 5)]
        assert (r, g, b) == pytest.approx([linear(c) for c in channels], abs=1e-6)
        assert a == 1.0
    assert document["asset"]["extras"]["caution"] == CAUTION


@given(st.floats(0, 1), st.floats(0, 1))
def test_linear_light_rises_from_black_to_white(a: float, b: float) -> None:
    assert (linear(0.0), linear(1.0)) == (0.0, pytest.approx(1.0))
    low, high = sorted((a, b))
    assert linear(low) <= linear(high) <= high + 1e-12
    # Both branches meet (IEC 61966-2-1, from memory).
    assert linear(0.04045) == pytest.approx(linear(0.0404501), abs=1e-6)


def test_axes_turn_and_keep_their_handedness() -> None:
    x, y, z = to_gltf(np.eye(3))
    assert x.tolist() == [0, 0, 1]  # forward is +Z
    assert y.tolist() == [1, 0, 0]  # left is +X
    assert z.tolist() == [0, 1, 0]  # up is +Y
    assert np.cross(x, y).tolist() == z.tolist()


@given(st.text(max_size=9), st.binary(max_size=9))
def test_chunks_are_padded_to_four_bytes(title: str, data: bytes) -> None:
    """Section 4.4: header of 12 bytes, chunks with length and type; JSON padded by spaces, BIN by zeros."""
    text = "".join(c for c in title if not "\ud800" <= c <= "\udfff")
    made = container({"t": text}, data)
    magic, version, size = struct.unpack("<4sII", made[:12])
    assert (magic, version, size) == (b"glTF", 2, len(made))
    length, kind = struct.unpack("<I4s", made[12:20])
    assert (kind, length % 4) == (b"JSON", 0)
    assert json.loads(made[20 : 20 + length]) == {"t": text}
    rest = made[20 + length :]
    if data:
        size, kind = struct.unpack("<I4s", rest[:8])
        assert (kind, size % 4) == (b"BIN\0", 0)
        assert rest[8:] == data + b"\0" * (-len(data) % 4)
    else:
        assert rest == b""
