from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.mockup.printing.slivers import SHORT, face_areas, face_heights, without_slivers
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


def wedge(middles: np.ndarray) -> Mesh:
    """A tetrahedron whose edge from 0 to 1 is cut at `middles` on one side only: (n, 3), 0 to 1 in order.

    Between the two sides lie slivers, with all their corners in a row but for a hair.
    """
    points = np.vstack([[[0, 0, 0], [10, 0, 0], [0, 8, 0], [0, 0, 6]], middles])
    row = [0, *range(4, 4 + len(middles)), 1]
    faces = [(2, b, a) for a, b in pairwise(row)]
    faces += [(0, a, b) for a, b in pairwise(row[1:])]
    return box_with(points, [*faces, (0, 1, 3), (1, 2, 3), (2, 0, 3)])


@pytest.mark.parametrize("hair", [0.0, 1e-8, -1e-8, 1e-7, -1e-6])
def test_rows_of_slivers_that_could_be_turned_for_ever(hair: float) -> None:
    """Each turned edge leaves another sliver of the same row: edges too long to close up at once."""
    chance = np.random.default_rng(3)
    for count in (2, 3, 5, 9):
        x = np.sort(chance.uniform(0.5, 9.5, count))
        mesh = wedge(np.stack([x, hair * chance.uniform(-1, 1, count), 0 * x], axis=1))
        mended = without_slivers(mesh, LEAST)
        assert face_areas(mended.vertices[mended.triangles]).min() >= LEAST
        assert body(mended).is_watertight
        assert body(mended).is_winding_consistent
        assert mended.volume == pytest.approx(80.0, rel=1e-5)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=30, deadline=None)
def test_the_surface_stays_where_it_is(seed: int) -> None:
    """Needles and caps at the rims of a disc and anywhere else.

    Reference: trimesh, which finds the nearest points of one surface to points of the other.
    """
    chance = np.random.default_rng(seed)
    disc = trimesh.creation.cylinder(5.0, 2.0, sections=24).subdivide()
    points, faces = disc.vertices.copy(), [tuple(f) for f in disc.faces.tolist()]
    for _ in range(12):  # A corner on an edge, a hair from it: its two faces become four.
        a, b, c = faces[int(chance.integers(len(faces)))]
        (over,) = [f for f in faces if f != (a, b, c) and {a, b} <= set(f)]
        d = next(corner for corner in over if corner not in (a, b))
        share = chance.choice([1e-6, 1e-4, 0.3])
        new = points[a] + share * (points[b] - points[a]) + 1e-9 * chance.normal(size=3)
        points = np.vstack([points, new])
        e = len(points) - 1
        faces = [f for f in faces if f not in ((a, b, c), over)]
        faces += [(a, e, c), (e, b, c), (b, e, d), (e, a, d)]
    mesh = Mesh(points, np.array(faces, dtype=np.int64))
    mended = without_slivers(mesh, LEAST, 4e-4)
    assert body(mended).is_watertight
    assert face_areas(mended.vertices[mended.triangles]).min() >= LEAST
    assert face_heights(mended.vertices[mended.triangles]).min() >= 4e-4
    for one, other in ((disc, body(mended)), (body(mended), disc)):
        spots, _ = trimesh.sample.sample_surface(one, 150, seed=1)
        count = len(other.triangles)
        near = trimesh.triangles.closest_point(
            np.tile(other.triangles, (150, 1, 1)), np.repeat(spots, count, axis=0)
        )
        away = np.linalg.norm(near.reshape(150, count, 3) - spots[:, None], axis=2).min(axis=1)
        assert away.max() <= SHORT


def test_a_good_mesh_is_left_alone() -> None:
    box = trimesh.creation.box((1.0, 2.0, 3.0))
    mesh = Mesh(box.vertices, box.faces)
    assert without_slivers(mesh, LEAST) is mesh


def test_areas() -> None:
    corners = np.array(
        [[[0, 0, 0], [3, 0, 0], [0, 4, 0]], [[0, 0, 0], [1, 1, 1], [2, 2, 2]]], float
    )
    assert face_areas(corners) == pytest.approx([6.0, 0.0])
    assert face_heights(corners) == pytest.approx([2.4, 0.0])
