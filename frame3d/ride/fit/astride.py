"""Room over the top tube for a rider who stands astride it, both feet on the ground.

Nobody stands exactly above the bottom bracket: the pedals are in the way, so the feet come to stand
ahead of it. The place is taken as reaching from the bottom bracket to a foot's breadth ahead of it,
and the highest edge of the top tube over that place counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.tubes.standover import upper_edge
from frame3d.tubes.tube import Tube

BREADTH = 0.36
"""Breadth of a shoe over its length, as the shoe's outline takes it; common practice, no source."""
_PLACES = 9


@dataclass(frozen=True, slots=True)
class Astride:
    """The top tube over the feet's place, and the room that an inseam leaves [mm]."""

    stance: str
    """``drawn`` or ``sag``."""
    ahead: float
    """How far ahead of the bottom bracket the place reaches."""
    top_tube: float
    """Upper edge of the top tube over the ground, the highest over that place."""
    room: float
    """Inseam, barefoot, less that; negative where the rider cannot stand flat-footed."""


def astride(
    stance: str,
    tubes: Sequence[Tube],
    bb_height: float,
    breadth: float,
    inseam: float,
    pitch: float = 0.0,
) -> Astride | None:
    """Return the room over the top tube; None where none passes over the feet's place.

    Args:
        stance: its name.
        tubes: placed tubes.
        bb_height: bottom bracket over the ground in that position [mm].
        breadth: of a foot [mm].
        inseam: floor to crotch, barefoot [mm].
        pitch: of the frame there, nose up positive [degrees].
    """
    # The edge is straight or an arc between its ends, so a few places and both ends find the highest.
    edges = [upper_edge(tubes, breadth * i / (_PLACES - 1), pitch) for i in range(_PLACES)]
    known = [edge for edge in edges if edge is not None]
    if not known:
        return None
    high = bb_height + max(known)
    return Astride(stance, breadth, high, inseam - high)


def breadth_of(bike: Bike) -> float | None:
    """Return the breadth of the rider's shoe [mm]; None where the file does not give it."""
    rider, shoe = bike.spec.build.rider, bike.spec.build.shoe
    if shoe is not None and shoe.width is not None:
        return shoe.width
    if rider is None or rider.shoe_length is None:
        return None
    return BREADTH * rider.shoe_length


def astride_of(bike: Bike) -> Iterator[Astride]:
    """Yield the room over a bike's top tube, as drawn and at sag, where the file gives enough."""
    rider, breadth = bike.spec.build.rider, breadth_of(bike)
    if rider is None or rider.inseam is None or breadth is None:
        return
    stands = [("drawn", bike.chart, 0.0)]
    if bike.sagged is not None:
        stands.append(("sag", bike.sagged.chart, bike.sagged.pitch))
    for name, chart, turn in stands:
        height = chart["bb_height"]
        assert height is not None
        found = astride(name, bike.tubes, height, breadth, rider.inseam, turn)
        if found is not None:
            yield found
