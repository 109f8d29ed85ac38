"""Inner and outer width of a tube along a stretch, for what is pressed or slid into it.

Outside and wall are linear between a section's stations, so the widest and the narrowest place of a
stretch are at its ends or at a station within it.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc
from frame3d.tubes.tube import Tube

EXACT = 1e-6
"""Sizes that differ by less count as equal [mm]."""


def marks(tube: Tube, low: float, high: float) -> Array:
    """Return both ends of a stretch and the stations between them, rising: (n,) [mm]."""
    inner = [s for s in tube.section.s if low < s < high]
    return np.array([low, *inner, high] if high > low else [low], dtype=np.float64)


def inner_sizes(tube: Tube, s: Array) -> tuple[Array, Array]:
    """Return the smaller and the larger inner size at `s` (n,) [mm]; 0 for a bar."""
    section = tube.section
    wall = section.wall_at(s)
    height, width = section.height_at(s) - 2 * wall, section.width_at(s) - 2 * wall
    hollow = wall > 0
    return (
        np.where(hollow, np.minimum(height, width), 0.0),
        np.where(hollow, np.maximum(height, width), 0.0),
    )


def narrowest_outside(tube: Tube, low: float, high: float) -> float:
    """Return the least outer size along a stretch [mm]."""
    s = marks(tube, low, high)
    return float(np.minimum(tube.section.height_at(s), tube.section.width_at(s)).min())


def wall_for(tube: Tube, low: float, high: float, diameter: float) -> float:
    """Return the wall that makes the inside at most `diameter` wide everywhere along a stretch [mm]."""
    s = marks(tube, low, high)
    outside = np.maximum(tube.section.height_at(s), tube.section.width_at(s))
    return float(outside.max() - diameter) / 2


def widest(tube: Tube, low: float, high: float) -> tuple[float, float]:
    """Return the largest inner size along a stretch and where it is [mm]."""
    s = marks(tube, low, high)
    sizes = inner_sizes(tube, s)[1]
    i = int(np.argmax(sizes))
    return float(sizes[i]), float(s[i])


def narrowest(tube: Tube, low: float, high: float) -> float:
    """Return the least inner size along a stretch [mm]."""
    return float(inner_sizes(tube, marks(tube, low, high))[0].min())


def clear_below(tube: Tube, diameter: float, top: float) -> float:
    """Return the lowest s down to which a tube is at least `diameter` wide inside, from `top` [mm].

    ::

        top ┤| |      Going down from `top`, the first place where the bore is narrower stops; wider
            │| |      ones do not. 0 where the bore stays as wide to the tube's start, `top` where it
            │ v       is narrower already there.
    """
    s = marks(tube, 0.0, top)[::-1]
    return _run(s, diameter - inner_sizes(tube, s)[0], EXACT)


def tight_below(tube: Tube, diameter: float, top: float) -> float:
    """Return the lowest s down to which a tube is at most `diameter` wide inside, from `top` [mm]."""
    s = marks(tube, 0.0, top)[::-1]
    return _run(s, inner_sizes(tube, s)[1] - diameter, EXACT)


def straight_below(tube: Tube) -> float:
    """Return the s where a tube's last bend ends, above which it is straight [mm]; 0 without a bend."""
    ends = [
        float(at) + piece.length
        for at, piece in zip(tube.axis.starts, tube.axis.pieces, strict=False)
        if isinstance(piece, Arc)
    ]
    return max(ends, default=0.0)


def _run(s: Array, over: Array, slack: float) -> float:
    """Return how far along `s` a quantity, linear between its places, stays at most `slack`."""
    if over[0] > slack:
        return float(s[0])
    for (s0, a), (s1, b) in pairwise(zip(s.tolist(), over.tolist(), strict=True)):
        if b > slack:
            return float(s0 + (s1 - s0) * max(0.0 - a, 0.0) / (b - a))
    return float(s[-1])
