"""Leverage ratio and progression.

The leverage ratio is d(wheel travel)/d(shock stroke), computed in `LinkageMotion.leverage`. Progression
is the fall of the ratio over the stroke, as a share of the ratio at full extension (common practice, no
source).
"""

from __future__ import annotations

from frame3d.geometry.arrays import Array


def progression(leverage: Array) -> float:
    """Return the share by which the leverage ratio falls from first to last; negative where it rises.

    Example: 0.25 for a ratio that falls from 3.2 to 2.4.
    """
    return float((leverage[0] - leverage[-1]) / leverage[0])


def mean(travel: Array, stroke: Array) -> float:
    """Return the mean leverage ratio, travel over stroke."""
    return float((travel[-1] - travel[0]) / (stroke[-1] - stroke[0]))
