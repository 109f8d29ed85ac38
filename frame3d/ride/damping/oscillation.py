"""The body's return after a hit, in the time domain.

The wheel stays on the ground, and the mass that the spring carries rises and falls on the nonlinear
spring and the damper: m·x'' = W - F(x) - D(x, x'), x the wheel's vertical travel. Beyond full extension
the wheel leaves the ground and only the weight W acts. Integrated by the Runge-Kutta method of fourth
order with a fixed step (any textbook on numerical methods).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeAlias

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.ride.damping.damper import Damper, DampingLaw
from frame3d.ride.damping.sprung_wheel import SprungWheel

_Acceleration: TypeAlias = Callable[[Array, Array], Array]

STEP: Final = 0.001
"""Step of the integration [s]."""
EVERY: Final = 10
"""Steps from one result to the next."""


class _Laws:
    """One direction of several dampers, in arrays (k,)."""

    def __init__(self, laws: Sequence[DampingLaw]) -> None:
        self.low = np.array([law.low_n_s_m for law in laws])
        self.knee = np.array([law.knee for law in laws])
        self.beyond = np.array([law.beyond for law in laws])

    def force(self, speed: Array) -> Array:
        """Return the force at speeds from 0 up, (k,) [N]."""
        slow = np.minimum(speed, self.knee)
        out: Array = self.low * slow + self.beyond * (speed - slow)
        return out


def returns(
    wheel: SprungWheel, dampers: Sequence[Damper], start: float, seconds: float
) -> tuple[Array, Array]:
    """Return times (n,) [s] and the travel with each of k dampers, (k, n) [mm].

    Args:
        wheel: spring, leverage and load.
        dampers: one for each curve.
        start: travel from which the body is let go, at rest [mm].
        seconds: how long it is followed.
    """
    rebound = _Laws([damper.rebound for damper in dampers])
    compression = _Laws([damper.compression for damper in dampers])
    mass = wheel.sprung_kg

    def acceleration(x: Array, v: Array) -> Array:
        spring = np.interp(x, wheel.travel, wheel.wheel_force)
        leverage = np.interp(x, wheel.travel, wheel.leverage)
        shaft = np.abs(v) / leverage / 1000.0
        damped = np.where(v > 0, compression.force(shaft), -rebound.force(shaft)) / leverage
        held = np.where(x < 0, 0.0, spring + damped)
        return (wheel.load_n - held) / mass * 1000.0

    x, v = np.full(len(dampers), start), np.zeros(len(dampers))
    count = round(seconds / STEP / EVERY)
    out = np.empty((len(dampers), count + 1))
    out[:, 0] = x
    for i in range(count):
        for _ in range(EVERY):
            x, v = _step(acceleration, x, v)
        out[:, i + 1] = x
    time = np.linspace(0.0, STEP * EVERY * count, count + 1)
    return time, out


def _step(acceleration: _Acceleration, x: Array, v: Array) -> tuple[Array, Array]:
    """Return position and speed one step later."""
    h = STEP
    a1 = acceleration(x, v)
    v2 = v + h / 2 * a1
    a2 = acceleration(x + h / 2 * v, v2)
    v3 = v + h / 2 * a2
    a3 = acceleration(x + h / 2 * v2, v3)
    v4 = v + h * a3
    a4 = acceleration(x + h * v3, v4)
    return x + h / 6 * (v + 2 * v2 + 2 * v3 + v4), v + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)


def settled(time: Array, travel: Array, rest: float, share: float) -> float | None:
    """Return the time from which on the travel stays within a share of its first deflection [s].

    None where it does not within the times given.

    Args:
        time: (n,) [s].
        travel: (n,) [mm].
        rest: travel at rest [mm].
        share: of the first deflection from rest, 0 to 1.
    """
    outside = np.flatnonzero(np.abs(travel - rest) > share * abs(travel[0] - rest))
    if not len(outside):
        return float(time[0])
    last = int(outside[-1])
    return None if last == len(time) - 1 else float(time[last + 1])
