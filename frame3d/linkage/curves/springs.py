"""The shock's force, rate and energy over its stroke.

Air has two laws. At rest it is as warm as the air outside, wherever the shock stands: isothermal,
p·V constant from what was pumped in at full extension. That says which pressure gives a sag, and which
sag a pressure gives. Ridden, it has little time to give off heat: polytropic, p·V^n constant from the
state in which it rested, which is the sag. (Both laws: any textbook on thermodynamics.)
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Protocol, Self

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.linear import Array
from frame3d.parameters.models.springs import AirSpec, CoilSpec, SpringSpec
from frame3d.parameters.units import BAR, LB_IN, PSI

AIR_OUTSIDE: Final = 0.101325
"""Standard atmosphere [N/mm²]: 101325 Pa."""


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

    def at_rest(self) -> Spring:
        """As it carries a load that stands still."""

    def resting_at(self, stroke: float) -> Spring:
        """As it is ridden about a stroke at which it has rested [mm]."""


class _Same:
    """A spring to which haste and warmth are the same."""

    __slots__ = ()

    def at_rest(self) -> Self:
        """Itself."""
        return self

    def resting_at(self, stroke: float) -> Self:
        """Itself."""
        return self


@dataclass(frozen=True, slots=True)
class Coil(_Same):
    """Force = k·(stroke + preload)."""

    k: float
    """[N/mm]"""
    preload: float = 0.0
    """[mm]"""

    @property
    def lb_in(self) -> float:
        """The rate in pounds an inch."""
        return self.k / LB_IN

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
    """Air behind a piston: isothermal from full extension to `about`, polytropic from there.

    The volume is volume + sign·area·stroke: sign -1 for a positive chamber, +1 for a negative one. The
    force pushes the shock out for -1, in for +1; the air outside acts on the same area.
    """

    area: float
    """[mm²]"""
    volume: float
    """At full extension [mm³]."""
    pressure: float
    """Above the air outside, at full extension and rest [N/mm²]."""
    exponent: float
    """Polytropic; 1 is isothermal."""
    sign: int
    about: float = 0.0
    """Stroke at which the air is as warm as the air outside [mm]."""

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Force [N], rate [N/mm], energy -∫(p - outside) dV over its own volume from full extension
        [N·mm], each (k,).
        """
        n = self.exponent
        content = (self.pressure + AIR_OUTSIDE) * self.volume
        rested = self.volume + self.sign * self.area * self.about
        volume = self.volume + self.sign * self.area * stroke
        absolute = content / rested * (rested / volume) ** n
        if n == 1:
            work = content * np.log(self.volume / volume)
        else:
            first = content * (rested / self.volume) ** (n - 1)
            work = (absolute * volume - first) / (n - 1)
        return (
            -self.sign * self.area * (absolute - AIR_OUTSIDE),
            n * self.area**2 * absolute / volume,
            work + AIR_OUTSIDE * (volume - self.volume),
        )


@dataclass(frozen=True)
class Air:
    """A positive chamber, and a negative one where there is one.

    Where the negative chamber would pull harder than the positive one pushes, the shock stands against
    its stop at full extension: no force comes out of it, and none is below zero.
    """

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
        wanted, start = np.asarray(stroke, dtype=float), self.starts
        force, rate, energy = self._net(np.maximum(wanted, start))
        if start == 0:
            return force, rate, energy
        pushes = wanted > start
        none = np.zeros_like(force)
        energy = energy - self._net(np.array([start]))[2][0]
        return (
            np.where(pushes, force, none),
            np.where(pushes, rate, none),
            np.where(pushes, energy, none),
        )

    def _net(self, stroke: Array) -> tuple[Array, Array, Array]:
        """All chambers together, without the stop."""
        force, rate, energy = self.chambers[0].state(stroke)
        for chamber in self.chambers[1:]:
            more = chamber.state(stroke)
            force, rate, energy = force + more[0], rate + more[1], energy + more[2]
        return force, rate, energy

    @cached_property
    def starts(self) -> float:
        """The stroke from which on it pushes [mm], by bisection: the chambers' sum grows all the way."""

        def pulls(stroke: float) -> bool:
            return bool(self._net(np.array([stroke]))[0][0] < 0)

        if not pulls(0.0):
            return 0.0
        positive = self.chambers[0]
        low, high = 0.0, (1 - 1e-6) * positive.volume / positive.area
        while high - low > 1e-12 * high:
            middle = (low + high) / 2
            if not low < middle < high:
                break
            low, high = (middle, high) if pulls(middle) else (low, middle)
        return high

    def at_rest(self) -> Air:
        """Isothermal: as warm as the air outside at every stroke."""
        return Air(tuple(replace(chamber, exponent=1.0) for chamber in self.chambers))

    def resting_at(self, stroke: float) -> Air:
        """Polytropic about a stroke at which it has rested [mm]."""
        return Air(tuple(replace(chamber, about=stroke) for chamber in self.chambers))

    @property
    def pressure_bar(self) -> float:
        """Of the positive chamber above the air outside, at full extension and rest."""
        return self.chambers[0].pressure / BAR

    @property
    def pressure_psi(self) -> float:
        """The same in pounds a square inch."""
        return self.chambers[0].pressure / PSI


@dataclass(frozen=True, slots=True)
class Table(_Same):
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
        ValueError: neither a rate nor a force is given, or no coil gives that force.
    """
    if spec.rate is not None:
        return Coil(spec.rate, spec.preload)
    if force is None or stroke is None:
        raise ValueError("a coil without a rate needs the force at the sag")
    if force <= 0:
        raise ValueError("no coil gives that force")
    return Coil(force / (stroke + spec.preload), spec.preload)


def air_of(spec: AirSpec, force: float | None = None, stroke: float | None = None) -> Air:
    """The air spring as given; without a pressure, the one that gives `force` at `stroke` at rest
    [N, mm], ridden about that stroke.

    The force is linear in the pressure, so the pressure follows from two trials.

    Raises:
        ValueError: neither a pressure nor a force is given, or no pressure above the air outside gives
            that force.
    """
    if spec.pressure is not None:
        return _air(spec, spec.pressure)
    if force is None or stroke is None:
        raise ValueError("an air spring without a pressure needs the force at the sag")
    at = np.array([stroke])
    none, one = (
        sum(float(chamber.state(at)[0][0]) for chamber in _air(spec, p).at_rest().chambers)
        for p in (0.0, 1.0)
    )
    pressure = (force - none) / (one - none)
    if force <= 0 or one <= none or pressure < 0:
        raise ValueError("no pressure gives that force")
    return _air(spec, pressure).resting_at(stroke)


def _air(spec: AirSpec, pressure: float) -> Air:
    area = float(np.pi / 4 * spec.piston**2)
    chambers = [Chamber(area, spec.volume_cm3 * 1000, pressure, spec.exponent, -1)]
    if spec.negative is not None:
        n = spec.negative
        own = area if n.piston is None else float(np.pi / 4 * n.piston**2)
        filled = pressure if n.pressure is None else n.pressure
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
