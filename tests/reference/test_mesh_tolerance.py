"""Meshes of the demos' parts keep to the tolerance that was asked for.

The reference is the CAD kernel (OCCT), which had no part in the meshes: how far points of a mesh are
from the boundary of the kernel's own solid (`BRepExtrema_DistShapeShape`). A sample of points, as each takes
the kernel about a millisecond, and the sharpest edges, where surfaces only graze each other.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Shape

import frame3d
from frame3d.solids import occ
from frame3d.solids.body_meshes import part_mesh
from frame3d.solids.mesh import Mesh
from tests.frames import bar, context, demo_solids
from tests.sampling import EVERY_CASE, everyday
from tests.sampling import sample as some

Array = NDArray[np.float64]
DEMOS = ["adventure_rigid", "enduro_170_mixed", "trail_full_140", "trail_hardtail_29"]
SAMPLE = 40 if EVERY_CASE else 16
"""Points of a kind and part."""


def sample(mesh: Mesh) -> Array:
    """Centres of some triangles and middles of some edges, the same on every run: (n, 3) [mm]."""
    chance = np.random.default_rng(7)
    corners = mesh.vertices[mesh.triangles]
    kinds = [corners.mean(axis=1), (corners[:, 0] + corners[:, 1]) / 2]
    return np.vstack([chance.permutation(points)[:SAMPLE] for points in kinds])


def sharpest(mesh: Mesh) -> Array:
    """Ends and middles of the edges with the least metal between their faces: (n, 3) [mm]."""
    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    turn = np.where(body.face_adjacency_convex, body.face_adjacency_angles, 0.0)
    ends = mesh.vertices[body.face_adjacency_edges[np.argsort(-turn, kind="stable")[:SAMPLE]]]
    return np.unique(np.vstack([*ends, ends.mean(axis=1)]).round(9), axis=0)


def distances(points: Array, boundary: TopoDS_Shape) -> Array:
    """How far points are from a solid's boundary: (n, 3) -> (n,) [mm]."""
    found = []
    for x, y, z in points.tolist():
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(x, y, z)).Vertex()
        found.append(BRepExtrema_DistShapeShape(vertex, boundary).Value())
    return np.array(found)


@pytest.mark.parametrize(
    ("name", "tolerance"),
    everyday(
        [("trail_full_140", 0.05), ("trail_hardtail_29", 0.2)],
        [
            (name, tolerance)
            for i, name in enumerate(DEMOS)
            for tolerance in some(np.roll([0.2, 0.05, 0.01], i).tolist(), 3)
        ],
    ),
)
def test_no_part_is_further_from_its_solid_than_the_tolerance(name: str, tolerance: float) -> None:
    made = demo_solids(name)
    for body, part in zip(made.bodies, made.parts, strict=True):
        if part.side != "right":  # which mirrors the left
            boundary = occ.compound(occ.faces(part.shape))
            mesh = part_mesh(body, tolerance)
            away = distances(np.vstack([sample(mesh), sharpest(mesh)]), boundary)
            assert away.max() <= tolerance, f"{part.name}: {away.max():.4f} mm"


@pytest.mark.parametrize(
    ("size", "angle", "tolerance"),
    some(list(product([40.0, 39.9, 39.0, 25.4], [90.0, 63.0, 41.0], [0.2, 0.05, 0.01])), 5),
)
def test_mitres_that_graze(size: float, angle: float, tolerance: float) -> None:
    """Down to tubes of one size, whose surfaces touch at the tips of the mitre."""
    x, z = 200 * np.sin(np.radians(angle)), 200 * np.cos(np.radians(angle))
    tubes = {
        "mast": bar(40.0, (0, 0, -300), (0, 0, 300), 2.0),
        "beam": bar(size, {"on": "mast", "from_start": 300.0}, (float(x), 0, float(z)), 1.5),
    }
    made = frame3d.build(context(tubes))
    for body, part in zip(made.bodies, made.parts, strict=True):
        boundary = occ.compound(occ.faces(part.shape))
        mesh = part_mesh(body, tolerance)
        away = distances(np.vstack([sample(mesh), sharpest(mesh)]), boundary)
        assert away.max() <= tolerance, f"{part.name}: {away.max():.4f} mm"
