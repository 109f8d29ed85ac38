"""A plate in place: its faces, its mass, and the solids of its holes and pockets."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline, Pocket, Slot
from frame3d.tubes.plate import Plate

SQUARE = Path.polygon([(0, 0), (40, 0), (40, 40), (0, 40)])
OUTLINE = Outline(
    SQUARE,
    (Hole(10, 10, 6),),
    (Slot(25, 30, 12, 5),),
    (Pocket(Path.circle(30, 10, 8), 1.5), Pocket(Path.circle(10, 30, 8), 1.0, "back")),
)
PLATE = Plate(
    name="brace",
    key="brace",
    kind="path",
    side=None,
    outline=OUTLINE,
    rough=SQUARE,
    plane=Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    low=-2.0,
    high=3.0,
    volume=OUTLINE.volume(5.0),
    on=(),
    material="4130",
    density=7.85,
    colour="#808080",
)


def test_mass_is_volume_times_density() -> None:
    slot = 7 * 5 + math.pi / 4 * 25
    face = 1600 - math.pi * 9 - slot
    volume = face * 5 - math.pi * 16 * 2.5
    assert PLATE.thickness == 5.0
    assert PLATE.metal.volume == 8000.0
    assert PLATE.grams == pytest.approx(volume * 7.85e-3, rel=1e-12)


def test_cut_outs_go_through_and_pockets_stop_at_their_floor() -> None:
    hole, slot, front, back = PLATE.cut_outs(10.0)
    for through in (hole, slot):
        assert (through.low, through.high) == (-12.0, 13.0)
    assert (front.low, front.high) == (1.5, 13.0)
    assert (back.low, back.high) == (-12.0, -1.0)


def test_the_centre_lies_in_the_middle_of_the_thickness() -> None:
    assert PLATE.centre[1] == pytest.approx(-0.5)
