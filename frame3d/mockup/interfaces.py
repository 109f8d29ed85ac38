"""Sizes and pegs where parts come together, which more than one maker needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bodies.fork import Legs, legs_of
from frame3d.bodies.placement import End
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.fits import SPARE, Peg
from frame3d.mockup.options import PEG
from frame3d.parameters.models.mating import CrownSpec, LegsSpec
from frame3d.parameters.models.parts import ForkSpec

AIR: Final = 0.3
"""Between the head tube's cups and what turns under and over them [mm]."""
SOCKET: Final = 2.5
"""Depth of the seatpost's socket over its peg's diameter."""
FACE: Final = 0.92
"""Distance of the face that a fork lies on from the middles of its legs and lugs, over their radius."""
BARREL: Final = 14.0
"""Radius of a hub at its ends [mm of the bike]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class ForkSizes:
    """A fork in the print [mm]: places by their distance from the steering axis and the crown race."""

    legs: Legs
    """In the print."""
    height: float
    """Crown's."""
    drop: float
    """Axle below the crown race along the steering axis, at the pose."""
    offset: float
    """Axle ahead of the steering axis."""
    lower_top: float
    """Top of the lower legs above the crown race, so negative."""
    rigid: bool
    lug: float
    """Radius around the axle."""

    @property
    def inside(self) -> float:
        """From the centre plane to a leg's inner face at the axle."""
        return (self.legs.spacing - self.legs.lower) / 2

    @property
    def outside(self) -> float:
        """From the centre plane to a leg's outer face at the axle."""
        return (self.legs.spacing + self.legs.lower) / 2


def fork_sizes(drawing: Drawing) -> ForkSizes:
    """A fork's sizes, thickened where they must be."""
    spec = drawing.bike.spec.build.fork or ForkSpec.model_validate({})
    place, scale, options = drawing.place, drawing.scale, drawing.options
    rigid = spec.travel == 0
    legs = legs_of(place, spec)
    if legs is None:
        legs = Legs(110.0, 28.0, 18.0, place.axle_offset)
    size = "blade" if rigid else "leg"
    upper = drawing.least("fork", f"upper {size}'s diameter", legs.upper, options.rod)
    lower = drawing.least("fork", f"lower {size}'s diameter", legs.lower, options.rod)
    crown = CrownSpec() if spec.crown is None else spec.crown
    height = drawing.least("fork", "crown's height", crown.height, 2 * options.wall)
    given = LegsSpec() if spec.legs is None else spec.legs
    used = drawing.pose.fork
    return ForkSizes(
        legs=Legs(legs.spacing * scale, upper, lower, legs.forward * scale),
        height=height,
        drop=(place.axle_drop - used) * scale,
        offset=place.axle_offset * scale,
        lower_top=-(crown.height + spec.travel + given.seal - used) * scale,
        rigid=rigid,
        lug=(drawing.axle_pin("front") / 2 + options.fit + options.wall) / FACE,
    )


def head_radius(drawing: Drawing, end: End) -> float:
    """Radius of an axle's head."""
    return drawing.axle_pin(end) / 2 + drawing.options.wall


def hub_radius(drawing: Drawing, end: End) -> float:
    """A hub's radius at its ends."""
    hole = drawing.axle_pin(end) / 2 + drawing.options.turn
    return max(BARREL * drawing.scale, hole + drawing.options.wall)


def hub_half(drawing: Drawing, end: End) -> float:
    """From the wheel's middle to a hub's end, beside what holds it."""
    hub = drawing.place.hub(end)
    assert hub is not None
    room = hub[0] / 2 * drawing.scale
    if end == "front":
        room = min(room, fork_sizes(drawing).inside)
    return room - drawing.options.turn


def steerer(drawing: Drawing) -> Peg:
    """The steerer's pin: up from the crown race, its flat ahead."""
    return Peg(
        drawing.node("crown_race"), drawing.place.up, drawing.place.ahead, drawing.steerer_pin / 2
    )


def steerer_deep(drawing: Drawing, sizes: ForkSizes) -> float:
    """How far down the steerer's pin reaches: twice its thickness where the tyre leaves room."""
    size = drawing.place.tyre("front")
    room = sizes.height
    if size is not None:
        room = sizes.drop - size.radius * drawing.scale - 1.0
    return max(min(2 * drawing.steerer_pin, room), sizes.height)


def steerer_end(drawing: Drawing) -> float:
    """Where the steerer's pin ends, above the crown race."""
    if drawing.has("cockpit"):
        return stem_top(drawing) - drawing.options.wall - SPARE
    return _stack_top(drawing) + PEG


def stem_top(drawing: Drawing) -> float:
    """Stem's top above the crown race."""
    stem = drawing.bike.spec.build.stem
    assert stem is not None
    return _stack_top(drawing) + (stem.spacers + stem.clamp_height) * drawing.scale


def _stack_top(drawing: Drawing) -> float:
    """Top of the headset above the crown race."""
    headset = drawing.bike.spec.build.headset
    stack = 0.0 if headset is None else headset.upper_stack * drawing.scale
    head = drawing.node("head_tube_top") - drawing.node("crown_race")
    return float(head @ drawing.place.up) + stack


def seat_peg(drawing: Drawing) -> Peg:
    """The seatpost's peg in the seat tube's top: up along the post from there, its flat ahead."""
    return Peg(
        drawing.node("seat_tube_top"), drawing.place.seat_up, np.array([1.0, 0.0, 0.0]), PEG / 2
    )
