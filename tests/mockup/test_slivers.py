from __future__ import annotations

import numpy as np
import pytest
import trimesh

from frame3d.mockup.slivers import face_areas, without_slivers
from frame3d.solids.mesh import Mesh

LEAST = 1e-5


def body(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)


def box_with(points: np.ndarray, faces: list[tuple[int, int, int]]) -> Mesh:
    return Mesh(points, np.array(faces, dtype=np.int64))


def cap() -> Mesh:
    """A tetrahedron with a corner that lies on the edge from 0 to 1, but for a hair."""
    points = np.array([[0, 0, 0], [10, 0, 0], [0, 8, 0], [0, 0, 6], [5, 1e-7, 0]], dtype=float)
    # The face 0-2-1 is cut at 4; the face 0-1-3 is whole, and a sliver 0-4-1 is between.
    return box_with(points, [(0, 2, 4), (4, 2, 1), (0, 4, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3)])


def needle() -> Mesh:
    """A tetrahedron with two corners where one should be, a hair apart."""
    points = np.array([[0, 0, 0], [10, 0, 0], [0, 8, 0], [0, 0, 6], [0, 1e-6, 6]], dtype=float)
    return box_with(points, [(0, 2, 1), (0, 1, 3), (1, 4, 3), (1, 2, 4), (2, 0, 3), (2, 3, 4)])


@pytest.mark.parametrize("make", [cap, needle])
def test_slivers_go_and_the_solid_stays(make: object) -> None:
    mesh = make()  # type: ignore[operator]
    assert face_areas(mesh.vertices[mesh.triangles]).min() < LEAST
    assert body(mesh).is_watertight
    mended = without_slivers(mesh, LEAST)
    assert face_areas(mended.vertices[mended.triangles]).min() >= LEAST
    assert body(mended).is_watertight
    assert body(mended).is_winding_consistent
    assert mended.volume == pytest.approx(10 * 8 * 6 / 6, rel=1e-4)


def test_a_good_mesh_is_left_alone() -> None:
    box = trimesh.creation.box((1.0, 2.0, 3.0))
    mesh = Mesh(box.vertices, box.faces)
    assert without_slivers(mesh, LEAST) is mesh


def test_areas() -> None:
    corners = np.array(
        [[[0, 0, 0], [3, 0, 0], [0, 4, 0]], [[0, 0, 0], [1, 1, 1], [2, 2, 2]]], float
    )
    assert face_areas(corners) == pytest.approx([6.0, 0.0])
