"""The model's file, as an independent reader sees it."""

from __future__ import annotations

import numpy as np
import pygltflib
import pytest

from frame3d.looks.forms import block, rod
from frame3d.looks.model_file import packed
from frame3d.looks.surfaces import Surface

UNSIGNED, SHORT = 5125, 5123


@pytest.mark.parametrize(("extra", "kind"), [(0, SHORT), (70_000, UNSIGNED)])
def test_indices_are_as_wide_as_they_need_to_be(extra: int, kind: int) -> None:
    bar = rod((0.0, 0.0, 0.0), (0.0, 0.0, 50.0), 5.0)
    points = np.vstack([bar.points, np.zeros((extra, 3))])
    normals = np.vstack([bar.normals, np.tile([1.0, 0.0, 0.0], (extra, 1))])
    data = packed([("bar", Surface(points, normals, bar.corners, bar.edges)), ("box", cube())])
    read = pygltflib.GLTF2().load_from_bytes(data)
    assert [node.name for node in read.nodes] == ["bar", "box"]
    assert [mesh.name for mesh in read.meshes] == ["bar", "box"]
    for number, corners in ((0, bar.corners), (1, cube().corners)):
        accessor = read.accessors[read.meshes[number].primitives[0].indices]
        assert accessor.componentType == kind
        view = read.bufferViews[accessor.bufferView]
        start = (view.byteOffset or 0) + (accessor.byteOffset or 0)
        wide = 4 if kind == UNSIGNED else 2
        found = np.frombuffer(
            read.binary_blob()[start : start + wide * accessor.count], f"<u{wide}"
        )
        assert (found.reshape(-1, 3) == corners).all()
    assert packed([("box", cube())]) == packed([("box", cube())])


def cube() -> Surface:
    return block((10.0, 20.0, 30.0), (0.0, 0.0, 0.0))
