"""A plane that cuts a part, and where it crosses it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from frame3d.geometry.arrays import Array
from frame3d.mockup.options import PEG, Options

DEPTH: Final = 5.0
"""Length of a peg in each piece [mm]."""


@dataclass(frozen=True, eq=False)
class Crossing:
    """A place where a plane cuts a part: a limb, or whatever is in its way."""

    at: Array
    """The point on the limb's axis, or in the middle of the cut's area, (3,) [mm]."""
    radius: float
    """Radius of the limb, or of the largest circle in the area [mm]."""
    pegged: bool
    """Whether there is room for a peg."""


@dataclass(frozen=True, eq=False)
class Plane:
    """A plane to cut at: all points p with p·normal = offset."""

    normal: Array
    """Unit normal, (3,)."""
    offset: float
    """Distance from the origin [mm]."""
    crossings: tuple[Crossing, ...]
    """Its crossings with the part."""
    made: bool = False
    """Whether the part itself names the plane (`ModelPart.planes`); then it is not tested."""
    anywhere: bool = False
    """Whether it cuts through whatever is in its way, junctions too."""


def peg_room(options: Options) -> float:
    """Return the least radius of what takes a peg: peg, clearance and wall [mm]."""
    return PEG / 2 + options.fit + options.wall
