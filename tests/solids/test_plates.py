"""Plates as solids, against their outlines in closed form, and as meshes."""

from __future__ import annotations

from functools import cache

import pytest

from frame3d.solids import FrameModel, make
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import frame_mesh
from frame3d.solids.plates import plates
from tests.plates.parts import GUSSET, OWN, TAB, bike

BIKE = bike(
    gusset=GUSSET | {"hole": 6, "edge_radius": 60},
    tab=TAB | {"gap": 18},
    stay=TAB | {"on": "seatstay", "base": 20, "from_start": 150},
    free=OWN | {"at": [150, 20], "y": 50, "pair": True},
)


@cache
def model() -> FrameModel:
    return make(BIKE)


def test_a_free_plate_has_the_volume_of_its_outline() -> None:
    """What no tube touches: area by Green's theorem times thickness, holes, slot and pocket off."""
    for side in ("left", "right"):
        part = next(part for part in model().parts if part.name == f"free_{side}")
        plate = next(plate for plate in BIKE.plates if plate.name == part.name)
        assert part.volume == pytest.approx(plate.outline.volume(5.0), rel=1e-6)
        assert part.centre[1] * (1 if side == "left" else -1) > 0


def test_plates_on_tubes_weigh_what_is_said_without_solids() -> None:
    parts = {part.name: part for part in model().parts}
    for plate in BIKE.plates:
        assert plate.volume == pytest.approx(parts[plate.name].volume, rel=2e-3), plate.name
        assert parts[plate.name].density == plate.density


def test_the_whole_frame_is_one_piece_with_its_plates() -> None:
    """As one mesh, whose volume is that of all parts."""
    solid = tuple(body for body in bodies(BIKE) if not body.name.startswith("free"))
    expected = sum(p.volume for p in model().parts if not p.name.startswith("free"))
    assert frame_mesh(solid).volume == pytest.approx(expected, rel=1e-4)


def test_the_right_one_of_a_pair_is_made_from_the_left_one() -> None:
    left, right = (body for body in plates(BIKE) if body.key == "tab")
    assert left.metal[0].mirrored().is_same(right.metal[0])
    parts = {part.name: part for part in model().parts}
    x, y, z = parts["tab_left"].centre
    assert parts["tab_right"].centre == pytest.approx((x, -y, z))
