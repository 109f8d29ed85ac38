"""Bands of figures that hang on a rider's posture, from the places where the body may be.

Sources of doubt are taken as independent, so the ends of a band are the root of the sum of squares of
what each source alone does upward, and downward.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Complex

ALONG: Final = 30.0
"""How far ahead or behind a rider may hold the centre of mass in one and the same posture [mm]; common
practice, no source."""
UP: Final = 50.0
"""Likewise higher or lower [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Band:
    """A figure with the limits that it likely lies in."""

    low: float
    middle: float
    """By the textbook's body table, in the posture as it is worked out."""
    high: float

    @property
    def half(self) -> float:
        """Half of its width."""
        return (self.high - self.low) / 2


def places(centre: complex, others: Sequence[complex]) -> Complex:
    """Return where the rider's centre of mass may be: (5 + tables,), as `band` takes them.

    Args:
        centre: by the textbook's body table, x + i·z [mm].
        others: by other tables.
    """
    steps = (0, ALONG, -ALONG, 1j * UP, -1j * UP)
    return np.array([*(centre + step for step in steps), *others], complex)


def band(values: Array, low: float = -inf, high: float = inf) -> Band:
    """Return the band of a figure that was worked out at each of `places`, (5 + tables,).

    Args:
        values: the figure at each place.
        low: nothing is below this; the band ends there.
        high: nothing is above this.
    """
    off = values - values[0]
    up = down = 0.0
    for source in (off[1:3], off[3:5], off[5:]):
        up += max(0.0, float(source.max(initial=0.0))) ** 2
        down += min(0.0, float(source.min(initial=0.0))) ** 2
    middle = float(values[0])
    ends = (middle - down**0.5, middle, middle + up**0.5)
    return Band(*(float(np.clip(value, low, high)) for value in ends))
