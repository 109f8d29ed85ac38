"""Warnings to the builder about a leverage ratio that rises or a wheel rate that falls."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.curves.springs import Spring
from frame3d.linkage.curves.wheel_force import wheel_rate
from frame3d.linkage.result import Linkage

HAIR = 0.02
"""Relative rises and falls below this are not reported."""
LAST = 0.2
"""Last share of the travel, where any falling wheel rate is reported."""
HALF = 0.5
"""Elsewhere beyond the sag, only a wheel rate that falls by more than this share is reported."""


def leverage_rises(linkage: Linkage) -> str | None:
    """Return a sentence that says where the leverage ratio rises; None where it does not."""
    span = _largest_rise(linkage.leverage)
    if span is None:
        return None
    a, b = (f"{linkage.leverage[i]:.2f} at {linkage.travel[i]:.0f} mm of travel" for i in span)
    return (
        f"leverage rises from {a} to {b}: there the wheel pushes the shock ever more easily, and the "
        "spring has to make up for it"
    )


def rate_falls(linkage: Linkage, spring: Spring, sag: float) -> str | None:
    """Return a sentence about a wheel rate that falls at the end or halves beyond the sag; else None.

    Args:
        linkage: the suspension.
        spring: its spring.
        sag: stroke at the sag [mm].
    """
    force, slope, _ = spring.state(linkage.stroke)
    rate = wheel_rate(force, slope, linkage.leverage, linkage.motion.leverage_rate)
    for low, hair, where in (
        (linkage.full_travel * (1 - LAST), HAIR, "over the last fifth of the travel"),
        (float(np.interp(sag, linkage.stroke, linkage.travel)), HALF, "beyond the sag"),
    ):
        among = np.flatnonzero(linkage.travel >= low - 1e-9)
        span = _largest_rise(-rate[among], hair)
        if span is None:
            continue
        a, b = (f"{rate[among[i]]:.2f} N/mm at {linkage.travel[among[i]]:.0f} mm" for i in span)
        return (
            f"wheel rate falls {where}, from {a} to {b}: the suspension grows softer where it should "
            "hold up; a leverage that falls to the end, or a spring that grows firmer, mends it"
        )
    return None


def _largest_rise(values: Array, hair: float = HAIR) -> tuple[int, int] | None:
    """Return the indices between which values rise most; None where the rise is at most `hair`.

    The rise is relative to the lower value.
    """
    least = np.minimum.accumulate(values)
    to = int(np.argmax(values - least))
    if values[to] - least[to] <= hair * abs(least[to]):
        return None
    return int(np.argmin(values[: to + 1])), to
