"""Crossing cylinders in solids against published volumes, and mitre edges against their table.

Volumes common to two cylinders whose axes meet: equal radii at right angles 16 r³ / 3 (Archimedes);
unequal ones by complete elliptic integrals and oblique ones by 1 / sin (Hubbell 1965, "Common volume of
two intersecting cylinders"), values recomputed by numerical integration in the project's list of check
values. Points of the mitre's edge: table derived there from the cylinder's equation.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from frame3d.solids import make, occ
from frame3d.solids.body_meshes import part_mesh
from frame3d.solids.sweep import rod
from tests.frames import bar, context
from tests.reference.test_mitre import PHI, TABLE

VOLUMES = [
    # R, r, angle [degrees], common volume [mm³]
    (1.0, 1.0, 90.0, 16 / 3),
    (1.0, 0.5, 90.0, 1.520039988),
    (18.2, 15.875, 90.0, 25719.1211),
    (18.2, 15.875, 75.0, 26626.3934),
    (22.0, 15.875, 90.0, 32389.5189),
    (15.875, 15.875, 90.0, 21337.3229),
    (15.875, 15.875, 60.0, 24638.2183),
]


@pytest.mark.parametrize(("R", "r", "angle", "volume"), VOLUMES)
def test_common_volume_of_the_kernel(R: float, r: float, angle: float, volume: float) -> None:
    theta, long = math.radians(angle), 6 * R
    main = occ.solid(rod((0, 0, 0), (math.sin(theta), 0, math.cos(theta)), long, long, 2 * R))
    branch = occ.solid(rod((0, 0, 0), (0, 0, 1), long, long, 2 * r))
    found = occ.bulk(occ.common(main, branch)).volume
    assert found == pytest.approx(volume, rel=1e-5)


@pytest.mark.parametrize(("R", "r", "angle", "volume"), [v for v in VOLUMES if v[0] > 10])
def test_a_mitred_bar_loses_half_of_it(R: float, r: float, angle: float, volume: float) -> None:
    """The branch ends at the main tube's axis, so the mitre takes the half on its side: the common
    volume is symmetric about the point where the axes meet.
    """
    theta, length = math.radians(angle), 200.0
    tubes = {
        "main": bar(2 * R, (0, 0, -200), (0, 0, 200)),
        "branch": bar(
            2 * r,
            {"on": "main", "from_start": 200.0},
            (length * math.sin(theta), 0, length * math.cos(theta)),
        ),
    }
    model = make(context(tubes))
    whole = math.pi * r**2 * length
    assert model.part("branch").volume == pytest.approx(whole - volume / 2, rel=2e-6)
    body = next(b for b in model.bodies if b.name == "branch")
    assert part_mesh(body, 0.002).volume == pytest.approx(whole - volume / 2, rel=2e-4)


@pytest.mark.parametrize("wall", ["solid", 1.2])
@pytest.mark.parametrize("case", TABLE, ids=str)
def test_mitre_edge(case: tuple[float, float, float, float], wall: float | str) -> None:
    """Each point of the table lies on an edge of the finished part, to 0.01 mm; inside edges too."""
    r, R, angle, offset = case
    theta = math.radians(angle)
    # The table's frame: branch along z, main axis through (0, offset, 0) along (sin, 0, cos).
    along = np.array([math.sin(theta), 0.0, math.cos(theta)])
    middle = np.array([0.0, offset, 0.0])
    tubes = {
        "main": bar(2 * R, middle - 150 * along, middle + 150 * along),
        # Given as a free point and a lateral position: the branch's axis is the z axis itself.
        "branch": bar(2 * r, {"on": "main", "from_start": 150.0, "y": 0.0}, (0, 0, 200), wall),
    }
    shape = make(context(tubes)).part("branch").shape
    z, _ = TABLE[case]
    for phi, height in zip(np.radians(PHI), z, strict=True):
        point = (r * math.cos(phi), r * math.sin(phi), height)
        assert to_edges(shape, point) < 0.01
        # It is the edge, not just the surface: 0.5 mm further down there is none.
        if abs(height) > 1.0:
            assert to_edges(shape, (point[0], point[1], height - 0.5)) > 0.05
    if wall != "solid":
        t = float(wall)
        for phi in np.radians(PHI):
            inner = r - t
            root = math.sqrt(R**2 - (inner * math.sin(phi) - offset) ** 2)
            height = (inner * math.cos(phi) * math.cos(theta) + root) / math.sin(theta)
            assert to_edges(shape, (inner * math.cos(phi), inner * math.sin(phi), height)) < 0.01


def to_edges(shape: TopoDS_Shape, point: tuple[float, float, float]) -> float:
    """Distance from a point to the nearest edge [mm], seams along the tube left out."""
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
    nearest = math.inf
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    while explorer.More():
        edge = explorer.Current()
        if not _is_straight(edge):
            nearest = min(nearest, BRepExtrema_DistShapeShape(vertex, edge).Value())
        explorer.Next()
    return nearest


def _is_straight(edge: TopoDS_Shape) -> bool:
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_CurveType
    from OCP.TopoDS import TopoDS

    return bool(BRepAdaptor_Curve(TopoDS.Edge_s(edge)).GetType() == GeomAbs_CurveType.GeomAbs_Line)
