"""What the turn of an eccentric insert in the shell changes: chainstay length, height, seat angle."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values
from frame3d.bike.tension.chain_fits import HALF_LINK, ChainFit, chain_fits
from frame3d.bike.tension.turn import Turn
from frame3d.chart.as_built import INSERT


@dataclass(frozen=True, slots=True)
class Place:
    """The bike with its insert at one angle."""

    angle: float
    """Of the bottom bracket about the shell's middle, as the file counts it [degrees]."""
    chainstay_length: float
    bb_height: float
    bb_drop: float
    effective_seat_tube_angle: float


@dataclass(frozen=True, slots=True)
class Turning:
    """The range of an eccentric insert."""

    offset: float
    """Of the bottom bracket from the shell's middle [mm]."""
    between: tuple[float, float]
    """Least and greatest angle [degrees]."""
    now: Place
    shortest: Place
    """With the shortest chainstay."""
    longest: Place
    lowest: Place
    """With the bottom bracket nearest to the ground."""
    highest: Place
    tension: float
    """From the shortest to the longest chainstay [mm]."""
    half_links: float
    """The same in half links, of 6.35 mm each."""
    chains: tuple[ChainFit, ...]
    """Chains that are taut at some angle; none where there is not just one gear."""


def turning_of(bike: Bike) -> Turning | None:
    """Return what the insert's turn does to a bike; None where the shell has no insert.

    Raises:
        FrameError: the bike cannot stand so.
    """
    turn = turn_of(bike)
    if turn is None:
        return None
    spec = turn.spec
    # The wheels keep their places in the frame, so it does not pitch with the insert.
    places = {a: _place(bike, a) for a in dict.fromkeys((spec.angle, *turn.lengths, *turn.heights))}
    shortest, longest = (places[angle] for angle in turn.lengths)
    lowest, highest = (places[angle] for angle in turn.heights)
    span = longest.chainstay_length - shortest.chainstay_length
    return Turning(
        offset=spec.offset,
        between=spec.range,
        now=places[spec.angle],
        shortest=shortest,
        longest=longest,
        lowest=lowest,
        highest=highest,
        tension=span,
        half_links=span / HALF_LINK,
        chains=chain_fits(bike.spec, shortest.chainstay_length, longest.chainstay_length),
    )


def turn_of(bike: Bike) -> Turn | None:
    """Return a bike's eccentric insert as it stands; None where the shell has none."""
    spec = bike.spec.build.insert
    if spec is None or bike.shell is None:
        return None
    (x, _, z), (at_x, at_z) = bike.nodes["rear_axle"], bike.shell.at
    return Turn(spec, (x - at_x, z - at_z), bike.frame.pitch)


def at_angle(bike: Bike, angle: float) -> Bike:
    """Return the bike with its insert turned to an angle [degrees].

    Args:
        bike: with an eccentric insert.
        angle: as the file counts it.
    """
    return exchange_values(bike, {INSERT: angle})


def other_angles(bike: Bike) -> tuple[float, ...]:
    """Return angles of the insert at which figures are checked, besides where it stands [degrees].

    The ends of its range, and where the bottom bracket is foremost, highest, rearmost and lowest.
    """
    turn = turn_of(bike)
    return () if turn is None else turn.others


def _place(bike: Bike, angle: float) -> Place:
    there = bike if insert_at(bike, angle) else at_angle(bike, angle)
    chart = there.chart
    values = [
        chart[name]
        for name in ("chainstay_length", "bb_height", "bb_drop", "effective_seat_tube_angle")
    ]
    assert None not in values
    return Place(angle, *(float(value) for value in values if value is not None))


def insert_at(bike: Bike, angle: float) -> bool:
    """Return whether a bike's insert stands at an angle [degrees]."""
    spec = bike.spec.build.insert
    return spec is not None and spec.angle == angle
