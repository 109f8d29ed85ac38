"""Mating parts as solids and meshes against closed forms and against their own outlines."""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt

from frame3d.bodies.body import Body
from frame3d.bodies.forms import pill, rod, slab
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.shapes import PlacedShape, Torus, capsule, disc, ring
from frame3d.solids import occ
from frame3d.solids.mating import solid_of, solids_of
from frame3d.solids.mesh import Mesh
from frame3d.solids.outline_mesh import body_mesh
from tests.bodies.bike import bodies, body
from tests.bodies.distance import signed, union

POSE = Pose(fork=70, steer=23, crank=130, heel=11)
A, B = (10.0, -20.0, 30.0), (110.0, 40.0, 90.0)
LENGTH = math.dist(A, B)


def lone(placed: PlacedShape) -> Body:
    return Body(
        name="lone", part="build", family="lone", shapes=(placed,), tubes=(), colour="#000000"
    )


def rounded(x: float, y: float, z: float, r: float) -> float:
    """Volume of a rounded box by its whole sizes (Steiner's formula)."""
    a, b, c = x - 2 * r, y - 2 * r, z - 2 * r
    flat = a * b * c + 2 * r * (a * b + b * c + c * a)
    return flat + math.pi * r**2 * (a + b + c) + 4 / 3 * math.pi * r**3


CASES = {
    "torus": (Torus(340, 30), 2 * math.pi**2 * 340 * 30**2),
    "cylinder": (rod("r", A, B, 12).shapes[0].shape, math.pi * 12**2 * LENGTH),
    "cone": (rod("r", A, B, 12, end_radius=20).shapes[0].shape,
             math.pi * LENGTH * (12**2 + 12 * 20 + 20**2) / 3),
    "capsule": (capsule(80, 15), math.pi * 15**2 * (80 + 4 / 3 * 15)),
    "ball": (capsule(2, 15, 10), 4 / 3 * math.pi * 15**3),
    "box": (slab("b", A, (60, 40, 30), 6).shapes[0].shape, rounded(60, 40, 30, 6)),
    "pill box": (slab("b", A, (200, 80, 40), 20).shapes[0].shape, rounded(200, 80, 40, 20)),
    "ring": (ring([(300, -10), (320, -10), (320, 10), (300, 10)]), math.pi * (320**2 - 300**2) * 20),
    "disc": (disc([(0, -5), (30, -5), (40, 5), (0, 5)]),
             math.pi * 10 * (30**2 + 30 * 40 + 40**2) / 3),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_volumes_are_the_closed_forms(name: str) -> None:
    shape, volume = CASES[name]
    axes = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    placed = PlacedShape(name, shape, (5.0, 6.0, 7.0), axes=axes)
    made = solid_of(placed)
    assert occ.is_valid(made)
    # The kernel cannot fillet to the very middle: a pill box keeps a thousandth of its rounding.
    assert occ.bulk(made).volume == pytest.approx(volume, rel=1e-3 if name == "pill box" else 1e-6)
    mesh = body_mesh(lone(placed))
    assert mesh.volume == pytest.approx(volume, rel=0.02)
    assert mesh.volume <= volume  # its points lie on the surface


def test_a_tapering_capsule() -> None:
    """Two spherical caps and the cone between them, by integrating the discs of the hull."""
    r0, r1, length = 20.0, 8.0, 60.0
    s = (r0 - r1) / length
    z = np.linspace(-r0, length + r1, 400001)
    cone = (r0 - s * z) / math.sqrt(1 - s * s)
    radius = np.where(
        z < r0 * s,
        np.sqrt(np.maximum(r0**2 - z**2, 0)),
        np.where(z > length + r1 * s, np.sqrt(np.maximum(r1**2 - (z - length) ** 2, 0)), cone),
    )
    volume = float(np.trapezoid(math.pi * radius**2, z))
    placed = PlacedShape("drop", capsule(length, r0, r1), (0.0, 0.0, 0.0))
    assert occ.bulk(solid_of(placed)).volume == pytest.approx(volume, rel=1e-5)
    assert body_mesh(lone(placed)).volume == pytest.approx(volume, rel=0.015)


def test_tubes_become_solids_with_their_ends() -> None:
    flat, blunt = rod("r", A, B, 12).tubes[0], pill("p", A, B, 12).tubes[0]
    bar = math.pi * 12**2 * LENGTH
    assert occ.bulk(solid_of(flat)).volume == pytest.approx(bar, rel=1e-6)
    ends = 4 / 3 * math.pi * 12**3
    assert occ.bulk(solid_of(blunt)).volume == pytest.approx(bar + ends, rel=1e-6)
    lonely = Body(name="t", part="build", family="t", shapes=(), tubes=(blunt,), colour="#000000")
    assert body_mesh(lonely).volume == pytest.approx(bar + ends, rel=0.015)


MATING = [b.name for b in bodies().bodies if b.family != "frame" and b.drawn]


def closed(mesh: Mesh) -> bool:
    """Each edge once each way."""
    t = mesh.triangles
    edges = np.vstack([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
    there = {(int(a), int(b)) for a, b in edges}
    return len(there) == len(edges) and all((b, a) in there for a, b in there)


@pytest.mark.parametrize(
    "name",
    ["front_tyre", "rear_caliper", "chainring", "pedal_right", "fork_knob_left", "brake_lever_right",
     "front_rim", "crank_arm_left"],
)  # fmt: skip
def test_solids_have_the_outlines_outside_at_a_pose(name: str) -> None:
    """The kernel's distance from points around to the solid is the outline's own."""
    found = body(name)
    made = solids_of(found, POSE)
    assert len(made) == 1
    mesh = body_mesh(found, POSE)
    middle = mesh.vertices.mean(axis=0)
    rng = np.random.default_rng(11)
    points = middle + rng.normal(size=(12, 3)) * (60 + np.ptp(mesh.vertices, axis=0))
    expected = union(found.shapes, points, POSE)
    for p, d in zip(points, expected, strict=True):
        if d > 0:
            vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(x) for x in p))).Vertex()
            measured = BRepExtrema_DistShapeShape(vertex, made[0]).Value()
            assert measured == pytest.approx(d, abs=0.01)


def test_bodies_of_several_outlines_are_one_solid_where_they_join() -> None:
    assert len(solids_of(body("handlebar"), POSE)) == 1
    assert len(solids_of(body("shoe_left"), POSE)) == 1
    assert len(solids_of(body("cassette"))) == 12  # cogs do not touch
    flexed = body("front_tyre", ("hub: 110x15, rotor: 180", "hub: 110x15, rotor: 180, flex: 3"))
    volume = sum(occ.bulk(s).volume for s in solids_of(flexed))
    # A circle of 30.5 and a rectangle 2·3 wide and 61 high, turned about the axle (Pappus).
    section = math.pi * 30.5**2 + 6 * 61
    assert volume == pytest.approx(2 * math.pi * 341.5 * section, rel=1e-5)


def test_the_shape_is_left_as_it_was() -> None:
    """Making a solid at a pose changes nothing of the outline."""
    placed = body("front_tyre").shapes[0]
    before = signed(placed, np.array([(500.0, 100.0, 300.0)]))[0]
    solid_of(placed, POSE)
    assert signed(placed, np.array([(500.0, 100.0, 300.0)]))[0] == before
