"""Gaps against python-fcl's distance between fine meshes: apart only, as fcl cannot tell containment.

A mesh inside its solid by a chord error reads a gap too wide by no more than both bodies' errors, and
never too narrow but across the hole of a torus.
"""

from __future__ import annotations

import math

import fcl
import numpy as np
import pytest
import trimesh

from frame3d.bodies.shapes import PlacedShape, Torus, bar, capsule, cylinder
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.geometry.vector import point
from tests.clearance.samples import axes, direction, rows

SIDES = 128


def chord(radius: float, sides: int = SIDES) -> float:
    """How far a polygon's sides lie inside its circle."""
    return radius * (1 - math.cos(math.pi / sides))


def model(mesh: trimesh.Trimesh) -> fcl.CollisionObject:
    bvh = fcl.BVHModel()
    bvh.beginModel(len(mesh.vertices), len(mesh.faces))
    bvh.addSubModel(np.asarray(mesh.vertices), np.asarray(mesh.faces))
    bvh.endModel()
    return fcl.CollisionObject(bvh, fcl.Transform())


def along_y(mesh: trimesh.Trimesh) -> trimesh.Trimesh:
    """A mesh about z, turned to stand about y."""
    mesh.apply_transform(trimesh.transformations.rotation_matrix(-np.pi / 2, [1, 0, 0]))
    return mesh


@pytest.mark.parametrize("kind", ["torus", "cylinder", "capsule"])
def test_random_pairs_against_fine_meshes(kind: str) -> None:
    random = np.random.default_rng({"torus": 21, "cylinder": 22, "capsule": 23}[kind])
    apart = 0
    for _ in range(10):
        narrow = 0.0  # by how much the mesh may read too narrow
        if kind == "torus":
            big, small = random.uniform(60, 250), random.uniform(8, 30)
            shape, out = Torus(big, small), big
            mesh = along_y(
                trimesh.creation.torus(big, small, major_sections=2 * SIDES, minor_sections=SIDES)
            )
            slack = chord(big + small, 2 * SIDES) + chord(small)
            narrow = chord(big, 2 * SIDES)  # in the hole a chord lies outside of the solid
        elif kind == "cylinder":
            radius, height = random.uniform(20, 100), random.uniform(4, 60)
            shape, out = cylinder(radius, -height / 2, height / 2), 0.0
            mesh = along_y(trimesh.creation.cylinder(radius, height, sections=SIDES))
            slack = chord(radius)
        else:
            length, radius = random.uniform(50, 200), random.uniform(5, 40)
            shape, out = capsule(length, radius), 0.0
            mesh = trimesh.creation.capsule(length, radius, count=(SIDES, SIDES))
            mesh.apply_translation([0, 0, -mesh.bounds[0, 2] - radius])
            slack = 2 * chord(radius, SIDES // 2)
        frame = axes(random)
        origin = direction(random) * random.uniform(60, 250) - np.array([out, 0, 0]) @ frame
        place = np.eye(4)
        place[:3, :3], place[:3, 3] = frame.T, origin
        mesh.apply_transform(place)
        a, b = random.uniform(-150, 150, (2, 3))
        own = float(random.uniform(5, 20))
        stay = trimesh.creation.cylinder(own, segment=np.array([a, b]), sections=SIDES)
        found = nearest(
            bar("bar", point(a), point(b), own),
            PlacedShape(kind, shape, point(origin), axes=rows(frame)),
            tolerance=1e-4,
        )
        assert isinstance(found, Gap)
        if found.gap < 0.5:
            continue
        apart += 1
        read = fcl.distance(model(stay), model(mesh), fcl.DistanceRequest(), fcl.DistanceResult())
        assert found.gap - narrow - 1e-3 <= read <= found.gap + slack + chord(own) + 1e-3
    assert apart > 3
