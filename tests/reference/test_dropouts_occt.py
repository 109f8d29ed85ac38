"""Gaps to dropouts against OCCT: solids as they are built, and the other parts' outlines as solids."""

from __future__ import annotations

from typing import Any

import pytest
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.TopoDS import TopoDS_Shape

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies.shapes import PlacedShape
from frame3d.clearance.lines import between
from frame3d.clearance.scene import scene_of
from frame3d.parameters.models.frame import FrameSpec
from frame3d.solids import occ
from frame3d.solids.dropout import dropout_holes, dropout_metal
from frame3d.solids.sweep import rod
from tests.bikes import hardtail_data

CLOSE = 0.06
"""Outlines are those of the metal to 0.05 mm, and certificates 0.01 mm wide [mm]."""


def bike(dropout: dict[str, Any]) -> Bike:
    data = hardtail_data()
    data["build"]["dropout"] = dropout
    data["build"]["rear_wheel"]["rotor"] = 180
    data["build"]["cassette"] = {"cogs": [10, 24, 50], "inset": 16}
    data["build"]["crank"] = {"length": 170, "q_factor": 172, "chainline": 52}
    data["build"]["chainring"] = {"teeth": 32}
    return solve(FrameSpec.model_validate(data))


def metal(bike: Bike, side: str) -> TopoDS_Shape:
    """A dropout with what is cut out of it for axle and hub; what fills sockets is no metal of it."""
    (dropout,) = [one for one in bike.dropouts if one.side == side]
    tubes = {tube.name: tube for tube in bike.tubes}
    whole = occ.fuse([occ.solid(one) for one in dropout_metal(dropout, tubes)])
    return occ.cut(whole, [occ.solid(one) for one in dropout_holes(dropout)[1:]])


def cylinder(shape: PlacedShape) -> TopoDS_Shape:
    """A solid of revolution about y by its bounding sizes: rotors and rounds of chain are cylinders."""
    x, y, z = shape.origin
    profile = shape.shape.profile  # type: ignore[union-attr]
    radius = max(r for r, _ in profile)
    low, high = (f(v for _, v in profile) for f in (min, max))
    return occ.solid(rod((x, y, z), (0.0, 1.0, 0.0), -low, high, 2 * radius))


@pytest.mark.parametrize("dropout", [{}, {"boss": 40, "thickness": 9}, {"kind": "hooded"}])
def test_rotor_and_chain_to_dropouts(dropout: dict[str, Any]) -> None:
    made = bike(dropout)
    scene = scene_of(made)
    for name, side in (("rear_rotor", "left"), ("chain_round_cogs", "right")):
        body, other = scene.body(name), scene.body(f"rear_dropout_{side}")
        assert body is not None
        assert other is not None
        gap = between(body, other, scene, ())
        assert gap is not None
        solid = metal(made, side)
        exact = min(
            BRepExtrema_DistShapeShape(cylinder(shape), solid).Value() for shape in body.shapes
        )
        assert exact > 0
        # Never more than there is; an arm counts whole from where its corners leave the boss's round.
        assert gap.gap <= exact + CLOSE
        assert gap.gap >= exact - 0.3
