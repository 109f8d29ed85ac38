"""The values that a range allows: multiples of its step, or decimals fine enough."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array

_FINEST: Final = 1e-8
"""Share of a range below which two values count as one, so that values are written with few digits."""
_ROUND_OFF: Final = 1e-9
"""Share of a step that a range may fall short of a multiple and still hold it."""
_DIGITS: Final = 12
"""Decimals of multiples of a step, so that 3 × 0.1 is 0.3."""


def steps_in(low: float, high: float, step: float) -> int:
    """Return how many whole steps a range holds."""
    return math.floor((high - low) / step + _ROUND_OFF)


def nearest(values: Array, low: float, high: float, step: float | None) -> Array:
    """Return the nearest values that a range allows, of any shape.

    With a step: `low`, ``low + step``, … up to `high`. Without: rounded to a decimal of at most 1e-8 of
    the range.
    """
    if high <= low:
        return np.full_like(values, low)
    if step is None:
        decimals = -math.floor(math.log10(_FINEST * (high - low)))
        return np.clip(np.round(np.clip(values, low, high), decimals), low, high)
    counted = np.clip(np.rint((values - low) / step), 0, steps_in(low, high, step))
    return np.round(low + counted * step, _DIGITS)
