"""The body in tables: lengths of its segments, their masses, centres and radii of gyration.

Lengths are fractions of stature by Drillis and Contini (1966), as given in Winter, Biomechanics and
Motor Control of Human Movement, figure 4.1 (from memory; two public documents that cite it agree).
Legs are scaled by the inseam where it is known, and trunk and head fill what is left of the stature.

Masses come from two tables that are in wide use:

- Winter (1990), table 3.1 of the 2nd edition (4.1 in later ones), after Dempster: published, two public
  copies agree;
- de Leva (1996), J. Biomech. 29, 1223-1230, after Zatsiorsky and Seluyanov, men and women: published.

How far they differ is the error bar of the body's centre of mass.

::

    vertex o          Winter: the trunk reaches from hip to shoulder and holds neck and head;
           |                  forearm and hand are one, as long as the forearm
      chin o          de Leva: head from vertex to chin, trunk from shoulder to hip, hand from wrist to
           |                  knuckles (the grip), foot from heel to toe
    shoulder o---- elbow o---- wrist o-- hands
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

INSEAM_OF_STATURE = 0.47
"""Common practice, no source."""

# Heights and lengths as fractions of stature (Drillis and Contini 1966, as Winter figure 4.1).
ANKLE_HEIGHT = 0.039
HIP_HEIGHT = 0.530
THIGH = 0.530 - 0.285
SHANK = 0.285 - 0.039
TRUNK = 0.818 - 0.530
NECK = 0.870 - 0.818
"""Shoulder to chin."""
HEAD = 1.0 - 0.870
"""Chin to vertex."""
UPPER_ARM = 0.186
FOREARM = 0.146
HAND = 0.108
FOOT = 0.152

BALL_OF_FOOT = 0.72
"""From the heel to the ball of the foot over the foot's length; common practice, no source. The ankle
stands half a foot's length behind the ball."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """A body's lengths [mm]."""

    thigh: float
    shank: float
    ankle_height: float
    """Ankle above the sole of the bare foot."""
    heel: float
    """Heel behind the ball of the foot."""
    ankle: float
    """Ankle behind the ball of the foot."""
    toe: float
    """Toe ahead of the ball of the foot."""
    trunk: float
    """Hip to shoulder."""
    neck: float
    head: float
    upper_arm: float
    forearm: float
    """Elbow to wrist."""
    hand: float
    """Wrist to the middle of the grip."""

    @property
    def leg(self) -> float:
        """Hip to ankle, the knee straight [mm]."""
        return self.thigh + self.shank

    @property
    def arm(self) -> float:
        """Shoulder to grip, the elbow straight [mm]."""
        return self.upper_arm + self.forearm + self.hand


def lengths_of(stature: float, inseam: float | None = None) -> Lengths:
    """Return the lengths of a body [mm].

    Args:
        stature: barefoot [mm].
        inseam: floor to crotch, barefoot [mm]; left out, `INSEAM_OF_STATURE` of the stature. Legs are
            as long as those of a body whose inseam it is by that share; trunk, neck and head fill the
            rest of the stature.
    """
    legs = stature if inseam is None else inseam / INSEAM_OF_STATURE
    above = (stature - HIP_HEIGHT * legs) / (1 - HIP_HEIGHT)
    foot = FOOT * stature
    return Lengths(
        thigh=THIGH * legs,
        shank=SHANK * legs,
        ankle_height=ANKLE_HEIGHT * legs,
        heel=BALL_OF_FOOT * foot,
        ankle=foot / 2,
        toe=(1 - BALL_OF_FOOT) * foot,
        trunk=TRUNK * above,
        neck=NECK * above,
        head=HEAD * above,
        upper_arm=UPPER_ARM * stature,
        forearm=FOREARM * stature,
        hand=HAND / 2 * stature,
    )


@dataclass(frozen=True, slots=True)
class Segment:
    """A rigid piece of the body between two joints."""

    name: str
    start: str
    """The joint from which its centre counts; of a limb without ``_front`` or ``_rear``."""
    end: str
    sides: int
    """1, or 2 where there is one left and one right."""
    mass_share: float
    """Of the body's mass, of one side."""
    centre_share: float
    """From start to centre of mass over start to end."""
    gyration: tuple[float, float, float]
    """Radii of gyration about its own centre over start to end: about the axes that point forward
    (sagittal), sideways (transverse) and along the segment, of somebody who stands upright."""


@dataclass(frozen=True, slots=True)
class BodyTable:
    """Segments that make up a whole body."""

    name: str
    source: str
    segments: tuple[Segment, ...]

    @property
    def total_share(self) -> float:
        """Sum of all masses over the body's; 1."""
        return sum(segment.sides * segment.mass_share for segment in self.segments)


def _round(radius: float) -> tuple[float, float, float]:
    """Return the radii of a slender segment of which only the one across it is published."""
    return (radius, radius, 0.0)


TEXTBOOK: Final = BodyTable(
    "textbook",
    "Winter (1990), Biomechanics and Motor Control of Human Movement, 2nd edition, table 3.1",
    (
        Segment("trunk_and_head", "hip", "shoulder", 1, 0.578, 0.660, _round(0.503)),
        Segment("upper_arm", "shoulder", "elbow", 2, 0.028, 0.436, _round(0.322)),
        Segment("forearm_and_hand", "elbow", "wrist", 2, 0.022, 0.682, _round(0.468)),
        Segment("thigh", "hip", "knee", 2, 0.100, 0.433, _round(0.323)),
        Segment("shank", "knee", "ankle", 2, 0.0465, 0.433, _round(0.302)),
        Segment("foot", "ankle", "ball", 2, 0.0145, 0.500, _round(0.475)),
    ),
)
"""The table that centres of mass are given by. Its radii about a segment's own axis are not published
and count as 0."""

_DE_LEVA = "de Leva (1996), J. Biomech. 29, 1223-1230, table 4"

YOUNG_MEN: Final = BodyTable(
    "young_men",
    f"{_DE_LEVA}, men",
    (
        Segment("head", "vertex", "chin", 1, 0.0694, 0.5976, (0.362, 0.376, 0.312)),
        Segment("trunk", "shoulder", "hip", 1, 0.4346, 0.4310, (0.384, 0.358, 0.197)),
        Segment("upper_arm", "shoulder", "elbow", 2, 0.0271, 0.5772, (0.285, 0.269, 0.158)),
        Segment("forearm", "elbow", "wrist", 2, 0.0162, 0.4574, (0.276, 0.265, 0.121)),
        Segment("hand", "wrist", "hands", 2, 0.0061, 0.7900, (0.628, 0.513, 0.401)),
        Segment("thigh", "hip", "knee", 2, 0.1416, 0.4095, (0.329, 0.329, 0.149)),
        Segment("shank", "knee", "ankle", 2, 0.0433, 0.4395, (0.251, 0.246, 0.102)),
        Segment("foot", "heel", "toe", 2, 0.0137, 0.4415, (0.257, 0.245, 0.124)),
    ),
)

YOUNG_WOMEN: Final = BodyTable(
    "young_women",
    f"{_DE_LEVA}, women",
    (
        Segment("head", "vertex", "chin", 1, 0.0668, 0.5894, (0.330, 0.359, 0.318)),
        Segment("trunk", "shoulder", "hip", 1, 0.4257, 0.3782, (0.379, 0.361, 0.182)),
        Segment("upper_arm", "shoulder", "elbow", 2, 0.0255, 0.5754, (0.278, 0.260, 0.148)),
        Segment("forearm", "elbow", "wrist", 2, 0.0138, 0.4559, (0.261, 0.257, 0.094)),
        Segment("hand", "wrist", "hands", 2, 0.0056, 0.7474, (0.531, 0.454, 0.335)),
        Segment("thigh", "hip", "knee", 2, 0.1478, 0.3612, (0.369, 0.364, 0.162)),
        Segment("shank", "knee", "ankle", 2, 0.0481, 0.4352, (0.267, 0.263, 0.092)),
        Segment("foot", "heel", "toe", 2, 0.0129, 0.4014, (0.299, 0.279, 0.139)),
    ),
)

BODY_TABLES: Final[Mapping[str, BodyTable]] = MappingProxyType(
    {table.name: table for table in (TEXTBOOK, YOUNG_MEN, YOUNG_WOMEN)}
)
"""By name: ``textbook`` is Winter's, ``young_men`` and ``young_women`` are de Leva's."""
