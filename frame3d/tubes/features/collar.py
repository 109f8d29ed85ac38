"""The seat collar: a ring around the seat tube's top, with a screw across its gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.vector import Vector
from frame3d.parameters.models.tube_features.kinds import RING
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.stand import Spot, spot
from frame3d.tubes.tube import Tube

EARS: Final = (18.0, 7.0)
"""Width of both ears across the gap, and their radius about the screw [mm]; common practice, no
source."""
DENSITY: Final = 2.7
"""Of aluminium [g/cm³]: the usual collar."""
SCREW: Final = 4.0
"""Mass of the screw [g]; common practice, no source."""


@dataclass(frozen=True)
class Collar:
    """A collar in place; lengths [mm]."""

    bore: float
    """The seat tube's outside there."""
    outside: float
    low: Vector
    """Middle of its lower face, (3,)."""
    top: Vector
    ears: tuple[Vector, Vector]
    """Ends of the ears, on the screw's axis."""
    middle: Spot

    @property
    def length(self) -> float:
        """Along the tube."""
        return float(np.linalg.norm(self.top - self.low))

    @property
    def grams(self) -> float:
        """Ring, ears and screw, estimated [g]."""
        ring = np.pi / 4 * (self.outside**2 - self.bore**2) * self.length
        width, radius = EARS
        ears = np.pi / 4 * (2 * radius) ** 2 * (width - 2.0) * 0.6  # the rest is in the ring
        return float((ring + ears) * DENSITY * 1e-3 + SCREW)


def collar_of(feature: Feature, tube: Tube) -> Collar:
    """Return a feature of the kind `collar` in place."""
    spec, s = feature.spec, feature.s[0]
    middle = spot(tube, s, feature.angle)
    bore = float(max(tube.section.height_at(s), tube.section.width_at(s)))
    outside = bore + RING if spec.diameter is None else spec.outside
    half = spec.long / 2
    width, radius = EARS
    at = middle.axis + (outside / 2 + radius - 2.0) * middle.out
    return Collar(
        bore=bore,
        outside=outside,
        low=middle.axis - half * middle.along,
        top=middle.axis + half * middle.along,
        ears=(at - width / 2 * middle.around, at + width / 2 * middle.around),
        middle=middle,
    )


def collar_in(features: Sequence[Feature]) -> Feature | None:
    """Return the collar among features; None where there is none."""
    return next((one for one in features if one.spec.kind == "collar"), None)
