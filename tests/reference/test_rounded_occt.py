"""Rectangular and D tubes against OCCT: volumes, distances, mitred edges and templates."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from frame3d.bike.bike import Bike
from frame3d.bodies.frame.hull import hull_of
from frame3d.bodies.frame.tubes_and_shell import frame
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import PlacedShape, Tubular, box, capsule
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.fabrication.develop import Development
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from frame3d.solids import FrameModel, make, occ
from frame3d.solids.bodies import bodies
from frame3d.solids.mating import solid_of
from frame3d.solids.sweep import Sweep
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from frame3d.tubes.cuts.mitre import MitreCut, level
from tests.clearance.samples import SHAPES, a_shape, axes, direction, rows
from tests.frames import bar, context
from tests.reference import occt
from tests.sampling import sample

SECTIONS: dict[str, tuple[float, float, tuple[float, float, float, float]]] = {
    "rectangle": (40.0, 30.0, (4.0, 4.0, 4.0, 4.0)),
    "wide": (24.0, 40.0, (3.0, 3.0, 3.0, 3.0)),
    "D": (40.0, 28.0, (14.0, 5.0, 5.0, 14.0)),
    "low D": (30.0, 40.0, (20.0, 5.0, 5.0, 20.0)),
    "D aside": (40.0, 28.0, (5.0, 5.0, 20.0, 20.0)),
}
TOLERANCE = 0.01


def tube(kind: str, start: Array, end: Array, wall: float = 0.0) -> Tubular:
    axis = Centreline((Line(point(start), point(end)),))
    h, w, r = SECTIONS[kind]
    return Tubular(kind, axis, Section((0.0, axis.length), (h, h), (w, w), (wall, wall), (r, r)))


@pytest.mark.parametrize("kind", SECTIONS)
def test_hollow_solids_have_the_volume_and_centre_of_their_sections(kind: str) -> None:
    one = tube(kind, np.array([0.0, 0.0, 0.0]), np.array([150.0, 40.0, 60.0]), 2.0)
    made = occ.hollow(Sweep.of(one.axis, one.section), Sweep.of(one.axis, one.section.bore()))
    bulk = occ.bulk(made)
    area = float(one.section.area_at(10.0))
    assert bulk.volume == pytest.approx(area * one.axis.length, rel=1e-5)
    first, _ = one.section.moments_at(np.array([10.0]))
    up, across = one.axis.frame(0.0)
    centre = one.axis.at(one.axis.length / 2) + (first[0, 0] * up + first[0, 1] * across) / area
    assert bulk.centre == pytest.approx(centre, abs=1e-6)
    assert Sweep.of(one.axis, one.section).volume == pytest.approx(
        occ.bulk(solid_of(one)).volume, rel=1e-9
    )


PAIRS = [(kind, shape) for kind in SECTIONS for shape in SHAPES]


@pytest.mark.parametrize(("kind", "shape"), sample(PAIRS, 4))
def test_random_pairs(kind: str, shape: str) -> None:
    """The certified least is never above OCCT's distance, nor more than 0.01 mm below."""
    random = np.random.default_rng([11, list(SECTIONS).index(kind), SHAPES.index(shape)])
    apart = 0
    for _ in range(4):
        start = random.uniform(-60, 60, 3)
        one = tube(kind, start, start + direction(random) * random.uniform(150, 400))
        origin = point(random.uniform(-150, 150, 3))
        other = PlacedShape(shape, a_shape(shape, random), origin, axes=rows(axes(random)))
        theirs = _distance(solid_of(one), solid_of(other))
        gap = nearest(one, other, tolerance=TOLERANCE)
        assert isinstance(gap, Gap)
        if gap.gap <= 0:
            assert theirs < 1e-6
            continue
        apart += 1
        assert theirs - TOLERANCE - 1e-4 <= gap.gap - gap.error <= theirs + 1e-6
        assert np.linalg.norm(np.subtract(gap.tube_point, gap.shape_point)) == pytest.approx(
            gap.gap, abs=1e-6
        )
    assert apart > 0


def test_a_hull_holds_a_tube_closely() -> None:
    """Of a tube between links: OCCT's distance to the prism is that to the tube, to 0.006 mm."""
    bike = context({"one": bar({"height": 40, "width": 28, "corner": 5, "flat": "below"},
                               (0, 0, 0), (300, 40, 120), 2.0)})  # fmt: skip
    (prism,) = hull_of(bike.tube("one"), FRAME)
    body = occ.solid(Sweep.of(bike.tube("one").axis, bike.tube("one").section))
    assert occt.volume(solid_of(prism)) == pytest.approx(occt.volume(body), rel=5e-4)
    random = np.random.default_rng(2)
    for _ in range(6):
        at = bike.tube("one").axis.at(random.uniform(0, 320)) + direction(random) * 60
        other = solid_of(PlacedShape("x", capsule(20.0, 3.0), point(at)))
        near, far = _distance(solid_of(prism), other), _distance(body, other)
        assert far - 0.006 <= near <= far + 1e-9


JOINTS: dict[str, tuple[Any, Any]] = {
    "rectangle on round": ({"height": 30, "width": 24, "corner": 4}, 40.0),
    "round on rectangle": (25.0, {"height": 40, "width": 34, "corner": 5}),
    "D on round": ({"height": 30, "width": 26, "corner": 4, "flat": "below"}, 44.0),
    "rectangle on D": (
        {"height": 20, "width": 22, "corner": 3},
        {"height": 44, "width": 36, "corner": 5, "flat": "above"},
    ),
    "rectangle on oval": (
        {"height": 20, "width": 22, "corner": 3}, {"height": 50, "width": 36},
    ),
    "wider than round": ({"height": 30, "width": 44, "corner": 4}, 32.0),
}  # fmt: skip


@cache
def joint(kind: str) -> tuple[Bike, FrameModel]:
    """A tube that ends on another at 60 degrees, a little aside."""
    branch, main = JOINTS[kind]
    bike = context({
        "main": bar(main, (-150, 0, 0), (150, 0, 0), 2.0),
        "branch": bar(branch, (120, 8, 220), {"on": "main", "from_start": 150.0, "y": 3.0}, 1.5),
    })  # fmt: skip
    return bike, make(bike)


@pytest.mark.parametrize("kind", JOINTS)
def test_edges_are_those_of_the_solid(kind: str) -> None:
    """Points of the mitre's outer and inner edge lie on edges of OCCT's part."""
    bike, model = joint(kind)
    branch, main = bike.tube("branch"), bike.tube("main")
    cut = MitreCut(branch, "end", main)
    shape = next(part.shape for part in model.parts if part.name == "branch")
    edges = occ.compound(_edges(shape))
    for depth in (0.0, 1.0):
        edge = cut.edge(72, depth)
        for p in edge.points[edge.meets][::3]:
            assert _distance(_vertex(p), edges) < 1e-3
    assert np.abs(level(main, cut.edge(360).points[cut.edge(360).meets])[0]).max() < 1e-8


@pytest.mark.parametrize("kind", ["rectangle on round", "D on round", "round on rectangle"])
def test_templates_are_the_solids_edges_unrolled(kind: str) -> None:
    """OCCT's edge on the outside, its lengths around counted along a fine polygon, to 0.02 mm."""
    bike, model = joint(kind)
    branch, main = bike.tube("branch"), bike.tube("main")
    shape = next(part.shape for part in model.parts if part.name == "branch")
    points = np.vstack([_along(edge) for edge in _edges(shape)])
    on = (np.abs(level(branch, points)[0]) < 1e-4) & (np.abs(level(main, points)[0]) < 1e-4)
    points = points[on]
    assert len(points) > 100
    s, _ = branch.axis.approach(points)
    centre, up, across = branch.axis.frames(s)
    u, v = np.sum((points - centre) * up, axis=1), np.sum((points - centre) * across, axis=1)
    around, whole = _unrolled(branch.section, u, v)
    flat = Development(branch.section, float(s.min()) - 5, float(s.max()) + 1, 0.0)
    assert flat.width == pytest.approx(whole, abs=1e-3)
    cutting = Cutting(branch, bodies_of(bike.frame))
    place = next(place for place in cutting.places if place.at == "end")
    (outline,) = cutting.outlines(place)
    turn = flat.right_of_centre(outline.phi)
    drawn = flat.at((turn + 180.0) % 360.0 - 180.0, outline.s)
    # Counted the other way around, from the same line.
    mine = np.column_stack([(-around + whole / 2) % whole - whole / 2, s])
    order = np.argsort(drawn[:, 0])
    x, y = drawn[order].T
    inside = (mine[:, 0] > x[0]) & (mine[:, 0] < x[-1])
    assert np.abs(np.interp(mine[inside, 0], x, y) - mine[inside, 1]).max() < 0.02


def test_gaps_at_cut_ends() -> None:
    """Small bodies near a mitred end, to the metal that OCCT leaves there."""
    random = np.random.default_rng(5)
    for kind in JOINTS:
        bike, _ = joint(kind)
        (own,) = (one for one in bodies(bike) if one.name == "branch")
        tools = [occ.solid(tool) for cut in own.cuts for tool in cut.tool]
        shape = occ.largest(occ.cut(occ.solid(own.metal[0]), tools))  # bores count as metal
        body = next(b for b in frame(Placement(bike)) if b.name == "branch").tubes[0]
        end = bike.tube("branch").axis.end
        for i in range(4):
            at = np.array(end) + random.normal(size=3) * 30
            probe = capsule(12.0, 2.0) if i % 2 else box(10.0, 6.0, 14.0)
            other = PlacedShape("probe", probe, point(at))
            gap = nearest(body, other, tolerance=TOLERANCE)
            assert isinstance(gap, Gap)
            if gap.gap > 0:
                theirs = _distance(shape, solid_of(other))
                assert theirs - TOLERANCE - 1e-3 <= gap.gap - gap.error <= theirs + 1e-5, kind


@pytest.mark.parametrize("kind", JOINTS)
def test_masses_without_a_kernel_are_those_of_solids(kind: str) -> None:
    bike, model = joint(kind)
    for part in model.parts:
        assert bike.frame.masses.parts[part.name] == pytest.approx(part.mass, rel=2e-3)


def _unrolled(section: Section, u: Array, v: Array) -> tuple[Array, float]:
    """Length around from the middle of the side along the height, and the whole (own polygon)."""
    phi = np.linspace(0.0, 360.0, 100_001)
    y, x = section.place(phi, np.zeros(1))
    length = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(y), np.diff(x)))))
    near = np.array([int(np.argmin(np.hypot(y - p, x - q))) for p, q in zip(u, v, strict=True)])
    return length[near], float(length[-1])


def _edges(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    found = []
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _along(edge: TopoDS_Shape) -> Array:
    curve = BRepAdaptor_Curve(TopoDS.Edge_s(edge))
    t = np.linspace(curve.FirstParameter(), curve.LastParameter(), 40)
    return np.array([[p.X(), p.Y(), p.Z()] for p in (curve.Value(float(x)) for x in t)])


def _vertex(p: Array) -> TopoDS_Shape:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex

    return BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(x) for x in p))).Vertex()


def _distance(a: TopoDS_Shape, b: TopoDS_Shape) -> float:
    return float(BRepExtrema_DistShapeShape(a, b).Value())
