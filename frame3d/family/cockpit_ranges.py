"""Whether each size can hold the hands where they are wanted, with stems, spacers and bars as sold."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.parameters.requirements import PRACTICE
from frame3d.ride.fit.choices import front_of, present_of, sizes_of
from frame3d.ride.fit.cockpit import XZ, Sold, grips
from frame3d.ride.fit.offers import KEEPS, nearest, reach_range

MOST_SPACERS: Final = 30.0
"""Spacers under a stem where neither file nor steerer limits them [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class WishedGrips:
    """Where the hands are wanted, from the bottom bracket."""

    reach: float
    """Level forward [mm]."""
    stack: float
    """Upright [mm]."""
    source: str
    """Name of the size that has them there; empty where they are given."""

    @property
    def at(self) -> XZ:
        """As a point of the side view."""
        return (self.reach, self.stack)


@dataclass(frozen=True, slots=True)
class CockpitRange:
    """What one size can do for the hands."""

    nearest: Sold
    """Stem, spacers and rise, as sold, that bring the grips nearest; the bar's backsweep stays."""
    least_reach: float | None
    """Least reach of the grips at the wished height; None where no size reaches that height [mm]."""
    most_reach: float | None
    """Likewise the most [mm]."""
    assumed: str | None
    """What limits the spacers where the file does not say."""

    @property
    def reached(self) -> bool:
        """Whether sizes as sold bring the grips to where they are wanted, within `KEEPS`."""
        return self.nearest.miss <= KEEPS


def grips_of(bike: Bike, source: str) -> WishedGrips | None:
    """Return where the grips of a bike are as it is drawn; None without a stem."""
    front, present = front_of(bike), present_of(bike)
    if front is None or present is None:
        return None
    return WishedGrips(*grips(front, present), source)


def cockpit_range(bike: Bike, wish: WishedGrips) -> CockpitRange | None:
    """Return what a bike can do for hands that are wanted somewhere; None without a stem."""
    front, present = front_of(bike), present_of(bike)
    if front is None or present is None:
        return None
    sizes = replace(sizes_of(bike), forwards=(present.forward,))
    assumed = None
    if sizes.most_spacers is None:
        most = max(MOST_SPACERS, present.spacers)
        sizes = replace(sizes, most_spacers=most)
        assumed = f"at most {most:g} mm of spacers ({PRACTICE})"
    reach = reach_range(front, wish.stack, present, sizes)
    return CockpitRange(
        nearest=nearest(front, wish.at, sizes, 1)[0],
        least_reach=None if reach is None else reach.least,
        most_reach=None if reach is None else reach.most,
        assumed=assumed,
    )
