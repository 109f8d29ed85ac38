"""A wheel's suspension as one mass on one spring: forces and rates over the wheel's vertical travel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.curves.curves import GRAVITY
from frame3d.linkage.curves.springs import Spring
from frame3d.linkage.curves.wheel_force import wheel_force, wheel_rate


@dataclass(frozen=True, eq=False)
class SprungWheel:
    """Spring and leverage at n vertical travels of a wheel, from full extension to full travel."""

    travel: Array
    """(n,) [mm], increasing from 0."""
    stroke: Array
    """Of the shock, or of the fork along its stanchions, (n,) [mm]."""
    leverage: Array
    """d(travel)/d(stroke), (n,)."""
    spring: Spring
    """As it acts when ridden."""
    wheel_force: Array
    """Vertical force of the spring at the wheel, (n,) [N]."""
    wheel_rate: Array
    """Its derivative by the travel, (n,) [N/mm]."""
    energy: Array
    """Energy stored since full extension, (n,) [N·mm]."""
    load_n: float
    """Vertical load at the wheel that the spring carries at rest [N]."""

    @property
    def sprung_kg(self) -> float:
        """The mass whose weight the spring carries at this wheel [kg]."""
        return self.load_n / GRAVITY

    @property
    def full_travel(self) -> float:
        """Vertical travel of the wheel [mm]."""
        return float(self.travel[-1])

    def sag(self) -> float | None:
        """Return the travel at which the spring carries the load [mm]; None where it does not.

        The first, and between two of the n travels straight between their forces.
        """
        over = np.flatnonzero(self.wheel_force >= self.load_n)
        if not len(over):
            return None
        i = int(over[0])
        if i == 0:
            return 0.0
        low, high = self.wheel_force[i - 1], self.wheel_force[i]
        share = (self.load_n - low) / (high - low)
        return float(self.travel[i - 1] + share * (self.travel[i] - self.travel[i - 1]))

    def at(self, travel: float, values: Array) -> float:
        """Return one of the wheel's quantities at a travel [mm]."""
        return float(np.interp(travel, self.travel, values))


def sprung_wheel(
    travel: Array,
    stroke: Array,
    leverage: Array,
    leverage_rate: Array,
    spring: Spring,
    load_n: float,
) -> SprungWheel:
    """Return a wheel on a spring.

    Args:
        travel: (n,) vertical travel of the wheel [mm], increasing from 0.
        stroke: (n,) of the spring [mm].
        leverage: (n,) d(travel)/d(stroke).
        leverage_rate: (n,) its derivative by the stroke [1/mm].
        spring: as it acts when ridden.
        load_n: vertical load that the spring carries at the wheel [N].
    """
    force, rate, energy = spring.state(stroke)
    return SprungWheel(
        travel=travel,
        stroke=stroke,
        leverage=leverage,
        spring=spring,
        wheel_force=wheel_force(force, leverage),
        wheel_rate=wheel_rate(force, rate, leverage, leverage_rate),
        energy=energy,
        load_n=load_n,
    )
