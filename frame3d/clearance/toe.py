"""Toe clearance: from a pedal's centre forward to the front tyre, at any steering and fork travel.

Measured as 16 CFR 1512.17(d) and JIS D 9301 5.6.2 do: with the crank forward and level, from the centre
of either pedal, parallel to the bike's long axis, to the arc that the tyre sweeps. The wheel is taken
as a thin disc of the tyre's outside radius, its width left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Toe:
    """The tightest place."""

    distance: float
    """[mm]; infinite where the wheel never comes abreast of the pedal."""
    steer: float
    """Steering there, positive to the left [degrees]."""
    fork: float
    """Fork travel there [mm]."""


@dataclass(frozen=True)
class FrontEnd:
    """What the measure needs, in the frame's axes: side-view points are (x, z)."""

    axle: tuple[float, float]
    """With the fork extended [mm]."""
    angle: float
    """Steering axis against the ground [degrees]."""
    offset: float
    """From the steering axis to the axle [mm]."""
    radius: float
    """Of the tyre, outside [mm]."""


def toe_clearance(
    front: FrontEnd, pedal: tuple[float, float, float], limit: float, travel: float = 0.0
) -> Toe:
    """The smallest toe clearance over steering and fork travel.

    For a pedal on the left (y > 0) the tyre's rear edge comes abreast when the bar turns right. At each
    travel the distance grows once the line through the pedal cuts the disc, so the least lies where it
    grazes the rim or at a turning point behind it: found on a fine grid, then by bisection and golden
    section.

    Args:
        front: the front end.
        pedal: its centre with the crank forward and level [mm].
        limit: steering to each side [degrees].
        travel: of the fork [mm].
    """
    side = 1.0 if pedal[1] >= 0 else -1.0
    steers = [-side * limit * i / _STEERS for i in range(_STEERS + 1)]
    forks = [travel * i / _FORKS for i in range(_FORKS + 1)] if travel > 0 else [0.0]

    def at(fork: float) -> Toe:
        return _over_steering(
            lambda steer: Toe(_gap(front, pedal, steer, fork), steer, fork), steers
        )

    found = [at(fork) for fork in forks]
    k = min(range(len(found)), key=lambda i: found[i].distance)
    best = found[k]
    if len(forks) > 1 and math.isfinite(best.distance):
        low, high = forks[max(k - 1, 0)], forks[min(k + 1, _FORKS)]
        best = min(best, _golden(at, low, high, 30), key=_distance)
    return best


_STEERS, _FORKS = 90, 12
"""Grids from which the closer search starts."""


def _distance(toe: Toe) -> float:
    return toe.distance


def _over_steering(at: Callable[[float], Toe], steers: list[float]) -> Toe:
    found = [at(steer) for steer in steers]
    k = min(range(len(found)), key=lambda i: found[i].distance)
    best = found[k]
    if not math.isfinite(best.distance):
        return best
    for other in (k - 1, k + 1):
        if not 0 <= other < len(steers):
            continue
        if math.isfinite(found[other].distance):
            low, high = sorted((steers[k], steers[other]))
            best = min(best, _golden(at, low, high, 40), key=_distance)
            continue
        # The neighbour's line misses the disc: close in on the rim between them.
        good, bad = steers[k], steers[other]
        for _ in range(45):
            middle = (good + bad) / 2
            if math.isfinite(at(middle).distance):
                good = middle
            else:
                bad = middle
        best = min(best, at(good), key=_distance)
    return best


def _gap(front: FrontEnd, pedal: tuple[float, float, float], steer: float, fork: float) -> float:
    """Forward from the pedal to the disc; infinite where the line misses it [mm]."""
    h, turn = math.radians(front.angle), math.radians(steer)
    ax, az = math.sin(h), math.cos(h)  # square to the steering axis, forward
    ct, st = math.cos(turn), math.sin(turn)
    # The wheel's centre: axle, back to the axis, up by the travel, forward again as it is turned.
    cx = front.axle[0] + front.offset * (ct - 1) * ax - fork * az
    cy = front.offset * st
    cz = front.axle[1] + front.offset * (ct - 1) * az + fork * ax
    nx, ny, nz = -st * ax, ct, -st * az  # the axle's direction
    if abs(nx) < 1e-12:
        return math.inf
    px, py, pz = pedal
    t = ((cx - px) * nx + (cy - py) * ny + (cz - pz) * nz) / nx
    far = math.hypot(px + t - cx, py - cy, pz - cz)
    return t if far <= front.radius else math.inf


def _golden(at: Callable[[float], Toe], low: float, high: float, rounds: int) -> Toe:
    """Least of a function with one valley, by golden section."""
    share = (math.sqrt(5.0) - 1) / 2
    a, b = high - share * (high - low), low + share * (high - low)
    fa, fb = at(a), at(b)
    for _ in range(rounds):
        if fa.distance <= fb.distance:
            high, b, fb = b, a, fa
            a = high - share * (high - low)
            fa = at(a)
        else:
            low, a, fa = a, b, fb
            b = low + share * (high - low)
            fb = at(b)
    return min(fa, fb, key=_distance)
