"""Circumference of an ellipse, and the ellipse that keeps one when it is pressed flatter."""

from __future__ import annotations

from functools import lru_cache

import numpy as np


def girth(height: float, width: float) -> float:
    """Return the circumference of an ellipse of given height and width [mm]."""
    if height == width:
        return float(np.pi * height)
    turn = np.linspace(0.0, 2 * np.pi, 4097)[:-1]
    speed = np.hypot(height / 2 * np.sin(turn), width / 2 * np.cos(turn))
    return float(speed.mean() * 2 * np.pi)  # trapezoidal rule over a period: exact to rounding


@lru_cache(maxsize=256)
@lru_cache(maxsize=256)
def other_size(one: float, around: float) -> float:
    """Return the second size of an ellipse whose first size and circumference are given [mm].

    Found by halving to 1e-9 mm, as the circumference grows with either size. 0 where even a flat
    ellipse, whose circumference is twice its size, is longer around.
    """
    if 2 * one >= around:
        return 0.0
    low, high = 0.0, around / 2
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (middle, high) if girth(one, middle) < around else (low, middle)
    return (low + high) / 2
