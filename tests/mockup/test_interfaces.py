"""Sizes at joints: at scale where that prints, room for pins, tyres and what turns."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.interfaces import (
    fork_sizes,
    head_radius,
    hub_half,
    hub_radius,
    seat_peg,
    steerer,
    steerer_deep,
    steerer_end,
    stem_top,
)
from frame3d.mockup.options import KITS, PEG, Options
from tests.mockup.samples import RIGID, drawing, layout

SCALES = (1.0, 1 / 6, 1 / 12)


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("used", [0.0, 60.0])
def test_a_forks_axle_is_where_the_bike_has_it(scale: float, used: float) -> None:
    """From the crown race down the steering axis by `drop`, then ahead by `offset`."""
    drawn = Drawing(layout(), Options(scale, KITS), Pose(fork=used))
    sizes = fork_sizes(drawn)
    up, ahead = np.array(drawn.place.up), np.array(drawn.place.ahead)
    axle = drawn.node("crown_race") - sizes.drop * up + sizes.offset * ahead
    assert axle == pytest.approx(drawn.axle("front"), abs=1e-6)
    assert sizes.offset == pytest.approx(44 * scale)
    # Lower legs come up with the axle.
    rest = fork_sizes(drawing(scale=scale))
    assert sizes.lower_top - rest.lower_top == pytest.approx(used * scale)
    assert rest.drop - sizes.drop == pytest.approx(used * scale)


@pytest.mark.parametrize("scale", SCALES)
def test_legs_print_and_leave_room_for_the_hub(scale: float) -> None:
    drawn = drawing(scale=scale)
    sizes, options = fork_sizes(drawn), drawn.options
    assert not sizes.rigid
    assert min(sizes.legs.upper, sizes.legs.lower) >= options.rod
    assert sizes.height >= 2 * options.wall
    assert 0 < sizes.inside < sizes.outside
    assert sizes.outside - sizes.inside == pytest.approx(sizes.legs.lower)
    assert hub_half(drawn, "front") <= sizes.inside - options.turn + 1e-9
    assert hub_half(drawn, "rear") == pytest.approx(148 / 2 * scale - options.turn)
    # A lug holds its axle: pin, clearance, wall.
    assert sizes.lug > drawn.axle_pin("front") / 2 + options.fit + options.wall


def test_a_rigid_forks_blades_are_named_so() -> None:
    drawn = Drawing(layout(RIGID), Options(1 / 12, KITS))
    assert fork_sizes(drawn).rigid
    assert any("blade" in entry.size for entry in drawn.ledger.entries)
    assert not any("leg" in entry.size for entry in drawn.ledger.entries)


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("scale", SCALES)
def test_hubs_turn_on_their_pins_within_a_wall(scale: float, end: str) -> None:
    drawn = drawing(scale=scale)
    pin = drawn.axle_pin(end) / 2  # type: ignore[arg-type]
    wall = hub_radius(drawn, end) - pin - drawn.options.turn  # type: ignore[arg-type]
    assert wall >= drawn.options.wall - 1e-9
    assert head_radius(drawn, end) == pytest.approx(pin + drawn.options.wall)  # type: ignore[arg-type]


@pytest.mark.parametrize("scale", SCALES)
def test_the_steerer_reaches_from_the_crown_into_the_stem(scale: float) -> None:
    drawn = drawing(scale=scale)
    sizes, pin = fork_sizes(drawn), steerer(drawn)
    assert pin.origin == pytest.approx(drawn.node("crown_race"))
    assert float(pin.along @ pin.flat) == pytest.approx(0, abs=1e-9)
    deep = steerer_deep(drawn, sizes)
    assert sizes.height <= deep
    tyre = drawn.place.tyre("front")
    assert tyre is not None
    assert deep <= max(sizes.height, sizes.drop - tyre.radius * scale - 1.0) + 1e-9
    top = float((drawn.node("head_tube_top") - drawn.node("crown_race")) @ drawn.place.up)
    assert top < steerer_end(drawn) < stem_top(drawn) - drawn.options.wall
    alone = drawing(("fork",), scale=scale)
    assert steerer_end(alone) >= top + PEG - 1e-9


def test_the_seatposts_peg_goes_up_the_seat_tube() -> None:
    drawn = drawing()
    peg = seat_peg(drawn)
    assert peg.origin == pytest.approx(drawn.node("seat_tube_top"))
    down = drawn.node("bottom_bracket") - drawn.node("seat_tube_top")
    assert float(peg.along @ down) < 0
    tube = layout().tube("seat_tube").axis
    way = np.subtract(tube.end, tube.start) / tube.length
    assert peg.along == pytest.approx(way, abs=1e-9)
    assert peg.radius == PEG / 2
