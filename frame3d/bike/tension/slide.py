"""Where the rear axle stands in sliding dropouts, and what moving it changes."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values
from frame3d.chart.as_built import SLIDE


@dataclass(frozen=True, slots=True)
class Place:
    """The bike with its axle at one place of the slots."""

    at: float
    """How far back of the foremost place [mm]."""
    chainstay_length: float
    wheelbase: float


@dataclass(frozen=True, slots=True)
class Sliding:
    """The range of sliding dropouts."""

    length: float
    """How far the axle can be moved [mm]."""
    now: Place
    front: Place
    """With the axle foremost."""
    back: Place
    """With the axle rearmost."""


def sliding_of(bike: Bike) -> Sliding | None:
    """Return where a bike's axle stands in its sliding dropouts; None where they are no such ones.

    Raises:
        FrameError: the bike cannot stand with its axle at an end.
    """
    slide = bike.spec.build.slide
    if slide is None or not bike.dropouts:
        return None
    front, back = (at_place(bike, at) for at in (0.0, slide.length))
    return Sliding(
        slide.length, _place(bike, slide.at), _place(front, 0.0), _place(back, slide.length)
    )


def at_place(bike: Bike, at: float) -> Bike:
    """Return the bike with its axle at another place of its slots.

    Args:
        bike: with sliding dropouts.
        at: how far back of the foremost place [mm].
    """
    return exchange_values(bike, {SLIDE: at})


def other_ends(bike: Bike) -> tuple[tuple[str, float], ...]:
    """Return the ends of the slots where the axle does not stand: name, how far back [mm]."""
    slide = bike.spec.build.slide
    if slide is None or not bike.dropouts:
        return ()
    ends = (("foremost", 0.0), ("rearmost", slide.length))
    return tuple((name, at) for name, at in ends if abs(at - slide.at) > 1e-9)


def _place(bike: Bike, at: float) -> Place:
    chart = bike.chart
    chainstay, wheelbase = chart["chainstay_length"], chart["wheelbase"]
    assert chainstay is not None
    assert wheelbase is not None
    return Place(at, chainstay, wheelbase)
