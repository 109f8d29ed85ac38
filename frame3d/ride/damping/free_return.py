"""Time in which a spring pushes a damper out, and the damping that a filmed return tells.

Where nothing but the damper holds the spring back and the moving mass is negligible, the damper's
force is the spring's at every moment: c·v = F(s). So the return from stroke a to b takes
t = c·∫ ds / F(s), and a filmed return gives c exactly. This holds for a
shock or fork by itself, and for a light wheel that is clear of the ground.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.ride.damping.damper import DampingLaw

Force: TypeAlias = Callable[[Array], Array]
"""The spring's force (k,) [N] at strokes (k,) [mm]."""
PIECES: Final = 128
"""Number of pieces in which an integral is taken, each by Gauss's rule with `POINTS` points."""
POINTS: Final = 6


class ReturnError(ValueError):
    """A return that spring and damper cannot make."""


def return_time(force: Force, law: DampingLaw, start: float, end: float) -> float:
    """Return the time of a return from stroke `start` to the lesser stroke `end` [s]: ∫ ds / v(F(s)).

    Args:
        force: the spring's.
        law: the damper's in rebound.
        start: in mm.
        end: in mm.

    Raises:
        ReturnError: the spring's force is not positive all the way.
    """
    weights, pushed = _pushed(force, start, end)
    return float(weights @ (1.0 / law.speed(pushed))) / 1000.0


def filmed_law(
    force: Force,
    start: float,
    end: float,
    seconds: float,
    fast_n_s_m: float | None = None,
    fast_from_m_s: float | None = None,
) -> DampingLaw:
    """Return the rebound that takes so many seconds from stroke `start` to `end`.

    The inverse of `return_time`: closed for one slope; where the slope beyond a speed is known, the
    slope before it by bisection.

    Args:
        force: the spring's.
        start: in mm.
        end: in mm, less than `start`.
        seconds: as filmed.
        fast_n_s_m: slope beyond `fast_from_m_s`; None where there is one slope.
        fast_from_m_s: in m/s.

    Raises:
        ReturnError: the spring's force is not positive all the way, so it never returns; or the fast
            slope alone takes longer.
    """
    one = seconds / return_time(force, DampingLaw(1.0), start, end)
    if fast_n_s_m is None or fast_from_m_s is None:
        return DampingLaw(one)

    def quicker(low: float) -> bool:
        law = DampingLaw(low, fast_n_s_m, fast_from_m_s)
        return return_time(force, law, start, end) < seconds

    low, high = 0.0, max(one, fast_n_s_m)
    if not quicker(low):
        raise ReturnError(
            f"returns in less than the fast slope of {fast_n_s_m:g} N s/m alone would take"
        )
    while quicker(high):
        high *= 2.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if quicker(middle) else (low, middle)
    return DampingLaw(high, fast_n_s_m, fast_from_m_s)


def _pushed(force: Force, start: float, end: float) -> tuple[Array, Array]:
    """Return weights [mm] and forces [N] at the points of Gauss's rule over the strokes.

    Raises:
        ReturnError: a force is not positive.
    """
    x, w = np.polynomial.legendre.leggauss(POINTS)
    edges = np.linspace(end, start, PIECES + 1)
    half = (edges[1] - edges[0]) / 2
    strokes = (edges[:-1, None] + half * (x + 1)).ravel()
    seen = np.concatenate([[end], strokes, [start]])
    pushes = force(seen)
    if pushes.min() <= 0:
        stops = float(seen[np.flatnonzero(pushes <= 0)[-1]])
        raise ReturnError(f"never returns: the spring does not push at {stops:.1f} mm of stroke")
    return np.tile(half * w, PIECES), pushes[1:-1]
