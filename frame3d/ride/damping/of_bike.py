"""Dampers, natural frequencies and energy of a bike, front and rear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.sprung import sprung_of
from frame3d.linkage.curves.guide import Guide
from frame3d.linkage.curves.springs import Spring
from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.parts import TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards
from frame3d.parameters.units import BAR
from frame3d.ride.damping.end_ride import Tyre, end_ride
from frame3d.ride.damping.of_damper import GivenDamper, given_damper
from frame3d.ride.damping.result import HIT, Damping, EndRide
from frame3d.ride.damping.sprung_wheel import SprungWheel, sprung_wheel
from frame3d.ride.damping.wheel import tyre_rate
from frame3d.ride.springs.fork import fork_spring_of

__all__ = ["Damping", "damping_of"]

PLACES: Final = 201
"""Number of travels at which spring and leverage are taken."""
ALWAYS: Final = (
    "each end by itself, as one mass on one spring: no pitching, and a rider who sits still; legs and "
    "arms that give make it softer",
    "friction of shafts, seals and bearings left out",
    "damping as a share of the critical by the low-speed slope, for small movements",
    f"returns from {100 * HIT:.0f} % of the travel, the wheel on the ground and the same damping both "
    "ways where nothing else is given",
    "the wheel's own return: body still, wheel clear of the ground and without mass, which changes it "
    "by less than a hundredth of a second",
)


@dataclass(frozen=True)
class _End:
    """One end as the file and its spring give it."""

    end: Literal["front", "rear"]
    guide: Guide
    spring: Spring | None
    spring_path: str
    carried: float | None
    """Vertical load that the spring carries at the wheel [N]."""
    unsprung_kg: float
    damper: DamperSpec | None
    damper_path: str
    wheel: WheelSpec | None
    assumptions: tuple[str, ...]


def damping_of(bike: Bike) -> Damping | None:
    """Return dampers, natural frequencies and energy of a solved bike; None where nothing is sprung.

    Raises:
        GeometryError: a rate or pressure left open cannot be found, or a filmed return never returns.
    """
    made: dict[str, EndRide] = {}
    assumptions: list[str] = []
    left_out: list[str] = []
    for end in _ends(bike):
        ride = _ride(bike, end, assumptions, left_out)
        if ride is not None:
            made[end.end] = ride
    if not made and not left_out:
        return None
    if made:
        assumptions += ALWAYS
    return Damping(
        front=made.get("front"),
        rear=made.get("rear"),
        assumptions=tuple(dict.fromkeys(assumptions)),
        left_out=tuple(left_out),
    )


def _ends(bike: Bike) -> Iterator[_End]:
    """Yield the ends that are sprung, the rear one first."""
    build, suspension = bike.spec.build, bike.spec.suspension
    if bike.linkage is not None and suspension is not None:
        rear = sprung_of(bike, bike.linkage)
        yield _End(
            end="rear",
            guide=bike.linkage,
            spring=rear.spring,
            spring_path="suspension.spring",
            carried=rear.carried,
            unsprung_kg=rear.unsprung.mass_kg,
            damper=suspension.shock.damper,
            damper_path="suspension.shock.damper",
            wheel=build.rear_wheel,
            assumptions=rear.assumptions,
        )
    front = fork_spring_of(bike)
    if front is not None and build.fork is not None:
        yield _End(
            end="front",
            guide=front.guide,
            spring=front.spring,
            spring_path="build.fork.spring",
            carried=front.carried,
            unsprung_kg=front.unsprung.mass_kg,
            damper=build.fork.damper,
            damper_path="build.fork.damper",
            wheel=build.front_wheel,
            assumptions=front.assumptions,
        )


def _ride(bike: Bike, end: _End, assumptions: list[str], left_out: list[str]) -> EndRide | None:
    """Return what is said of an end, adding to what is assumed and left out; None for nothing."""
    lacking = _lacking(end)
    if lacking is not None:
        left_out.append(f"{end.end}: frequency, damping and energy ({lacking})")
        return None
    assert end.spring is not None
    assert end.carried is not None
    wheel = _wheel(end.guide, end.spring, end.carried)
    sag = wheel.sag()
    if sag is None:
        left_out.append(
            f"{end.end}: frequency, damping and energy (the spring does not carry the load; see "
            f"{end.spring_path})"
        )
        return None
    assumptions += end.assumptions
    given = _damper(bike, end, assumptions, left_out)
    ride = end_ride(end.end, wheel, sag, _tyre(bike, end, assumptions, left_out), given)
    if not ride.returns:
        left_out.append(
            f"{end.end}: returns after a hit (at the sag the spring is spent, or does not push back)"
        )
    return ride


def _lacking(end: _End) -> str | None:
    """Return the key without which nothing can be said; None where all is there."""
    if end.spring is None:
        return end.spring_path
    if end.carried is None:
        return "build.rider.mass_kg"
    if end.carried <= 0:
        return "the spring carries no load"
    return None


def _wheel(guide: Guide, spring: Spring, carried: float) -> SprungWheel:
    travels = np.linspace(0.0, guide.full_travel, PLACES)
    at = guide.at_strokes(guide.strokes_at(travels))
    return sprung_wheel(travels, at.stroke, at.leverage, at.leverage_rate, spring, carried)


def _damper(
    bike: Bike, end: _End, assumptions: list[str], left_out: list[str]
) -> GivenDamper | None:
    if end.damper is None:
        left_out.append(f"{end.end}: its own damper ({end.damper_path})")
        return None
    assert end.spring is not None
    given = given_damper(bike.spec, end.damper_path, end.damper, end.spring)
    if given.filmed:
        assumptions.append(
            f"{end.end} damper filmed by itself, held in until its air was as warm as outside"
        )
    if given.rebound is None:
        left_out.append(f"{end.end}: return on its own damper ({end.damper_path}.rebound_n_s_m)")
    elif given.compression is None:
        assumptions.append(
            f"{end.end}: compression not given, taken as the rebound's for the return after a hit"
        )
    return given


def _tyre(bike: Bike, end: _End, assumptions: list[str], left_out: list[str]) -> Tyre:
    """Return the tyre's rate where its size and pressure are given."""
    wheel = end.wheel
    radius = bike.chart[f"{end.end}_wheel_radius"]
    if wheel is None or wheel.pressure_bar is None or wheel.tyre is None or radius is None:
        key = "tyre" if wheel is not None and wheel.pressure_bar is not None else "pressure_bar"
        left_out.append(f"{end.end}: tyre and wheel hop (build.{end.end}_wheel.{key})")
        return Tyre(None, end.unsprung_kg)
    width = (
        wheel.tyre.width if isinstance(wheel.tyre, TyreSpec) else standards.tyre(wheel.tyre).width
    )
    assumptions.append(
        "tyre's rate from its air alone, an upper bound: the real one is softer, so frequencies lie "
        "below those with this tyre"
    )
    return Tyre(tyre_rate(wheel.pressure_bar * BAR, radius, width / 2), end.unsprung_kg)
