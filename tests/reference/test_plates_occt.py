"""Plates against OCCT: volumes of their outlines, and gaps to tubes beside them."""

from __future__ import annotations

import pytest

from frame3d.bodies.frame.plates import WITHIN, plates
from frame3d.bodies.frame.tubes_and_shell import frame
from frame3d.bodies.placement import Placement
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.geometry.extrusion import Extrusion
from frame3d.solids import occ
from frame3d.tubes.plate import Plate
from tests.plates.parts import GUSSET, OWN, TAB, bike
from tests.reference import occt

BIKE = bike(
    gusset=GUSSET | {"edge_radius": 60},
    tab=TAB | {"gap": 18},
    own=OWN | {"at": [120, 40], "turn": 20, "y": 60, "pair": True},
)
BODIES = {body.name: body for body in plates(Placement(BIKE))}
TUBES = {body.name: body.tubes[0] for body in frame(Placement(BIKE)) if body.tubes}


def filled(plate: Plate) -> Extrusion:
    """A plate as its outline says, holes filled."""
    return Extrusion(plate.outline.outer, plate.plane, plate.low, plate.high)


@pytest.mark.parametrize("plate", BIKE.plates, ids=lambda plate: plate.name)
def test_volumes_are_area_times_thickness(plate: Plate) -> None:
    solid = occ.solid(filled(plate))
    assert occt.volume(solid) == pytest.approx(plate.outline.outer.area * plate.thickness, rel=1e-6)
    holes = [occ.solid(hole) for hole in plate.cut_outs(5.0)]
    left = occ.cut(solid, holes, 0.0)
    assert occt.volume(left) == pytest.approx(plate.outline.volume(plate.thickness), rel=1e-6)


@pytest.mark.parametrize(
    ("name", "tube"),
    [("own_left", "down_tube"), ("tab_left", "seat_tube"), ("gusset", "down_tube")],
)
def test_gaps_to_tubes(name: str, tube: str) -> None:
    """Never more than OCCT finds, and less by no more than the polygons stand out and the certificate."""
    plate = next(one for one in BIKE.plates if one.name == name)
    found = [nearest(TUBES[tube], shape) for shape in BODIES[name].shapes]
    gaps = [one for one in found if isinstance(one, Gap)]
    gap, least = min(one.gap for one in gaps), min(one.gap - one.error for one in gaps)
    true = occt.distance(occt.tube(TUBES[tube]), occ.solid(filled(plate)))
    assert least <= true + 1e-3, "what is judged"
    assert true - WITHIN - 0.01 <= gap <= true + 0.01
