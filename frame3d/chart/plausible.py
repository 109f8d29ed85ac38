"""What a variable can be on a bicycle: its range, and start values spread over it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from frame3d.chart.givens import held, shown
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.figures import GeometrySpec

_HIDDEN = {
    "saddle_height": (300.0, 1100.0),
    "front_axle_x": (1.0, 1500.0),
    "front_axle_z": (-300.0, 400.0),
    "rear_axle_setback": (1.0, 1500.0),
    "fork_length_straight": (250.0, 800.0),
    "top_tube_at_seat": (-200.0, 900.0),
    "top_tube_at_head": (-200.0, 400.0),
    "cup_angle": (-5.0, 5.0),
    "pitch": (-45.0, 45.0),
}
"""Plausible ranges of variables that are not chart figures, in mm and degrees."""


def plausible_range(name: str) -> tuple[float, float]:
    """Return a variable's plausible range, from lowest to highest, in mm or degrees."""
    if name in _HIDDEN:
        return _HIDDEN[name]
    low, high = -np.inf, np.inf
    for bound in GeometrySpec.model_fields[name].metadata:
        low = getattr(bound, "ge", low)
        high = getattr(bound, "le", high)
    return float(low), float(high)


def implausible(values: Mapping[str, float]) -> list[str]:
    """Return the variables that are outside their plausible range."""
    out = []
    for name, value in values.items():
        low, high = plausible_range(name)
        if not low - 1e-6 <= shown(name, value) <= high + 1e-6:
            out.append(name)
    return out


def spread(name: str, start: Array, j: int) -> Array:
    """Return start values over a variable's plausible range, densest near the usual value: (k,) float.

    The usual value comes first. An additive recurrence with the fractional part of a square root spreads
    them evenly, and the same in every run.

    Args:
        name: the variable.
        start: its usual value, (k,) [mm or rad].
        j: index that selects the square root, another for each variable.
    """
    low, high = (held(name, bound) for bound in plausible_range(name))
    step = float(np.sqrt((2, 3, 5, 7, 11, 13, 17, 19, 23, 29)[j % 10]) % 1)
    share = 2 * ((0.5 + step * np.arange(len(start))) % 1) - 1
    room = np.where(share > 0, high - start, start - low)
    return np.asarray(start + share * np.abs(share) * room)
