"""Springs: the shock's force, rate and energy over its stroke."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.linear import Array
from frame3d.spec.springs import AirSpec, CoilSpec, SpringSpec

LB_IN: Final = 4.4482216152605 / 25.4
"""One pound-force an inch [N/mm]: 4.4482216152605 N over 25.4 mm, both exact by definition."""
AIR_OUTSIDE: Final = 0.101325
"""Standard atmosphere [N/mm²]: 101325 Pa."""
BAR: Final = 0.1
"""[N/mm²]"""
PSI: Final = 4.4482216152605 / 25.4**2
"""One pound-force a square inch [N/mm²]."""


class Spring(Protocol):
    """Force [N], rate [N/mm] and energy from full extension [N·mm] at strokes (k,) [mm]."""

    def force(self, stroke: Array) -> Array:
        """(k,) [N]."""

    def rate(self, stroke: Array) -> Array:
        """d(force)/d(stroke), (k,) [N/mm]."""

    def energy(self, stroke: Array) -> Array:
        """Taken up since full extension, (k,) [N·mm]."""

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force, rate and energy together, each (k,)."""


@dataclass(frozen=True, slots=True)
class Coil:
    """Force = k·(stroke + preload)."""

    k: float
    """[N/mm]"""
    preload: float = 0.0
    """[mm]"""

    def force(self, stroke: Array) -> Array:
        """(k,) [N]."""
        return self.k * (stroke + self.preload)

    def rate(self, stroke: Array) -> Array:
        """(k,) [N/mm]."""
        return np.full(np.shape(stroke), self.k)

    def energy(self, stroke: Array) -> Array:
        """(k,) [N·mm]."""
        return self.k * stroke * (stroke / 2 + self.preload)

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force, rate and energy, each (k,)."""
        return self.force(stroke), self.rate(stroke), self.energy(stroke)


@dataclass(frozen=True, slots=True)
class Chamber:
    """Air behind a piston: polytropic, p·V^exponent constant (any textbook on thermodynamics).

    The volume is volume + sign·area·stroke: sign -1 for a positive chamber, +1 for a negative one. The
    force pushes the shock out for -1, in for +1; the air outside acts on the same area.
    """

    area: float
    """[mm²]"""
    volume: float
    """At full extension [mm³]."""
    pressure: float
    """Above the air outside, at full extension [N/mm²]."""
    exponent: float
    sign: int

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force [N], rate [N/mm], energy -∫(p - outside) dV over its own volume [N·mm], each (k,)."""
        start = self.pressure + AIR_OUTSIDE
        volume = self.volume + self.sign * self.area * stroke
        shrunk = self.volume / volume
        absolute = start * shrunk**self.exponent
        if self.exponent == 1:
            work = start * self.volume * np.log(shrunk)
        else:
            work = (absolute * volume - start * self.volume) / (self.exponent - 1)
        return (
            -self.sign * self.area * (absolute - AIR_OUTSIDE),
            self.exponent * self.area**2 * absolute / volume,
            work + AIR_OUTSIDE * (volume - self.volume),
        )


@dataclass(frozen=True, slots=True)
class Air:
    """A positive chamber, and a negative one where there is one."""

    chambers: tuple[Chamber, ...]

    def force(self, stroke: Array) -> Array:
        """(k,) [N]."""
        return self.state(stroke)[0]

    def rate(self, stroke: Array) -> Array:
        """(k,) [N/mm]."""
        return self.state(stroke)[1]

    def energy(self, stroke: Array) -> Array:
        """(k,) [N·mm]."""
        return self.state(stroke)[2]

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force, rate and energy, each (k,)."""
        force, rate, energy = self.chambers[0].state(stroke)
        for chamber in self.chambers[1:]:
            more = chamber.state(stroke)
            force, rate, energy = force + more[0], rate + more[1], energy + more[2]
        return force, rate, energy

    @property
    def pressure_bar(self) -> float:
        """Of the positive chamber above the air outside, at full extension."""
        return self.chambers[0].pressure / BAR


@dataclass(frozen=True, slots=True)
class Table:
    """Measured points, straight lines between them: nothing is told that was not measured."""

    strokes: tuple[float, ...]
    """From 0, growing [mm]."""
    forces: tuple[float, ...]
    """[N]"""

    def force(self, stroke: Array) -> Array:
        """(k,) [N]."""
        return np.interp(stroke, self.strokes, self.forces)

    def _segment(self, stroke: Array) -> tuple[Array, Array, NDArray[np.intp]]:
        x, y = np.array(self.strokes), np.array(self.forces)
        i = np.clip(np.searchsorted(x, stroke, side="right") - 1, 0, len(x) - 2).astype(np.intp)
        slope = np.diff(y) / np.diff(x)
        return slope[i], stroke - x[i], i

    def rate(self, stroke: Array) -> Array:
        """(k,) [N/mm]; at a measured point that of the line beyond it."""
        return self._segment(stroke)[0]

    def energy(self, stroke: Array) -> Array:
        """(k,) [N·mm]."""
        x, y = np.array(self.strokes), np.array(self.forces)
        before = np.concatenate(([0.0], np.cumsum(np.diff(x) * (y[1:] + y[:-1]) / 2)))
        slope, along, i = self._segment(stroke)
        out: Array = before[i] + along * (y[i] + slope * along / 2)
        return out

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force, rate and energy, each (k,)."""
        return self.force(stroke), self.rate(stroke), self.energy(stroke)


def coil_of(spec: CoilSpec, force: float | None = None, stroke: float | None = None) -> Coil:
    """The coil as given; without a rate, the one that gives `force` at `stroke` [N, mm].

    Raises:
        ValueError: neither a rate nor a force is given.
    """
    if spec.rate_n_mm is not None:
        return Coil(spec.rate_n_mm, spec.preload)
    if spec.rate_lb_in is not None:
        return Coil(spec.rate_lb_in * LB_IN, spec.preload)
    if force is None or stroke is None:
        raise ValueError("a coil without a rate needs the force at the sag")
    return Coil(force / (stroke + spec.preload), spec.preload)


def air_of(spec: AirSpec, force: float | None = None, stroke: float | None = None) -> Air:
    """The air spring as given; without a pressure, the one that gives `force` at `stroke` [N, mm].

    The force is linear in the pressure, so the pressure follows from two trials.

    Raises:
        ValueError: neither a pressure nor a force is given, or no pressure above the air outside gives
            that force.
    """
    if spec.pressure_bar is not None:
        return _air(spec, spec.pressure_bar * BAR)
    if force is None or stroke is None:
        raise ValueError("an air spring without a pressure needs the force at the sag")
    at = np.array([stroke])
    none, one = (float(_air(spec, p).force(at)[0]) for p in (0.0, 1.0))
    pressure = (force - none) / (one - none)
    if one <= none or pressure < 0:
        raise ValueError("no pressure gives that force")
    return _air(spec, pressure)


def _air(spec: AirSpec, pressure: float) -> Air:
    area = float(np.pi / 4 * spec.piston**2)
    chambers = [Chamber(area, spec.volume_cm3 * 1000, pressure, spec.exponent, -1)]
    if spec.negative is not None:
        n = spec.negative
        own = area if n.piston is None else float(np.pi / 4 * n.piston**2)
        filled = pressure if n.pressure_bar is None else n.pressure_bar * BAR
        chambers.append(Chamber(own, n.volume_cm3 * 1000, filled, spec.exponent, 1))
    return Air(tuple(chambers))


def spring_of(spec: SpringSpec, force: float | None = None, stroke: float | None = None) -> Spring:
    """The file's spring; what it leaves open (rate, pressure) gives `force` at `stroke` [N, mm].

    Raises:
        ValueError: something is left open and cannot be found.
    """
    if spec.coil is not None:
        return coil_of(spec.coil, force, stroke)
    if spec.air is not None:
        return air_of(spec.air, force, stroke)
    if spec.table is None:
        raise AssertionError("a spring is one of coil, air and table")
    return Table(tuple(s for s, _ in spec.table), tuple(f for _, f in spec.table))
