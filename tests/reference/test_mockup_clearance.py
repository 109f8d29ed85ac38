"""Pegs in their holes: the stated clearance by independent distances (python-fcl, trimesh)."""

from __future__ import annotations

import fcl
import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from frame3d.mockup.fits import FLAT, SPARE, Peg
from frame3d.mockup.part import Joint, ModelPart
from frame3d.mockup.printing.check import meshed
from frame3d.mockup.solid import block, minus
from frame3d.solids.mesh import Mesh
from tests.mockup.samples import RIGID, made

X, Y, Z = np.eye(3)
GRID = 2e-4
"""Corners of both meshes are on a grid of 2^-13 mm, about 1e-4."""


def distance(a: Mesh, b: Mesh) -> float:
    """Between two surfaces, by the FCL library [mm]."""
    objects = []
    for mesh in (a, b):
        model = fcl.BVHModel()
        model.beginModel(len(mesh.vertices), len(mesh.triangles))
        model.addSubModel(mesh.vertices, mesh.triangles)
        model.endModel()
        objects.append(fcl.CollisionObject(model))
    return float(fcl.distance(objects[0], objects[1], fcl.DistanceRequest(), fcl.DistanceResult()))


@pytest.mark.parametrize("clearance", [0.1, 0.2, 0.3])
@pytest.mark.parametrize("along", [Z, X, np.array([0.6, 0.0, 0.8])])
def test_peg_and_hole_are_the_clearance_apart(along: NDArray[np.float64], clearance: float) -> None:
    peg = Peg(np.array([1.0, 2.0, 3.0]), along, Y, 1.5)
    holder = minus(block((-9, -9, -9), (11, 13, 15)), [peg.hole(-5 - SPARE, 50, clearance)])
    inside, outside = meshed(peg.solid(-5.0, 5.0)), meshed(holder)
    assert distance(inside, outside) == pytest.approx(clearance, abs=GRID)
    # On the flat and all round it, not at one place only.
    body = trimesh.Trimesh(outside.vertices, outside.triangles, process=False)
    flanks = np.vstack([peg.origin + FLAT * 1.5 * peg.flat, peg.origin - 1.5 * peg.flat])
    _, far, _ = trimesh.proximity.closest_point_naive(body, flanks)
    assert far == pytest.approx(clearance, abs=GRID)


def part(name: str) -> ModelPart:
    return next(p for p in made().parts if p.name == name)


def near(joint: Joint, name: str) -> Mesh:
    """A part's surface around a joint: within its depth, and twice its diameter."""
    solid = part(name).solid
    reach = joint.depth / 2 - 0.45
    window = Peg(joint.at, joint.along, _across(joint.along), 2 * joint.diameter)
    return meshed(solid ^ window.hole(-reach, reach, 0.0))


def _across(along: NDArray[np.float64]) -> NDArray[np.float64]:
    aside = np.cross(along, X if abs(along[0]) < 0.8 else Y)
    return aside / np.linalg.norm(aside)


FIXED = [j for j in made().joints if j.kind == "fixed" and j.peg != "name_plate"]


@pytest.mark.parametrize("joint", FIXED, ids=lambda j: f"{j.peg}-{j.hole}")
def test_every_fixed_pin_of_the_demo(joint: Joint) -> None:
    assert distance(near(joint, joint.peg), near(joint, joint.hole)) == pytest.approx(
        joint.clearance, abs=0.005
    )


TURNING = [j for j in made().joints if j.kind == "turning"]


@pytest.mark.parametrize("joint", TURNING, ids=lambda j: f"{j.peg}-{j.hole}")
def test_every_turning_pin_of_the_demo(joint: Joint) -> None:
    """As it stands; no further than the facets' chord less where it turns."""
    gap = distance(near(joint, joint.peg), near(joint, joint.hole))
    assert gap == pytest.approx(joint.clearance, abs=0.005)


def test_pegs_of_cuts() -> None:
    model = made(RIGID, bed="110x110x110")
    parts = {p.name: meshed(p.solid) for p in model.parts}
    cuts = [j for j in model.joints if j.peg.startswith("peg_")]
    assert len(cuts) >= 4
    for joint in cuts[:6]:
        gap = distance(parts[joint.peg], parts[joint.hole])
        assert gap == pytest.approx(joint.clearance, abs=0.005)
