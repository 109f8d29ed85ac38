"""A damper's force over shaft speed: two slopes each way, as digressive dampers have them.

Up to the speed `fast_from` the force is the low-speed coefficient times the speed; beyond it each
further m/s adds the fast coefficient::

    force ^            . fast
          |        . '
          |      /
          |     / low
          |    /
          +---+--------> shaft speed
              fast_from
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array


@dataclass(frozen=True, slots=True)
class DampingLaw:
    """Force over speed in one direction of the shaft."""

    low_n_s_m: float
    """Slope from standstill [N s/m]."""
    fast_n_s_m: float | None = None
    """Slope beyond `fast_from_m_s` [N s/m]; None where one slope holds at all speeds."""
    fast_from_m_s: float | None = None
    """Shaft speed at which the slope changes [m/s]."""

    @property
    def knee(self) -> float:
        """Speed at which the slope changes [m/s]; infinite where it does not."""
        return np.inf if self.fast_from_m_s is None else self.fast_from_m_s

    @property
    def beyond(self) -> float:
        """Slope beyond the knee [N s/m]."""
        return self.low_n_s_m if self.fast_n_s_m is None else self.fast_n_s_m

    def force(self, speed: Array) -> Array:
        """Return the force against the movement, (k,) [N], at speeds from 0 up, (k,) [m/s]."""
        slow = np.minimum(speed, self.knee)
        return self.low_n_s_m * slow + self.beyond * (speed - slow)

    def speed(self, force: Array) -> Array:
        """Return the speed at which the law gives a force greater than 0, (k,) [m/s].

        The inverse of `force`; infinite where no speed gives the force.
        """
        slow = _over(force, self.low_n_s_m)
        if self.fast_from_m_s is None:
            return slow
        past = force - self.low_n_s_m * self.knee
        return np.where(past <= 0, slow, self.knee + _over(past, self.beyond))


def _over(force: Array, slope: float) -> Array:
    """Return force / slope; infinite where there is no slope."""
    if slope == 0.0:
        return np.full(np.shape(force), np.inf)
    return force / slope


@dataclass(frozen=True, slots=True)
class Damper:
    """A damper: its laws in both directions."""

    rebound: DampingLaw
    """As the shaft comes out."""
    compression: DampingLaw
    """As the shaft goes in."""


def linear(coefficient: float) -> Damper:
    """Return a damper with one coefficient [N s/m] at all speeds, both ways."""
    law = DampingLaw(coefficient)
    return Damper(law, law)
