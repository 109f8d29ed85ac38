r"""Distance from a pedal's centre forward to the front tyre, at any steering and fork travel.

Seen from above, for the left pedal, the bar turned to the right::

      y ^
        |                        rear edge
        |   pedal *------------->\           distance: parallel to the bike's long axis (x),
        |      crank forward      \          from the pedal's centre to the tyre
      --+--------------------------*-------> x
        |                           \        * wheel's centre
                                     \

Measured as 16 CFR 1512.17(d) and JIS D 9301 5.6.2 do: with the crank forward and level, from the
centre of either pedal, parallel to the bike's long axis, to the arc that the tyre sweeps. The wheel
is taken as a thin disc of the tyre's outside radius, its width left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array


@dataclass(frozen=True)
class Toe:
    """The smallest toe clearance, and where it is."""

    distance: float
    """[mm]; infinite where the wheel never comes abreast of the pedal."""
    steer: float
    """Steering there, positive to the left [degrees]."""
    fork: float
    """Fork travel there [mm]."""


@dataclass(frozen=True)
class FrontEnd:
    """Front wheel and steering axis in the frame's axes; points of the side view are (x, z)."""

    axle: tuple[float, float]
    """Front axle with the fork extended [mm]."""
    angle: float
    """Steering axis against the ground [degrees]."""
    offset: float
    """From the steering axis to the axle, square to it [mm]."""
    radius: float
    """Outside radius of the tyre [mm]."""


def toe_clearance(
    front: FrontEnd, pedal: tuple[float, float, float], limit: float, travel: float = 0.0
) -> Toe:
    """Return the smallest toe clearance over steering and fork travel.

    For a pedal on the left (y > 0) the tyre's rear edge comes abreast when the bar turns right. At
    each travel the distance grows once the line through the pedal crosses the disc, so the least is
    where the line touches the rim, or at a minimum behind it. It is found on a fine grid, then on
    finer ones between the neighbours of the least.

    Args:
        front: the front end.
        pedal: its centre with the crank forward and level [mm].
        limit: largest steering angle to each side [degrees].
        travel: of the fork [mm].
    """
    end = -limit if pedal[1] >= 0 else limit
    best = Toe(math.inf, 0.0, 0.0)
    low, high = 0.0, travel
    for _ in range(_ROUNDS if travel > 0 else 1):
        forks = np.linspace(low, high, _FORKS)
        distances, steers = _over_steering(front, pedal, end, forks)
        k = int(distances.argmin())
        if distances[k] < best.distance:
            best = Toe(float(distances[k]), float(steers[k]), float(forks[k]))
        low, high = forks[max(k - 1, 0)], forks[min(k + 1, _FORKS - 1)]
    return best


_STEERS, _FINER, _FORKS = 91, 33, 13
"""Points of the first grid over the steering, of the finer ones, and of those over the fork's travel."""
_ROUNDS = 12
"""Number of grids, each within the one before; the last has less than 1e-8 of the first's step."""


def _over_steering(
    front: FrontEnd, pedal: tuple[float, float, float], end: float, forks: Array
) -> tuple[Array, Array]:
    """Return the least distance over the steering from straight to `end`, and where: two (n,).

    Args:
        front: the front end.
        pedal: its centre [mm].
        end: last steering angle [degrees].
        forks: (n,) fork travels [mm].
    """
    low, high = np.zeros(len(forks)), np.full(len(forks), end)
    rows = np.arange(len(forks))
    best, where = np.full(len(forks), math.inf), np.zeros(len(forks))
    for i in range(_ROUNDS):
        count = _FINER if i else _STEERS
        steers = np.linspace(low, high, count, axis=1)
        gaps = _gap(front, pedal, steers, forks[:, None])
        k = gaps.argmin(axis=1)
        found = gaps[rows, k]
        where = np.where(found < best, steers[rows, k], where)
        best = np.minimum(best, found)
        low = steers[rows, np.maximum(k - 1, 0)]
        high = steers[rows, np.minimum(k + 1, count - 1)]
    return best, where


def _gap(front: FrontEnd, pedal: tuple[float, float, float], steer: Array, fork: Array) -> Array:
    """Return the distance forward from the pedal to the disc [mm]; infinite where the line misses it.

    Args:
        front: the front end.
        pedal: its centre [mm].
        steer: any shape [degrees].
        fork: travels that go with it [mm].
    """
    h, turn = math.radians(front.angle), np.radians(steer)
    ax, az = math.sin(h), math.cos(h)  # square to the steering axis, forward
    ct, st = np.cos(turn), np.sin(turn)
    # The wheel's centre: axle, back to the axis, up by the travel, forward again as it is turned.
    cx = front.axle[0] + front.offset * (ct - 1) * ax - fork * az
    cy = front.offset * st
    cz = front.axle[1] + front.offset * (ct - 1) * az + fork * ax
    nx, ny, nz = -st * ax, ct, -st * az  # the axle's direction
    px, py, pz = pedal
    across = np.where(
        np.abs(nx) < 1e-12, np.nan, nx
    )  # straight ahead the line runs beside the disc
    t = ((cx - px) * nx + (cy - py) * ny + (cz - pz) * nz) / across
    far = np.hypot(np.hypot(px + t - cx, py - cy), pz - cz)
    out: Array = np.where(far <= front.radius, t, math.inf)
    return out
