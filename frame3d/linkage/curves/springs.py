"""The shock's force, rate and energy over its stroke.

An air spring follows two laws. At rest its air has the temperature of its surroundings at every stroke:
isothermal, p·V constant, from the pressure pumped in at full extension. This law relates pressure and
sag. When ridden, the air has little time to exchange heat: polytropic, p·V^n constant, from the state at
the sag. (Both laws: any textbook on thermodynamics.)
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Protocol, Self

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array
from frame3d.parameters.models.springs import AirSpec, CoilSpec, SpringSpec
from frame3d.parameters.units import BAR, LB_IN, PSI

AIR_OUTSIDE: Final = 0.101325
"""Standard atmosphere [N/mm²]: 101325 Pa."""


class Spring(Protocol):
    """Force, rate and energy of a shock's spring at strokes (k,) [mm]."""

    def force(self, stroke: Array) -> Array:
        """Return the force, (k,) [N]."""

    def rate(self, stroke: Array) -> Array:
        """Return d(force)/d(stroke), (k,) [N/mm]."""

    def energy(self, stroke: Array) -> Array:
        """Return the energy stored since full extension, (k,) [N·mm]."""

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Return force, rate and energy, each (k,)."""

    def at_rest(self) -> Spring:
        """Return the spring as it carries a static load."""

    def resting_at(self, stroke: float) -> Spring:
        """Return the spring as it acts when ridden about the stroke at which it rests [mm]."""


class _Same:
    """Base of springs that act alike at rest and when ridden."""

    __slots__ = ()

    def state(self: Spring, stroke: Array) -> tuple[Array, Array, Array]:
        """Force, rate and energy, each (k,)."""
        return self.force(stroke), self.rate(stroke), self.energy(stroke)

    def at_rest(self) -> Self:
        """Return the spring itself."""
        return self

    def resting_at(self, stroke: float) -> Self:
        """Return the spring itself."""
        return self


@dataclass(frozen=True, slots=True)
class Coil(_Same):
    """A coil spring: force = k·(stroke + preload)."""

    k: float
    """Rate [N/mm]."""
    preload: float = 0.0
    """Compression at full extension [mm]."""

    @property
    def lb_in(self) -> float:
        """Rate in pounds per inch."""
        return self.k / LB_IN

    def force(self, stroke: Array) -> Array:
        """Return the force, (k,) [N]."""
        return self.k * (stroke + self.preload)

    def rate(self, stroke: Array) -> Array:
        """Return the rate, (k,) [N/mm]."""
        return np.full(np.shape(stroke), self.k)

    def energy(self, stroke: Array) -> Array:
        """Return the energy stored since full extension, (k,) [N·mm]."""
        return self.k * stroke * (stroke / 2 + self.preload)


@dataclass(frozen=True, slots=True)
class Chamber:
    r"""Air behind a piston: isothermal from full extension to `about`, polytropic from there.

        .------------------.-----------.
        | positive         |  negative |            compressing the shock moves the piston
        | chamber    <- piston ======= rod          to the left here
        | V - area·stroke  |  V + area·stroke
        '------------------'-----------'

    `sign` is -1 for a positive chamber, whose force extends the shock, and +1 for a negative one, whose
    force compresses it. Atmospheric pressure acts on the same area from the other side.
    """

    area: float
    """Area of the piston [mm²]."""
    volume: float
    """Volume at full extension [mm³]."""
    pressure: float
    """Gauge pressure at full extension and rest [N/mm²]."""
    exponent: float
    """Polytropic exponent; 1 is isothermal."""
    sign: int
    """-1 for a positive chamber, +1 for a negative one."""
    about: float = 0.0
    """Stroke at which the air has the temperature of its surroundings [mm]."""

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Return force [N], rate [N/mm] and stored energy [N·mm], each (k,).

        The energy is -∫(p - outside) dV from full extension.
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
    """An air spring: a positive chamber and, in most shocks, a negative one.

    Up to the stroke `starts` the negative chamber is the stronger one and would compress the shock; the
    model gives zero force, rate and energy there, never a negative force.
    """

    chambers: tuple[Chamber, ...]
    """The positive chamber first."""
    factor: float = 1.0
    """Force over that of the chambers, from a measured pair of pressure and sag; see `calibration`."""

    def force(self, stroke: Array) -> Array:
        """Return the force, (k,) [N]."""
        return self.state(stroke)[0]

    def rate(self, stroke: Array) -> Array:
        """Return the rate, (k,) [N/mm]."""
        return self.state(stroke)[1]

    def energy(self, stroke: Array) -> Array:
        """Return the energy stored since full extension, (k,) [N·mm]."""
        return self.state(stroke)[2]

    def state(self, stroke: Array) -> tuple[Array, Array, Array]:
        """Return force, rate and energy, each (k,)."""
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
        """Return the sums of force, rate and energy over the chambers; the force may be negative."""
        force, rate, energy = self.chambers[0].state(stroke)
        for chamber in self.chambers[1:]:
            more = chamber.state(stroke)
            force, rate, energy = force + more[0], rate + more[1], energy + more[2]
        return self.factor * force, self.factor * rate, self.factor * energy

    @cached_property
    def starts(self) -> float:
        """Stroke from which on the net force is positive [mm], by bisection: the force only grows."""

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
        """Return the spring with isothermal chambers."""
        return replace(
            self, chambers=tuple(replace(chamber, exponent=1.0) for chamber in self.chambers)
        )

    def resting_at(self, stroke: float) -> Air:
        """Return the spring with chambers that are polytropic about a stroke [mm]."""
        return replace(
            self, chambers=tuple(replace(chamber, about=stroke) for chamber in self.chambers)
        )

    @property
    def pressure_bar(self) -> float:
        """Gauge pressure of the positive chamber at full extension and rest [bar]."""
        return self.chambers[0].pressure / BAR

    @property
    def pressure_psi(self) -> float:
        """The same pressure [psi]."""
        return self.chambers[0].pressure / PSI


@dataclass(frozen=True, slots=True)
class Table(_Same):
    """A spring measured at points, interpolated linearly between them."""

    strokes: tuple[float, ...]
    """Increasing from 0 [mm]."""
    forces: tuple[float, ...]
    """Force at each stroke [N]."""

    def force(self, stroke: Array) -> Array:
        """Return the force, (k,) [N]."""
        return np.interp(stroke, self.strokes, self.forces)

    def _segment(self, stroke: Array) -> tuple[Array, Array, NDArray[np.intp]]:
        x, y = np.array(self.strokes), np.array(self.forces)
        i = np.clip(np.searchsorted(x, stroke, side="right") - 1, 0, len(x) - 2).astype(np.intp)
        slope = np.diff(y) / np.diff(x)
        return slope[i], stroke - x[i], i

    def rate(self, stroke: Array) -> Array:
        """Return the rate, (k,) [N/mm]; at a measured point that of the next segment."""
        return self._segment(stroke)[0]

    def energy(self, stroke: Array) -> Array:
        """Return the energy stored since full extension, (k,) [N·mm]."""
        x, y = np.array(self.strokes), np.array(self.forces)
        before = np.concatenate(([0.0], np.cumsum(np.diff(x) * (y[1:] + y[:-1]) / 2)))
        slope, along, i = self._segment(stroke)
        out: Array = before[i] + along * (y[i] + slope * along / 2)
        return out


def coil_of(spec: CoilSpec, force: float | None = None, stroke: float | None = None) -> Coil:
    """Return the file's coil; where it gives no rate, the coil with `force` [N] at `stroke` [mm].

    Raises:
        ValueError: neither a rate nor a force is given, or the force is not positive.
    """
    if spec.rate is not None:
        return Coil(spec.rate, spec.preload)
    if force is None or stroke is None:
        raise ValueError("a coil without a rate needs the force at the sag")
    if force <= 0:
        raise ValueError("no coil gives that force")
    return Coil(force / (stroke + spec.preload), spec.preload)


def air_of(
    spec: AirSpec, force: float | None = None, stroke: float | None = None, factor: float = 1.0
) -> Air:
    """Return the file's air spring; where it gives no pressure, find the pressure.

    The pressure found gives `force` [N] at `stroke` [mm] at rest, and the spring is polytropic about
    that stroke. The force is linear in the pressure, so two trial pressures are enough.

    Args:
        spec: chambers and pressure.
        force: to be given at rest [N].
        stroke: where [mm].
        factor: force over that of the chambers; see `calibration`.

    Raises:
        ValueError: neither a pressure nor a force is given, or no pressure above that of the atmosphere
            gives the force.
    """
    if spec.pressure is not None:
        return _air(spec, spec.pressure, factor)
    if force is None or stroke is None:
        raise ValueError("an air spring without a pressure needs the force at the sag")
    at = np.array([stroke])
    none, one = (
        factor * sum(float(chamber.state(at)[0][0]) for chamber in trial.at_rest().chambers)
        for trial in (_air(spec, p, factor) for p in (0.0, 1.0))
    )
    pressure = (force - none) / (one - none)
    if force <= 0 or one <= none or pressure < 0:
        raise ValueError("no pressure gives that force")
    return _air(spec, pressure, factor).resting_at(stroke)


def _air(spec: AirSpec, pressure: float, factor: float) -> Air:
    area = float(np.pi / 4 * spec.piston**2)
    chambers = [Chamber(area, spec.air_cm3 * 1000, pressure, spec.exponent, -1)]
    if spec.negative is not None:
        n = spec.negative
        own = area if n.piston is None else float(np.pi / 4 * n.piston**2)
        filled = pressure if n.pressure is None else n.pressure
        chambers.append(Chamber(own, n.volume_cm3 * 1000, filled, spec.exponent, 1))
    return Air(tuple(chambers), factor)


def spring_of(
    spec: SpringSpec, force: float | None = None, stroke: float | None = None, factor: float = 1.0
) -> Spring:
    """Return the file's spring; a rate or pressure left open is found from `force` [N] at `stroke` [mm].

    Args:
        spec: coil, air or table.
        force: to be given at rest [N].
        stroke: where [mm].
        factor: of an air spring's force; see `calibration`.

    Raises:
        ValueError: a rate or pressure is left open and cannot be found.
    """
    if spec.coil is not None:
        return coil_of(spec.coil, force, stroke)
    if spec.air is not None:
        return air_of(spec.air, force, stroke, factor)
    if spec.table is None:
        raise AssertionError("a spring is one of coil, air and table")
    return Table(tuple(s for s, _ in spec.table), tuple(f for _, f in spec.table))
