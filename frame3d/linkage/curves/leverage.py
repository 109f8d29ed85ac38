"""Leverage ratio and progression.

Leverage ratio: d(wheel travel)/d(shock stroke), out of the Jacobian (`Motion.leverage`). Progression: by
what share of the ratio at full extension it falls until the end of the stroke (common practice, no
source).
"""

from __future__ import annotations

from frame3d.linkage.linear import Array


def progression(leverage: Array) -> float:
    """Share by which the leverage ratio falls from first to last: 0.25 for 3.2 to 2.4; negative where it
    grows.
    """
    return float((leverage[0] - leverage[-1]) / leverage[0])


def mean(travel: Array, stroke: Array) -> float:
    """Mean leverage ratio: travel over stroke."""
    return float((travel[-1] - travel[0]) / (stroke[-1] - stroke[0]))
