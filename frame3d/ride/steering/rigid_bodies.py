"""The four rigid bodies of a bicycle with its rider: rear frame, front assembly and two wheels.

The masses and where they are come from the mass model and from body tables; here they get their own
extent: rods, hoops and discs (common practice, no source). What is not symmetric, cranks and legs,
counts half on either side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from frame3d.bike.bike import Bike, Stance
from frame3d.bike.mass_model import (
    FORK_LEGS,
    FRONT_ASSEMBLY,
    FRONT_HUB,
    FRONT_WHEEL,
    REAR_HUB,
    REAR_WHEEL,
    RIM,
    ROTOR,
    TOOTH,
    TYRE,
    MassModel,
    PlacedMass,
)
from frame3d.bike.suspended import rear_sag
from frame3d.geometry.vector import Point, Vector, point, vector
from frame3d.parameters.models.parts import TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards
from frame3d.parameters.sizes.chains import PITCH
from frame3d.ride.steering.mass_properties import (
    RigidPiece,
    combined,
    disc,
    hoop,
    limb,
    point_mass,
    rod,
)
from frame3d.rider.body import placed_segments, side_view
from frame3d.rider.posture import Posture
from frame3d.rider.segments import TEXTBOOK, YOUNG_MEN

GRIP: Final = 65.0
"""Middle of the grip from the end of a flat bar [mm]; common practice, no source."""
BAR: Final = 760.0
"""Width of a bar where the file gives none, for its inertia only [mm]; common practice, no source."""
HIP: Final = 0.05
SHOULDER: Final = 0.12
"""Hip and shoulder beside the middle, over stature; common practice, no source."""
LEGS: Final = 65.0
"""Legs of a fork beside the middle [mm]; common practice, no source."""
PEDAL: Final = 50.0
"""Middle of a pedal beyond the crank's outer face [mm]; common practice, no source."""
_ROUND: Final[Mapping[str, str]] = {"trunk_and_head": "trunk", "forearm_and_hand": "forearm"}
"""Segments of Winter's table -> those of de Leva's with the radius about their own axis."""


@dataclass(frozen=True, slots=True)
class RigidBodies:
    """The bodies of a bicycle on level ground, from the bottom bracket with z vertical."""

    rear_wheel: RigidPiece
    body: RigidPiece
    """Rear frame and rider."""
    front_assembly: RigidPiece
    front_wheel: RigidPiece
    rider: RigidPiece


def rigid_bodies_of(bike: Bike, model: MassModel, stance: Stance | None) -> RigidBodies | None:
    """Return the bodies of a bike with its rider seated; None where no posture is known.

    Args:
        bike: a solved bike.
        model: its masses.
        stance: how it stands under the rider; None as drawn.
    """
    rider = bike.rider if stance is None else stance.rider
    spec = bike.spec.build.rider
    if rider is None or rider.seated is None or rider.stature is None or spec is None:
        return None
    person = combined(rider_pieces(bike, rider.seated, rider.stature, spec.mass_kg))
    parts = model.parts if stance is None else _sagged(bike, model)
    pitch = 0.0 if stance is None else stance.pitch

    def of(them: Iterable[RigidPiece]) -> RigidPiece:
        return combined(piece.pitched(pitch) for piece in them)

    turning = {FRONT_ASSEMBLY, FORK_LEGS}
    wheels = {REAR_WHEEL, FRONT_WHEEL}
    rear = [part for part in parts if part.on not in turning | wheels]
    frame = of(piece for part in rear for piece in _frame_pieces(bike, part))
    build = bike.spec.build
    return RigidBodies(
        rear_wheel=of(
            _wheel(build.rear_wheel, [part for part in parts if part.on == REAR_WHEEL], bike)
        ),
        body=combined((frame, person)),
        front_assembly=of(
            piece for part in parts if part.on in turning for piece in _front_pieces(bike, part)
        ),
        front_wheel=of(
            _wheel(build.front_wheel, [part for part in parts if part.on == FRONT_WHEEL], bike)
        ),
        rider=person,
    )


def grip_lever(bike: Bike) -> float | None:
    """Return the middle of a grip beside the middle of the bike [mm]; None where no width is known."""
    bar = bike.spec.build.handlebar
    if bar is None or bar.width is None:
        return None
    return bar.width / 2 if bar.drop > 0 else bar.width / 2 - GRIP


def rider_pieces(
    bike: Bike, posture: Posture, stature: float, mass_kg: float
) -> Iterator[RigidPiece]:
    """Yield the segments of a rider in a posture, each half on either side.

    Masses, centres and radii across by Winter's table; radii about a segment's own axis, which it does
    not give, by de Leva's for men.
    """
    crank = bike.spec.build.crank
    feet = (170.0 if crank is None or crank.q_factor is None else crank.q_factor) / 2 + PEDAL
    hands = grip_lever(bike) or BAR / 2 - GRIP
    beside = {"hip": HIP * stature, "shoulder": SHOULDER * stature, "wrist": hands, "hands": hands}
    beside |= {"elbow": (beside["shoulder"] + hands) / 2, "knee": (beside["hip"] + feet) / 2}
    round_ = {segment.name: segment.gyration[2] for segment in YOUNG_MEN.segments}
    joints = {name: side_view(point) for name, point in posture.joints.items()}
    for placed in placed_segments(joints, TEXTBOOK):
        segment = placed.segment
        gyration = (*segment.gyration[:2], round_[_ROUND.get(segment.name, segment.name)])
        aside = (
            (0.0, 0.0)
            if segment.sides == 1
            else (beside.get(segment.start, feet), beside.get(segment.end, feet))
        )
        start, end = (
            (p.real, y, p.imag) for p, y in zip((placed.start, placed.end), aside, strict=True)
        )
        piece = limb(mass_kg * placed.mass_share / 2, start, end, segment.centre_share, gyration)
        yield piece
        yield piece.mirrored


def _sagged(bike: Bike, model: MassModel) -> tuple[PlacedMass, ...]:
    """Return the parts under the rider, in the axes of the frame as drawn."""
    fork, linkage = bike.spec.build.fork, bike.linkage
    return model.moved(
        bike,
        0.0 if linkage is None else rear_sag(bike.spec, linkage),
        0.0 if fork is None else fork.sag * fork.travel,
    )


def _at(part: PlacedMass) -> Point:
    return (part.at[0], 0.0, part.at[1])


def _pair(piece: RigidPiece) -> Iterator[RigidPiece]:
    """Yield half of a piece on either side."""
    half = piece.scaled(0.5)
    yield half
    yield half.mirrored


def _frame_pieces(bike: Bike, part: PlacedMass) -> Iterator[RigidPiece]:
    """Yield a part of the rear frame: tubes and cranks as rods, others as points."""
    at, crank = _at(part), bike.spec.build.crank
    tube = next((tube for tube in bike.tubes if tube.name == part.name), None)
    length = 170.0 if crank is None else crank.length
    q = 170.0 if crank is None or crank.q_factor is None else crank.q_factor
    if tube is not None:
        start, end = (point(tube.axis.at(s)) for s in (0.0, tube.axis.length))
        whole = rod(part.mass_kg, start, end)
        yield whole.placed_at((at[0], whole.at[1], at[2]))
    elif part.name == "cranks":
        yield from _pair(rod(part.mass_kg, (-length, q / 2, 0.0), (length, q / 2, 0.0)))
    elif part.name == "pedals":
        for x in (-length, length):
            yield from _pair(point_mass(part.mass_kg / 2, (x, q / 2 + PEDAL, 0.0)))
    else:
        yield point_mass(part.mass_kg, at)


def _front_pieces(bike: Bike, part: PlacedMass) -> Iterator[RigidPiece]:
    """Yield a part of the front assembly: fork and bar as rods, others as points."""
    at, build = _at(part), bike.spec.build
    if bike.fork is not None and part.name in bike.fork.frame.masses.parts:
        yield _of_built_fork(bike.fork, part)
        return
    top, crown, axle = (
        vector(bike.nodes[name]) for name in ("head_tube_top", "crown_race", "front_axle")
    )
    sprung = build.fork is not None and build.fork.travel > 0
    width = (
        BAR if build.handlebar is None or build.handlebar.width is None else build.handlebar.width
    )
    match part.name:
        case "fork":
            # Of a sprung fork without its lower legs: steerer, crown and stanchions.
            along = (crown + axle) / 2 - top if sprung else axle - crown
            yield from _legs(part.mass_kg, at, along, LEGS / 2 if sprung else LEGS)
        case "fork's lower legs":
            yield from _legs(part.mass_kg, at, (axle - crown) / 2, LEGS)
        case "bar and grips":
            yield rod(part.mass_kg, (at[0], -width / 2, at[2]), (at[0], width / 2, at[2]))
        case "levers":
            yield from _pair(point_mass(part.mass_kg, (at[0], width / 3, at[2])))
        case _:
            yield point_mass(part.mass_kg, at)


def _of_built_fork(fork: Bike, part: PlacedMass) -> RigidPiece:
    """Return a part of a fork that the shop builds: a tube as a rod, a dropout as a point.

    What is on one side alone, as brake posts, counts in the middle, so that the bike stays symmetric.
    """
    at = _at(part)
    for plate in fork.plates:
        if plate.name == part.name:
            return point_mass(part.mass_kg, (at[0], plate.plane.origin[1], at[2]))
    tube = fork.tube(part.name)
    whole = rod(part.mass_kg, tube.axis.start, tube.axis.end)
    return whole.placed_at((at[0], 0.0 if tube.side is None else whole.at[1], at[2]))


def _legs(mass_kg: float, at: Point, along: Vector, beside: float) -> Iterator[RigidPiece]:
    """Yield a rod on either side, `along` from end to end, about a point."""
    piece = rod(mass_kg, point(-along / 2), point(along / 2))
    yield from _pair(piece.placed_at((at[0], beside, at[2])))


def _wheel(wheel: WheelSpec | None, parts: list[PlacedMass], bike: Bike) -> Iterator[RigidPiece]:
    """Yield a wheel's pieces with the mass that its parts have together.

    Tyre, rim with spokes, rotor and cassette have their usual shares of it.
    """
    total = sum(part.mass_kg for part in parts)
    at = _at(parts[0])
    rear = parts[0].on == REAR_WHEEL
    pieces = [point_mass(REAR_HUB if rear else FRONT_HUB, at)]
    size = tyre_size(wheel)
    if size is None:
        yield disc(
            total, at, bike.solved.values["rear_wheel_radius" if rear else "front_wheel_radius"]
        )
        return
    width, outside = size
    circle = (outside - width) / 2
    pieces.append(hoop(TYRE * math.pi**2 * width * 2 * circle, at, circle, width / 2))
    bead = outside / 2 - width
    pieces.append(hoop(RIM * 2 * math.pi * bead, at, bead))
    if wheel is not None and wheel.rotor is not None:
        pieces.append(disc(ROTOR * wheel.rotor, at, wheel.rotor / 2))
    cassette = bike.spec.build.cassette
    if rear and cassette is not None:
        pieces += [disc(TOOTH * cog, at, cog * PITCH / (2 * math.pi)) for cog in cassette.cogs]
    usual = sum(piece.mass_kg for piece in pieces)
    for piece in pieces:
        yield piece.scaled(total / usual)


def tyre_size(wheel: WheelSpec | None) -> tuple[float, float] | None:
    """Return width and outside diameter of a wheel's tyre [mm]; None where the file gives none."""
    if wheel is None or wheel.tyre is None:
        return None
    if isinstance(wheel.tyre, TyreSpec):
        return wheel.tyre.width, wheel.tyre.diameter
    size = standards.tyre(wheel.tyre)
    return size.width, size.bead_seat + 2 * size.width
