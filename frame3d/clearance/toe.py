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

from frame3d.clearance.certify.compiled import compiled
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
    h = math.radians(front.angle)
    numbers = np.array([*front.axle, math.sin(h), math.cos(h), front.offset, front.radius, *pedal])
    found = np.array([math.inf, 0.0, 0.0])
    _least(numbers, end, travel, found)
    return Toe(*found.tolist())


_STEERS, _FINER, _FORKS = 91, 33, 13
"""Points of the first grid over the steering, of the finer ones, and of those over the fork's travel."""
_ROUNDS = 12
"""Number of grids, each within the one before; the last has less than 1e-8 of the first's step."""


@compiled
def _least(numbers: Array, end: float, travel: float, found: Array) -> None:
    """Write the least distance over steering and fork travel, and both where it is.

    Args:
        numbers: axle, the direction (x, z) square to the steering axis and forward, offset and radius
            of the front end, then the pedal's centre.
        end: last steering angle, from 0 on [degrees].
        travel: of the fork [mm].
        found: distance, steering and travel; written to where the distance is less.
    """
    low = 0.0
    high = travel
    for _ in range(_ROUNDS if travel > 0.0 else 1):
        step = (high - low) / (_FORKS - 1)
        least = math.inf
        best = 0
        where = 0.0
        for k in range(_FORKS):
            distance, steer = _over_steering(numbers, end, low + k * step)
            if distance < least:
                least = distance
                best = k
                where = steer
        if least < found[0]:
            found[0] = least
            found[1] = where
            found[2] = low + best * step
        first = low
        low = first + max(best - 1, 0) * step
        high = first + min(best + 1, _FORKS - 1) * step


@compiled
def _over_steering(numbers: Array, end: float, fork: float) -> tuple[float, float]:
    """Return the least distance over the steering from straight to `end`, and where.

    Args:
        numbers: as `_least`.
        end: last steering angle [degrees].
        fork: travel of the fork [mm].
    """
    low = 0.0
    high = end
    found = math.inf
    where = 0.0
    for i in range(_ROUNDS):
        count = _FINER if i else _STEERS
        step = (high - low) / (count - 1)
        least = math.inf
        best = 0
        for k in range(count):
            gap = _gap(numbers, low + k * step, fork)
            if gap < least:
                least = gap
                best = k
        if least < found:
            found = least
            where = low + best * step
        first = low
        low = first + max(best - 1, 0) * step
        high = first + min(best + 1, count - 1) * step
    return found, where


@compiled
def _gap(numbers: Array, steer: float, fork: float) -> float:
    """Return the distance forward from the pedal to the disc [mm]; infinite where the line misses it.

    Args:
        numbers: as `_least`.
        steer: steering angle [degrees].
        fork: travel of the fork [mm].
    """
    axle_x, axle_z, ax, az, offset, radius, px, py, pz = numbers
    turn = math.radians(steer)
    ct = math.cos(turn)
    st = math.sin(turn)
    # The wheel's centre: axle, back to the axis, up by the travel, forward again as it is turned.
    cx = axle_x + offset * (ct - 1) * ax - fork * az
    cy = offset * st
    cz = axle_z + offset * (ct - 1) * az + fork * ax
    nx = -st * ax  # the axle's direction
    nz = -st * az
    if abs(nx) < 1e-12:  # straight ahead the line runs beside the disc
        return math.inf
    t: float = ((cx - px) * nx + (cy - py) * ct + (cz - pz) * nz) / nx
    far = (px + t - cx) ** 2 + (py - cy) ** 2 + (pz - cz) ** 2
    return t if far <= radius * radius else math.inf
