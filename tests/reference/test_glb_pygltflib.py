"""GLB read back by pygltflib, and by trimesh for its scale in space."""

from __future__ import annotations

import io
import struct
from typing import Any

import numpy as np
import pytest
import trimesh
from pygltflib import GLTF2

from frame3d.caution import CAUTION
from frame3d.formats.glb import linear
from tests.frames import hardtail, hardtail_files


@pytest.fixture(scope="module")
def gltf() -> GLTF2:
    return GLTF2().load_from_bytes(hardtail_files()["glb"])


def values(gltf: GLTF2, index: int) -> Any:
    accessor = gltf.accessors[index]
    view = gltf.bufferViews[accessor.bufferView]
    kind = {5126: "<f4", 5125: "<u4"}[accessor.componentType]
    width = {"SCALAR": 1, "VEC3": 3}[accessor.type]
    data = gltf.binary_blob()[view.byteOffset : view.byteOffset + view.byteLength]
    return np.frombuffer(data, dtype=kind).reshape(accessor.count, width)


def test_one_node_a_part_and_one_primitive_a_colour(gltf: GLTF2) -> None:
    assert [node.name for node in gltf.nodes] == [part.name for part in hardtail().parts]
    assert gltf.scenes[gltf.scene].nodes == list(range(len(gltf.nodes)))
    for node in gltf.nodes:
        mesh = gltf.meshes[node.mesh]
        assert mesh.name == node.name
        assert len(mesh.primitives) == 1
    assert len(gltf.materials) == len({part.colour for part in hardtail().parts})


def test_metres_y_up_z_forward(gltf: GLTF2) -> None:
    """GlTF 2.0, section 3.4: metres, y up, z forward, so that the left is +x."""
    by_name = {node.name: gltf.meshes[node.mesh].primitives[0] for node in gltf.nodes}
    places = {n: values(gltf, p.attributes.POSITION) for n, p in by_name.items()}
    for name, mesh in hardtail().meshes.items():
        x, y, z = mesh.vertices.T / 1000
        low = [y.min(), z.min(), x.min()]
        high = [y.max(), z.max(), x.max()]
        assert places[name].min(axis=0) == pytest.approx(low, abs=1e-6), name
        assert places[name].max(axis=0) == pytest.approx(high, abs=1e-6), name
    whole = np.vstack(list(places.values()))
    length, height, width = (whole[:, i].max() - whole[:, i].min() for i in (2, 1, 0))
    assert 0.9 < length < 1.1  # a frame, rear axle to head tube: about a metre
    assert 0.5 < height < 0.8
    assert 0.15 < width < 0.2
    assert places["head_tube"][:, 2].min() > 0 > places["rear_dropout_left"][:, 2].max()
    assert places["chainstay_left"][:, 0].min() > 0


def test_accessors_tell_their_bounds_exactly(gltf: GLTF2) -> None:
    """Section 3.6.2.5: min and max of positions, as the 32-bit numbers that are stored."""
    for mesh in gltf.meshes:
        index = mesh.primitives[0].attributes.POSITION
        data, accessor = values(gltf, index), gltf.accessors[index]
        assert accessor.min == data.min(axis=0).astype(float).tolist()
        assert accessor.max == data.max(axis=0).astype(float).tolist()


def test_normals_are_unit_and_point_outward(gltf: GLTF2) -> None:
    for mesh in gltf.meshes:
        primitive = mesh.primitives[0]
        place = values(gltf, primitive.attributes.POSITION).astype(float)
        normal = values(gltf, primitive.attributes.NORMAL).astype(float)
        corners = values(gltf, primitive.indices).reshape(-1, 3)
        assert np.linalg.norm(normal, axis=1) == pytest.approx(np.ones(len(normal)), abs=1e-5)
        a, b, c = (place[corners[:, i]] for i in range(3))
        flat = np.cross(b - a, c - a)
        size = np.linalg.norm(flat, axis=1, keepdims=True)
        facing = np.einsum("ij,ikj->ik", flat / size, normal[corners])[size[:, 0] > 1e-9]
        assert facing.min() > np.cos(np.radians(40)), mesh.name


def test_round_tubes_are_smooth(gltf: GLTF2) -> None:
    """On the top tube's outside a normal is the radius, whatever the facets.

    All vertices there lie on the mitres' edges, so each stands twice; one of the two is the outside's.
    """
    axis = hardtail().bike.tube("top_tube").axis
    primitive = next(m for m in gltf.meshes if m.name == "top_tube").primitives[0]
    place = values(gltf, primitive.attributes.POSITION)[:, [2, 0, 1]].astype(float) * 1000
    normal = values(gltf, primitive.attributes.NORMAL)[:, [2, 0, 1]].astype(float)
    s, away = axis.approach(place)
    outside = np.abs(away - 15.9) < 0.05
    assert outside.sum() > 50
    radius = (place - axis.points(s))[outside] / away[outside, None]
    cosine = np.einsum("ij,ij->i", radius, normal[outside])
    _, corner = np.unique(np.round(place[outside], 3), axis=0, return_inverse=True)
    best = np.full(corner.max() + 1, -1.0)
    np.maximum.at(best, corner.ravel(), cosine)
    assert best.min() > np.cos(np.radians(6))


def test_colour_is_linear(gltf: GLTF2) -> None:
    """SRGB 0.5 is 0.2140 in linear light (any table of IEC 61966-2-1; from memory)."""
    assert linear(0.5) == pytest.approx(0.21404, abs=1e-5)
    assert linear(0.0) == 0.0
    assert linear(1.0) == pytest.approx(1.0)
    factor = gltf.materials[0].pbrMetallicRoughness.baseColorFactor
    assert factor == pytest.approx([*map(linear, hardtail().parts[0].colour), 1.0], abs=1e-6)


def test_caution(gltf: GLTF2) -> None:
    assert gltf.asset.version == "2.0"
    assert gltf.asset.extras["caution"] == CAUTION


def test_container() -> None:
    """Section 4.4: magic, version, length; chunks on four-byte boundaries."""
    data = hardtail_files()["glb"]
    magic, version, length = struct.unpack("<4sII", data[:12])
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack("<I4s", data[12:20])
    assert kind == b"JSON"
    assert size % 4 == 0
    assert data[20 + size + 4 : 20 + size + 8] == b"BIN\0"


def test_trimesh_reads_the_same_scene() -> None:
    scene = trimesh.load(io.BytesIO(hardtail_files()["glb"]), file_type="glb")
    assert set(scene.geometry) == {part.name for part in hardtail().parts}
    volume = sum(mesh.volume for mesh in scene.geometry.values())
    assert volume * 1e9 == pytest.approx(hardtail().volume, rel=2e-3)
