"""Meshes of the demos' parts against their solids, by the CAD kernel (OCCT), which had no part in them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS, TopoDS_Shape

import frame3d
from frame3d.solids import occ
from frame3d.solids.mesh import TOLERANCE, Mesh
from tests.frames import demo_solids
from tests.sampling import everyday

Array = NDArray[np.float64]
CONFIGS = Path(frame3d.__file__).parent.parent / "configs"
DEMOS = ["adventure_rigid", "enduro_170_mixed", "trail_full_140", "trail_hardtail_29"]
ON = 2e-3
"""What lies this close to a plane is on it [mm]; slivers are simplified by half of that."""


def test_every_demo_with_tubes_is_here() -> None:
    with_tubes = [p.stem for p in CONFIGS.glob("*.yaml") if frame3d.load(p).tubes]
    assert sorted(with_tubes) == DEMOS


def planes(shape: TopoDS_Shape) -> Iterator[tuple[Array, Array, Array]]:
    """The flat faces of a solid: a point, the way out, and area [mm²] and length of edges [mm]."""
    for face in occ.faces(shape):
        surface = BRepAdaptor_Surface(TopoDS.Face_s(face))
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
            continue
        plane, props, edges = surface.Plane(), GProp_GProps(), GProp_GProps()
        at, axis = plane.Location(), plane.Position()
        normal = np.array([axis.Direction().X(), axis.Direction().Y(), axis.Direction().Z()])
        if not axis.Direct():
            normal = -normal
        if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            normal = -normal
        BRepGProp.SurfaceProperties_s(face, props, 1e-6)
        BRepGProp.LinearProperties_s(face, edges)
        yield np.array([at.X(), at.Y(), at.Z()]), normal, np.array([props.Mass(), edges.Mass()])


def areas(mesh: Mesh, at: Array, normal: Array) -> Array:
    """Areas of the triangles that lie in a plane, negative where turned against its normal [mm²]."""
    on = (np.abs((mesh.vertices - at) @ normal) < ON)[mesh.triangles].all(axis=1)
    a, b, c = (mesh.vertices[mesh.triangles[on, i]] for i in range(3))
    return np.asarray(np.cross(b - a, c - a) @ normal / 2)


@pytest.mark.parametrize("name", everyday(("trail_full_140", "trail_hardtail_29"), DEMOS))
def test_flat_faces_are_covered_once(name: str) -> None:
    """Triangles in the plane of a flat face add up to the face, and none is turned against it: none
    lies across a bore or over another.
    """
    made, looked_at = demo_solids(name), 0
    for part in made.parts:
        mesh, flat = made.meshes[part.name], list(planes(part.shape))
        for at, normal, _ in flat:
            level = [(n @ normal, size) for p, n, size in flat if abs((p - at) @ normal) < ON]
            found = areas(mesh, at, normal)
            for sign in (1.0, -1.0):
                faces = [size for turn, size in level if sign * turn > 1 - 1e-9]
                area, edges = np.sum(faces, axis=0) if faces else (0.0, 0.0)
                covered = np.maximum(sign * found, 0.0).sum()
                # An edge lies within the tolerance of the true one, along all its length.
                where = f"{part.name} at {at.round(1)}"
                assert covered == pytest.approx(area, abs=0.02 + TOLERANCE * edges), where
            looked_at += 1
    assert looked_at > 20
