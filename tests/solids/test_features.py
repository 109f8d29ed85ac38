"""Features in solids: holes are holes where templates say, metal weighs what it should, all in one."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
import trimesh
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer

from frame3d.formats.stl import stl
from frame3d.solids import FrameModel, make, occ
from frame3d.solids.bodies import bodies
from frame3d.solids.features import drill
from frame3d.tubes.features.edges import edge_points
from frame3d.tubes.features.holes import marked
from tests.featured import featured


@cache
def built() -> FrameModel:
    return make(featured())


def test_a_hole_s_edge_is_where_the_template_has_it() -> None:
    """Points of each hole's edge, outside and inside, to the kernel's own edges: within 0.02 mm."""
    model = built()
    shapes = {part.name: part.shape for part in model.parts}
    for feature in model.bike.frame.features:
        tube = model.bike.tube(feature.tube)
        if feature.side == "right" or feature.spec.kind == "clamp_slot":
            continue  # mirrored; open at its upper end
        found = []
        explorer = TopExp_Explorer(shapes[tube.name], TopAbs_ShapeEnum.TopAbs_EDGE)
        while explorer.More():
            found.append(explorer.Current())
            explorer.Next()
        edges = occ.compound(found)
        for hole in marked(feature, tube):
            for inside in (False, True):
                for p in edge_points(hole, tube, inside=inside, count=16):
                    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*p.tolist())).Vertex()
                    assert BRepExtrema_DistShapeShape(vertex, edges).Value() < 0.02, feature.path


def test_parts_weigh_what_they_do_without_a_kernel() -> None:
    model = built()
    grams = model.bike.frame.masses.parts
    for part in model.parts:
        if not part.name.startswith("rear_dropout"):
            weight = part.volume * part.density * 1e-3
            assert grams[part.name] == pytest.approx(weight, rel=2e-3), part.name


def test_the_frame_is_one_closed_shell_of_all_parts() -> None:
    model = built()
    mesh = trimesh.load(io.BytesIO(stl(model)), file_type="stl")
    assert mesh.is_watertight
    assert mesh.body_count == 1
    assert mesh.volume == pytest.approx(sum(part.volume for part in model.parts), rel=1e-4)


def test_vents_of_the_file_take_the_place_of_the_usual_ones() -> None:
    own, usual = (
        {body.name: len(body.drills) for body in bodies(featured(f))}
        for f in ({"chainstay": {"drain": {"kind": "vent", "from_start": 240, "count": 2}}}, {})
    )
    assert own["chainstay_left"] == own["chainstay_right"] == usual["chainstay_left"] + 2
    assert own["bottom_bracket"] == usual["bottom_bracket"] - 2
    assert own["down_tube"] == usual["down_tube"]


def test_a_slot_s_volume_is_its_section_times_its_height() -> None:
    model = built()
    bike = model.bike
    feature = next(f for f in bike.frame.features if f.name == "hose_in")
    (hole,) = marked(feature, bike.tube("down_tube"))
    slot = drill(hole)
    expected = (np.pi * 3.5**2 + 7 * 7) * hole.axis.length
    assert occ.bulk(occ.solid(slot)).volume == pytest.approx(expected, rel=1e-9)
