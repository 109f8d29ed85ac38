"""What a builder should know of a leverage that rises or a wheel rate that falls."""

from __future__ import annotations

import numpy as np

from frame3d.linkage.curves.springs import Spring
from frame3d.linkage.curves.wheel_force import wheel_rate
from frame3d.linkage.linear import Array
from frame3d.linkage.result import Linkage

HAIR = 0.02
"""A rise or a fall below this share is not worth a word."""
LAST = 0.2
"""Of the travel: where a falling wheel rate lets the suspension through."""
HALF = 0.5
"""Elsewhere beyond the sag a wheel rate is worth a word that falls by more than this share."""


def leverage_rises(linkage: Linkage) -> str | None:
    """That the leverage ratio rises on the way; None where it does not."""
    span = _largest_rise(linkage.leverage)
    if span is None:
        return None
    a, b = (f"{linkage.leverage[i]:.2f} at {linkage.travel[i]:.0f} mm of travel" for i in span)
    return (
        f"leverage rises from {a} to {b}: there the wheel pushes the shock ever more easily, and the "
        "spring has to make up for it"
    )


def rate_falls(linkage: Linkage, spring: Spring, sag: float) -> str | None:
    """That the wheel rate falls at the end, or by half beyond the sag; None where it does not.

    Args:
        linkage: the suspension.
        spring: on it.
        sag: stroke from which on to look [mm].
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
    """From where to where values rise most over the least before, where that is more than a hair."""
    least = np.minimum.accumulate(values)
    to = int(np.argmax(values - least))
    if values[to] - least[to] <= hair * abs(least[to]):
        return None
    return int(np.argmin(values[: to + 1])), to
