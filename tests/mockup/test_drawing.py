"""The bike at the print's scale: places, least sizes, pins with room around them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import KITS, PEG, Options
from tests.mockup.samples import drawing, layout


@pytest.mark.parametrize("scale", [1.0, 1 / 6, 1 / 12])
def test_places_are_the_bikes_at_scale(scale: float) -> None:
    drawn = drawing(scale=scale)
    for name, point in layout().nodes.items():
        assert drawn.node(name) == pytest.approx(scale * np.array(point))
    rear = drawn.axle("rear")
    assert rear == pytest.approx(drawn.node("rear_axle"))


def test_a_fork_at_a_pose_takes_its_axle_along_the_steering_axis() -> None:
    drawn = Drawing(layout(), Options(1 / 6, KITS), Pose(fork=60.0))
    moved = drawn.axle("front") - drawn.node("front_axle")
    assert moved == pytest.approx(60 / 6 * np.array(drawn.place.up), abs=1e-9)


def test_a_size_below_the_least_is_noted_and_one_above_is_not() -> None:
    drawn = drawing()
    assert drawn.least("a", "thickness", 30.0, 2.0) == 5.0
    assert drawn.ledger.entries == []
    assert drawn.least("a", "thickness", 6.0, 2.0) == 2.0
    (entry,) = drawn.ledger.entries
    assert (entry.part, entry.scaled, entry.printed) == ("a", 1.0, 2.0)


@pytest.mark.parametrize("scale", [1.0, 1 / 4, 1 / 6, 1 / 12, 1 / 20])
def test_pins_are_no_thinner_than_a_peg_and_no_wider_than_the_bikes(scale: float) -> None:
    drawn = drawing(scale=scale)
    for pin, own in (
        (drawn.axle_pin("rear"), 12.0),
        (drawn.axle_pin("front"), 15.0),
        (drawn.steerer_pin, 28.6),
        (drawn.spindle_pin, 24.0),
    ):
        assert pin == pytest.approx(max(pin, PEG))
        assert pin <= max(own * scale, PEG) + 1e-9
    shell = layout().shell
    assert shell is not None
    room = shell.od * scale - 2 * (drawn.options.wall + drawn.options.turn)
    assert drawn.spindle_pin <= max(room, PEG) + 1e-9


def test_kits_and_room_around_pegs() -> None:
    drawn = drawing(("fork",), fit=0.1, wall=2.0)
    assert drawn.has("fork")
    assert not drawn.has("wheels")
    assert drawn.around == pytest.approx(2.1)
    without = replace(drawn, bike=replace(layout(), frame=replace(layout().frame, shell=None)))
    assert without.spindle_pin == pytest.approx(24 / 6)
