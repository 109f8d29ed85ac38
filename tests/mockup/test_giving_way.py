"""A part is cut back beside another one, or left as it is where too little would be left of it."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.giving_way import given_way
from frame3d.mockup.meeting import clearance, gap, meetings, neighbourhood
from frame3d.mockup.options import KITS, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.solid import ball, block, bounds

OPTIONS = Options(1.0, KITS)
BAR = ModelPart("frame", "#000000", block((-20, -2, -2), (20, 2, 2)))


def above(bottom: float, name: str = "saddle") -> ModelPart:
    return ModelPart(name, "#000000", block((-3, -5, bottom), (3, 5, bottom + 8)))


def test_a_dent_with_clearance() -> None:
    parts, notes = given_way(OPTIONS, [BAR, above(1.5)])
    assert notes == ["the frame gives way to the saddle, by 12.0 mm³"]
    assert list(meetings(parts)) == []
    around = neighbourhood(bounds(BAR.solid))
    found = gap(parts[0].solid, parts[1].solid, around, 2.0)
    assert 0.7 * OPTIONS.fit <= found <= OPTIONS.fit + 1e-6
    assert parts[1].solid.volume() == above(1.5).solid.volume()


@pytest.mark.parametrize("bottom", [-0.9, -1.9, -3.0])
def test_no_dent_that_leaves_less_than_a_rod(bottom: float) -> None:
    parts, notes = given_way(OPTIONS, [BAR, above(bottom)])
    assert notes == []
    assert parts[0].solid is BAR.solid
    assert len(list(meetings(parts))) == 1


def test_what_turns_keeps_more_room_and_never_gives_way() -> None:
    assert clearance(OPTIONS, "frame", "crank_arm_left") == OPTIONS.turn
    assert clearance(OPTIONS, "frame", "saddle") == OPTIONS.fit
    pair = [above(0.0, "pedal_left"), above(5.0, "crank_arm_left")]
    parts, notes = given_way(OPTIONS, pair)
    assert (parts, notes) == (pair, [])


def test_a_stand_lets_the_bike_be_lifted_out() -> None:
    stand = ModelPart("stand", "#000000", block((-20, -20, -20), (20, 20, 0)))
    low = ModelPart("frame", "#000000", ball(np.array([0.0, 0.0, -5.0]), 3.0))
    parts, _ = given_way(OPTIONS, [low, stand])
    for up in range(0, 20, 2):
        assert (parts[0].solid.translate((0, 0, float(up))) ^ parts[1].solid).volume() < 1e-6
