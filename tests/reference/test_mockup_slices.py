"""Plates cut at layer heights, as a slicer does, by trimesh and shapely: closed loops, no thin islands."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import trimesh
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from frame3d.mockup.options import NOZZLE
from frame3d.mockup.printing.plates import Printed
from frame3d.solids.mesh import Mesh
from tests.mockup.samples import RIGID, laid

LAYER = 0.2
"""Common practice with a 0.4 nozzle, no source [mm]."""

ALIKE = ("rear_tyre", "wheel_left", "front_wheel", "axle", "spindle", "arm_left", "pedal_right")
"""Parts with a twin that is looked at."""

PRINTED = [
    ("whole", item) for item in laid().parts if not any(name in item.part.name for name in ALIKE)
]
PRINTED += [
    ("cut", item)
    for item in laid(RIGID, bed="110x110x110").parts
    if item.part.name in ("frame_1", "front_tyre_1", "peg_a")
]


def segments_of(mesh: Mesh) -> list[NDArray[np.float64]]:
    """Where the middles of layers cut the surface, from the lowest up: each (n, 2, 2)."""
    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    low, high = body.bounds[:, 2]
    # A hair beside the grid of vertices, so that no face lies in a cut.
    heights = np.arange(low + LAYER / 2, high, LAYER) + 3.7e-5
    lines, _, _ = trimesh.intersections.mesh_multiplane(body, [0, 0, 0], [0, 0, 1], heights)
    return [np.asarray(line).reshape(-1, 2, 2) for line in lines]


def joined(lines: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Ends that lie within 1e-6 mm as one: points (k, 2) and segments' ends (n, 2)."""
    ends = lines.reshape(-1, 2)
    near = cKDTree(ends).query_pairs(1e-6, output_type="ndarray")
    graph = coo_matrix((np.ones(len(near)), near.T), shape=(len(ends), len(ends)))
    count, label = connected_components(graph, directed=False)
    points = np.zeros((count, 2))
    points[label] = ends
    pairs = label.reshape(-1, 2)
    return points, pairs[pairs[:, 0] != pairs[:, 1]]


def islands(points: NDArray[np.float64], pairs: NDArray[np.int64]) -> list[shapely.Polygon]:
    """Areas of material, by the even-odd rule."""
    lines = shapely.linestrings(points[pairs])
    a, b = points[pairs[:, 0]], points[pairs[:, 1]]

    def is_inside(face: shapely.Polygon) -> bool:
        x, y = face.representative_point().coords[0]
        crosses = (a[:, 1] > y) != (b[:, 1] > y)
        at = a[crosses, 0] + (y - a[crosses, 1]) / (b[crosses, 1] - a[crosses, 1]) * (
            b[crosses, 0] - a[crosses, 0]
        )
        return bool((at > x).sum() % 2)

    faces = [face for face in shapely.polygonize(list(lines)).geoms if is_inside(face)]
    return list(shapely.get_parts(shapely.union_all(faces)))


@pytest.mark.parametrize(
    "item", [item for _, item in PRINTED], ids=[f"{a}-{i.part.name}" for a, i in PRINTED]
)
def test_loops_are_closed_and_no_island_is_narrower_than_the_nozzle(item: Printed) -> None:
    """A crest or a trough may end in a thin layer; what stays thin over three layers does not print."""
    layers = cut(item.flat)
    area = sum(island.area for layer in layers for island in layer)
    assert area * LAYER == pytest.approx(item.flat.volume, rel=0.02, abs=1.0)
    assert thin(layers) == []


def test_a_thin_fin_is_seen() -> None:
    fin = trimesh.creation.box((10.0, 0.9 * NOZZLE, 5.0))
    assert thin(cut(Mesh(fin.vertices, fin.faces)))
    wall = trimesh.creation.box((10.0, 1.1 * NOZZLE, 5.0))
    assert not thin(cut(Mesh(wall.vertices, wall.faces)))


def cut(mesh: Mesh) -> list[list[shapely.Polygon]]:
    """Islands of every layer; fails where a loop is open."""
    found = []
    for lines in segments_of(mesh):
        points, pairs = joined(lines)
        degree = np.bincount(pairs.ravel(), minlength=len(points))
        assert (degree % 2 == 0).all(), f"open at {points[degree % 2 == 1]}"
        found.append(islands(points, pairs))
    return found


def thin(layers: list[list[shapely.Polygon]]) -> list[shapely.Polygon]:
    """Islands narrower than the nozzle, and so are what is below and above."""
    narrow = [[i for i in layer if i.buffer(-NOZZLE / 2).is_empty] for layer in layers]
    return [
        island
        for below, here, above in zip(narrow, narrow[1:], narrow[2:], strict=False)
        for island in here
        if any(island.intersects(o) for o in below) and any(island.intersects(o) for o in above)
    ]
