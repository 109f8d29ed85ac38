"""One end of a bike as a mass on a spring: its figures over the travel, and its return after a hit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.ride.damping.damper import Damper, DampingLaw, linear
from frame3d.ride.damping.free_return import ReturnError, return_time
from frame3d.ride.damping.modes import quarter_car
from frame3d.ride.damping.of_damper import GivenDamper
from frame3d.ride.damping.oscillation import returns, settled
from frame3d.ride.damping.result import HIT, AtSag, BodyReturn, EndRide, Kind, OwnDamper, OwnLaw
from frame3d.ride.damping.sprung_wheel import SprungWheel
from frame3d.ride.damping.wheel import (
    QUICK,
    critical_damping,
    damping_at_wheel,
    in_series,
    natural_frequency,
    overshoot,
    ratio_of_overshoot,
)

RATIOS: Final[dict[Kind, float]] = {
    "too_little": 0.2,
    "quickest": ratio_of_overshoot(QUICK),
    "too_much": 2.0,
}
"""Shares of the critical damping whose returns are shown. The middle one overshoots by 5 % and is back
within 5 % soonest (derived for a linear suspension); the others are chosen to show what goes wrong. No
published target for mountain bikes is known."""
SECONDS: Final = 2.0
"""How long a return is followed [s]."""
THIN: Final = 2
"""Every so many results of the integration are kept."""
EVERY: Final = 5
"""Every so many places of the travel are kept."""
SPEEDS: Final = 31
"""Number of speeds of the shaft at which forces are given."""


@dataclass(frozen=True)
class Tyre:
    """A tyre under its unsprung mass."""

    rate: float | None
    """Upper bound [N/mm]; None where the pressure is not given."""
    unsprung_kg: float


def end_ride(
    end: Literal["front", "rear"],
    wheel: SprungWheel,
    sag: float,
    tyre: Tyre,
    given: GivenDamper | None,
) -> EndRide:
    """Return all that is said of one end.

    Args:
        end: which.
        wheel: its spring and leverage over the travel.
        sag: travel at which the spring carries the load [mm].
        tyre: its rate and the mass on it.
        given: the damper that the file gives.
    """
    rate, mass = wheel.wheel_rate, wheel.sprung_kg
    frequency = natural_frequency(rate, mass)
    with_tyre = None
    if tyre.rate is not None:
        with_tyre = natural_frequency(in_series(np.maximum(rate, 0.0), tyre.rate), mass)
    critical = critical_damping(rate, mass)
    at_shaft = critical * wheel.leverage**2
    rest = _at_sag(wheel, sag, tyre)
    energy = wheel.energy - wheel.at(sag, wheel.energy)
    hit = HIT * wheel.full_travel
    time, made = _returns(wheel, sag, hit, rest, given)
    return EndRide(
        end=end,
        sprung_kg=mass,
        unsprung_kg=tyre.unsprung_kg,
        static_load_n=wheel.load_n,
        tyre_rate_n_mm=tyre.rate,
        travel=tuple(float(x) for x in wheel.travel[::EVERY]),
        frequency_hz=_kept(frequency),
        frequency_with_tyre_hz=None if with_tyre is None else _kept(with_tyre),
        critical_damping_n_s_m=_kept(critical),
        critical_damping_at_shaft_n_s_m=_kept(at_shaft),
        at_sag=rest,
        energy_j=float(wheel.energy[-1]) / 1000.0,
        energy_from_sag_j=float(energy[-1]) / 1000.0,
        end_force_n=float(wheel.wheel_force[-1]),
        end_force_of_load_share=float(wheel.wheel_force[-1]) / wheel.load_n,
        damper=None if given is None else _own(wheel, given, critical, sag, hit),
        hit=hit,
        hit_stroke=wheel.at(hit, wheel.stroke),
        time_s=time,
        returns=made,
    )


def _kept(values: Array) -> tuple[float | None, ...]:
    """Return the values that are given out; None where there is none."""
    return tuple(float(v) if v > 0 else None for v in values[::EVERY])


def _at_sag(wheel: SprungWheel, sag: float, tyre: Tyre) -> AtSag:
    rate, leverage = wheel.at(sag, wheel.wheel_rate), wheel.at(sag, wheel.leverage)
    one, mass = np.array([rate]), wheel.sprung_kg
    critical = float(critical_damping(one, mass)[0])
    soft = hop = None
    if tyre.rate is not None:
        soft = float(natural_frequency(in_series(np.maximum(one, 0.0), tyre.rate), mass)[0])
        hop = quarter_car(mass, tyre.unsprung_kg, max(rate, 0.0), tyre.rate).wheel_hop_hz
    return AtSag(
        travel=sag,
        stroke=wheel.at(sag, wheel.stroke),
        wheel_rate_n_mm=rate,
        frequency_hz=float(natural_frequency(one, mass)[0]),
        frequency_with_tyre_hz=soft,
        wheel_hop_hz=hop,
        critical_damping_n_s_m=critical,
        critical_damping_at_shaft_n_s_m=critical * leverage**2,
    )


def _own(
    wheel: SprungWheel, given: GivenDamper, critical: Array, sag: float, hit: float
) -> OwnDamper:
    """Return the file's damper over speed and travel.

    The speeds go to twice those of the knees, at least to that of a free return from the hit.
    """
    laws = [law for law in (given.rebound, given.compression) if law is not None]
    highest = [2.0 * law.knee for law in laws if np.isfinite(law.knee)]
    pushed = wheel.spring.force(np.array([wheel.at(hit, wheel.stroke)]))
    if given.rebound is not None:
        highest.append(float(given.rebound.speed(pushed)[0]))
    top = min(max((h for h in highest if np.isfinite(h)), default=1.0), 10.0)
    speed = np.linspace(0.0, float(np.ceil(top * 10.0) / 10.0), SPEEDS)
    return OwnDamper(
        filmed=given.filmed,
        speed_m_s=tuple(float(v) for v in speed),
        rebound=_own_law(wheel, given.rebound, critical, sag, speed),
        compression=_own_law(wheel, given.compression, critical, sag, speed),
    )


def _own_law(
    wheel: SprungWheel, law: DampingLaw | None, critical: Array, sag: float, speed: Array
) -> OwnLaw | None:
    if law is None:
        return None
    acts = damping_at_wheel(np.full(len(critical), law.low_n_s_m), wheel.leverage)
    return OwnLaw(
        low_n_s_m=law.low_n_s_m,
        fast_n_s_m=law.fast_n_s_m,
        fast_from_m_s=law.fast_from_m_s,
        of_critical_share=tuple(
            float(a / c) if c > 0 else None
            for a, c in zip(acts[::EVERY], critical[::EVERY], strict=True)
        ),
        at_sag_share=wheel.at(sag, acts) / wheel.at(sag, critical),
        force_n=tuple(float(f) for f in law.force(speed)),
    )


def _returns(
    wheel: SprungWheel, sag: float, hit: float, rest: AtSag, given: GivenDamper | None
) -> tuple[tuple[float, ...], tuple[BodyReturn, ...]]:
    """Return times, and the returns with each damping; none where the sag is as deep as the hit."""
    if sag >= hit or rest.critical_damping_n_s_m == 0:
        return (), ()
    critical = rest.critical_damping_at_shaft_n_s_m
    dampers: dict[Kind, Damper] = {kind: linear(ratio * critical) for kind, ratio in RATIOS.items()}
    if given is not None and given.rebound is not None:
        compression = given.rebound if given.compression is None else given.compression
        dampers["own"] = Damper(given.rebound, compression)
    time, travel = returns(wheel, list(dampers.values()), hit, SECONDS)
    made = []
    for (kind, damper), x in zip(dampers.items(), travel, strict=True):
        back = _wheel_back(wheel, damper.rebound, hit, sag)
        if back is None:
            return (), ()
        ratio = damper.rebound.low_n_s_m / critical
        made.append(
            BodyReturn(
                kind=kind,
                rebound_n_s_m=damper.rebound.low_n_s_m,
                of_critical_share=ratio,
                overshoot_share=overshoot(ratio),
                overshoot=max(0.0, sag - float(x.min())),
                back_s=settled(time, x, sag, QUICK),
                wheel_back_s=back,
                travel=tuple(round(float(v), 2) for v in x[::THIN]),
            )
        )
    return tuple(round(float(t), 3) for t in time[::THIN]), tuple(made)


def _wheel_back(wheel: SprungWheel, law: DampingLaw, hit: float, sag: float) -> float | None:
    """Return the time of the wheel's return [s]; None where the spring does not push it back."""
    start, end = (wheel.at(x, wheel.stroke) for x in (hit, sag))
    try:
        return return_time(wheel.spring.force, law, start, end)
    except ReturnError:
        return None
