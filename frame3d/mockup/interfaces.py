"""Dimensions and pegs at the joints between parts, which more than one maker needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.parts.fork import Legs, legs_of
from frame3d.bodies.placement import End
from frame3d.geometry.vector import vector
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.fits import SPARE, Peg
from frame3d.mockup.options import PEG
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.mating import CrownSpec, LegsSpec
from frame3d.tubes.hardware import STEERER

AIR: Final = 0.3
"""Gap between the head tube's cups and the rotating parts below and above them [mm]."""
SOCKET: Final = 2.5
"""Depth of the seatpost's socket, in diameters of its peg."""
FACE: Final = 0.92
"""Distance of the face on which a fork is printed from the axes of its legs and lugs, as a share of
their radius."""
BARREL: Final = 14.0
"""Radius of a hub at its ends [mm of the bike]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class ForkSizes:
    r"""Dimensions of a fork at the print's scale [mm], from the crown race along the steering axis.

             | steerer
        _____|_____  crown race   -.
       |___________|  height       |
        ||       ||                |
        ||       ||  upper legs    | drop (side view: axle `offset` ahead of the steering axis)
        []       []  lower_top     |
        []       []  lower legs    |
        (o)     (o)  lug          -'

    `legs` holds the legs' spacing, diameters and distance forward.
    """

    legs: Legs
    height: float
    """Height of the crown."""
    drop: float
    """Axle below the crown race along the steering axis, at the pose."""
    offset: float
    """Axle ahead of the steering axis."""
    lower_top: float
    """Top of the lower legs above the crown race (negative)."""
    rigid: bool
    """Whether the fork has no travel."""
    lug: float
    """Radius of the lugs around the axle."""

    @property
    def inside(self) -> float:
        """Distance from the centre plane to a leg's inner face at the axle [mm]."""
        return (self.legs.spacing - self.legs.lower) / 2

    @property
    def outside(self) -> float:
        """Distance from the centre plane to a leg's outer face at the axle [mm]."""
        return (self.legs.spacing + self.legs.lower) / 2


def fork_sizes(drawing: Drawing) -> ForkSizes:
    """Return the fork's dimensions, thickened where necessary."""
    spec = drawing.bike.spec.build.fork or ForkSpec.model_validate({})
    place, scale, options = drawing.place, drawing.scale, drawing.options
    rigid = spec.travel == 0
    if drawing.bike.fork is not None:
        return _built_sizes(drawing, drawing.bike.fork)
    legs = legs_of(place, spec)
    if legs is None:
        legs = Legs(110.0, 28.0, 18.0, place.axle_offset)
    size = "blade" if rigid else "leg"
    upper = drawing.least("fork", f"upper {size}'s diameter", legs.upper, drawing.rod("fork"))
    lower = drawing.least("fork", f"lower {size}'s diameter", legs.lower, drawing.rod("fork"))
    crown = CrownSpec() if spec.crown is None else spec.crown
    height = drawing.least("fork", "crown's height", crown.height, 2 * drawing.wall("fork"))
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


def _built_sizes(drawing: Drawing, fork: Bike) -> ForkSizes:
    """Return the dimensions of a fork that the shop builds: its blades' sizes at crown and axle."""
    place, scale, options = drawing.place, drawing.scale, drawing.options
    blade, steerer_ = fork.tube("fork_blade_left"), fork.tube(STEERER)
    sizes = [min(blade.section.height[i], blade.section.width[i]) for i in (0, -1)]
    upper, lower = (
        drawing.least("fork", f"{which} blade's diameter", size, drawing.rod("fork"))
        for which, size in zip(("upper", "lower"), sizes, strict=True)
    )
    below = float((place.node("crown_race") - vector(steerer_.axis.start)) @ place.up)
    height = drawing.least("fork", "crown's height", below, 2 * drawing.wall("fork"))
    return ForkSizes(
        legs=Legs(2 * blade.axis.end[1] * scale, upper, lower, place.axle_offset * scale),
        height=height,
        drop=place.axle_drop * scale,
        offset=place.axle_offset * scale,
        lower_top=-height,
        rigid=True,
        lug=(drawing.axle_pin("front") / 2 + options.fit + options.wall) / FACE,
    )


def head_radius(drawing: Drawing, end: End) -> float:
    """Return the radius of an axle's head [mm]."""
    return drawing.axle_pin(end) / 2 + drawing.options.wall


def hub_radius(drawing: Drawing, end: End) -> float:
    """Return a hub's radius at its ends [mm]."""
    hole = drawing.axle_pin(end) / 2 + drawing.options.turn
    return max(BARREL * drawing.scale, hole + drawing.options.wall)


def hub_half(drawing: Drawing, end: End) -> float:
    """Return half of a hub's length, so that it has clearance between the dropouts or fork legs [mm]."""
    hub = drawing.place.hub(end)
    assert hub is not None
    room = hub[0] / 2 * drawing.scale
    if end == "front":
        room = min(room, fork_sizes(drawing).inside)
    return room - drawing.options.turn


def steerer(drawing: Drawing) -> Peg:
    """Return the steerer's pin: up from the crown race, its flat in front."""
    return Peg(
        drawing.node("crown_race"), drawing.place.up, drawing.place.ahead, drawing.steerer_pin / 2
    )


def steerer_deep(drawing: Drawing, sizes: ForkSizes) -> float:
    """Return how far the steerer's pin goes below the crown race [mm].

    Twice its diameter where the tyre leaves room, but at least the crown's height or 0.6 diameters.
    """
    size = drawing.place.tyre("front")
    room = sizes.height
    if size is not None:
        room = sizes.drop - size.radius * drawing.scale - 1.0
    least = min(sizes.height, 0.6 * drawing.steerer_pin)
    return max(min(2 * drawing.steerer_pin, room), least)


def steerer_end(drawing: Drawing) -> float:
    """Return the height of the upper end of the steerer's pin above the crown race [mm]."""
    if drawing.has("cockpit"):
        return stem_top(drawing) - drawing.options.wall - SPARE
    return _stack_top(drawing) + PEG


def stem_top(drawing: Drawing) -> float:
    """Return the height of the stem's top above the crown race [mm]."""
    stem = drawing.bike.spec.build.stem
    assert stem is not None
    return _stack_top(drawing) + (stem.spacers + stem.clamp_height) * drawing.scale


def _stack_top(drawing: Drawing) -> float:
    """Return the height of the headset's top above the crown race [mm]."""
    headset = drawing.bike.spec.build.headset
    stack = 0.0 if headset is None else headset.upper_stack * drawing.scale
    head = drawing.node("head_tube_top") - drawing.node("crown_race")
    return float(head @ drawing.place.up) + stack


def seat_peg(drawing: Drawing) -> Peg:
    """Return the seatpost's peg: from the seat tube's top up along the post, its flat in front."""
    return Peg(
        drawing.node("seat_tube_top"), drawing.place.seat_up, np.array([1.0, 0.0, 0.0]), PEG / 2
    )
