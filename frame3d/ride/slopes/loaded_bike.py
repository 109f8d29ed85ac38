"""A bike's wheels, springs and masses as `dynamic` takes them, and where its rider may be."""

from __future__ import annotations

from cmath import exp
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import radians
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import FORK_LEGS, FRONT_WHEEL, MassModel, mass_model
from frame3d.bike.sprung import Sprung, sprung_of
from frame3d.bike.weight import weigh
from frame3d.geometry.arrays import Complex
from frame3d.geometry.vector import Point
from frame3d.linkage import Coil, Spring
from frame3d.ride.slopes.bands import places
from frame3d.ride.slopes.dynamic import Chassis, Lumps, held, steady
from frame3d.ride.springs.fork import fork_spring_of
from frame3d.rider.segments import TEXTBOOK

POSTURES: Final = ("seated", "forward", "standing", "descending")
"""Postures on slopes, by their names in the rider."""


@dataclass(frozen=True, eq=False)
class LoadedBike:
    """A bike with its rider, ready for slopes."""

    climbing: Chassis
    """With springs as they stand under loads that last."""
    braking: Chassis
    """With springs as they act when ridden."""
    postures: Mapping[str, Lumps]
    """Posture -> masses with the rider at each of `bands.places`."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]


def rider_places(bike: Bike) -> dict[str, Complex]:
    """Return where the rider's centre of mass may be, by posture; empty without a rider.

    The rider's posture is that of the bike as it stands under the rider on the level, in the frame's
    drawn axes, x + i·z from the bottom bracket: (5 + tables,) [mm], see `bands.places`.
    """
    rider, pitch = bike.rider, 0.0
    if bike.sagged is not None:
        rider, pitch = bike.sagged.rider, bike.sagged.pitch
    back = exp(-1j * radians(pitch))
    known = {} if rider is None else rider.postures
    out: dict[str, Complex] = {}
    for name in POSTURES:
        if name in known:
            tables = dict(known[name].centres)
            first = tables.pop(TEXTBOOK.name)
            out[name] = places(_side(first) * back, [_side(at) * back for at in tables.values()])
    return out


def loaded_bike(bike: Bike, riders: Mapping[str, Complex]) -> LoadedBike:
    """Return a bike with its rider, ready for slopes.

    Args:
        bike: a solved bike whose file has a rider.
        riders: from `rider_places`, not empty.

    Raises:
        GeometryError: a spring's rate or pressure cannot be found.
    """
    linkage = bike.linkage
    sprung = None if linkage is None else sprung_of(bike, linkage)
    masses = mass_model(bike)
    shift, said = _given_shift(bike, masses)
    postures = {name: _lumps(bike, masses, sprung, own + shift) for name, own in riders.items()}
    bare = Chassis(
        rear_axle=_side(bike.nodes["rear_axle"]),
        front_axle=_side(bike.nodes["front_axle"]),
        rear_radius=_figure(bike, "rear_wheel_radius"),
        front_radius=_figure(bike, "front_wheel_radius"),
        head_angle=_figure(bike, "head_tube_angle"),
        linkage=linkage,
        fork_travel=0.0 if bike.spec.build.fork is None else bike.spec.build.fork.travel,
        gear=None if linkage is None else _lowest_gear(bike),
    )
    ends = _Ends(bike, bare, next(iter(postures.values())), sprung)
    rear, fork = ends.rear(), ends.fork()
    return LoadedBike(
        climbing=replace(
            bare,
            rear_spring=None if rear is None else rear.at_rest(),
            fork_spring=None if fork is None else fork.at_rest(),
        ),
        braking=replace(bare, rear_spring=rear, fork_spring=fork),
        postures=postures,
        assumptions=(*ends.assumptions, *said, *masses.assumptions),
        left_out=tuple(ends.left_out),
    )


def _lumps(bike: Bike, masses: MassModel, sprung: Sprung | None, rider: Complex) -> Lumps:
    """Return the masses by what they move with, the rider at each of several places.

    The share of the links that counts at the rear axle moves with it, the rest stays with the frame.
    """
    spec = bike.spec.build.rider
    assert spec is not None
    rear_axle = _side(bike.nodes["rear_axle"])
    rear_kg = 0.0 if sprung is None else sprung.unsprung.mass_kg
    front = masses.on(FRONT_WHEEL, FORK_LEGS)
    front_kg = sum(part.mass_kg for part in front)
    front_moment = sum(part.mass_kg * complex(*part.at) for part in front)
    frame_kg = masses.total_kg - rear_kg - front_kg
    moment = masses.total_kg * complex(*masses.centre) - rear_kg * rear_axle - front_moment
    return Lumps(
        frame_kg=frame_kg + spec.mass_kg,
        frame=np.asarray((moment + spec.mass_kg * rider) / (frame_kg + spec.mass_kg), complex),
        rear_kg=rear_kg,
        rear=rear_axle,
        front_kg=front_kg,
        front=front_moment / front_kg if front_kg > 0 else 0j,
    )


def _given_shift(bike: Bike, masses: MassModel) -> tuple[complex, tuple[str, ...]]:
    """Return how far the rider is moved to bring the seated centre of mass to where the file has it.

    With it what is said of it; 0 and nothing where the file gives neither share nor height.
    """
    spec, suspension = bike.spec.build.rider, bike.spec.suspension
    seated = None if bike.rider is None else bike.rider.seated
    if suspension is None or spec is None or seated is None:
        return 0j, ()
    if suspension.rear_share is None and suspension.centre_of_mass_height is None:
        return 0j, ()
    own = ((spec.mass_kg, _side(seated.centre_of_mass)), (masses.total_kg, complex(*masses.centre)))
    total = spec.mass_kg + masses.total_kg
    apart = complex(*weigh(bike, masses).centre) - sum(kg * at for kg, at in own) / total
    return apart * total / spec.mass_kg, (
        "the rider is moved, in every posture alike, so that the seated centre of mass is where "
        "suspension.rear_share and suspension.centre_of_mass_height have it",
    )


class _Ends:
    """Both springs of a bike; those that the file does not give are straight lines through its sag."""

    def __init__(self, bike: Bike, bare: Chassis, rider: Lumps, sprung: Sprung | None) -> None:
        self._bike, self._sprung = bike, sprung
        self.assumptions: list[str] = []
        self.left_out: list[str] = []
        if bare.linkage is not None and bare.gear is None:
            self.left_out.append("anti-squat on climbs (build.chainring and build.cassette)")
        fork = bike.spec.build.fork
        asked = None if sprung is None else sprung.asked
        self._stroke = 0.0 if asked is None else asked.stroke
        self._fork = 0.0 if fork is None else fork.sag * fork.travel
        count = len(rider.frame)
        strokes, forks = np.full(count, self._stroke), np.full(count, self._fork)
        self._at_sag = held(bare, rider, steady(np.zeros(count)), strokes, forks)

    def rear(self) -> Spring | None:
        """Return the shock's spring as ridden; None where the file gives neither it nor a sag."""
        sprung = self._sprung
        if sprung is None:
            return None
        if sprung.spring is not None:
            return sprung.spring
        shock = self._at_sag.shock_n
        if self._stroke <= 0 or shock is None:
            self.left_out.append("the rear spring on slopes (suspension.spring, or suspension.sag)")
            return None
        self.assumptions.append(
            f"shock's force grows evenly from 0, through the sag at {self._stroke:.1f} mm "
            "(suspension.spring gives its own)"
        )
        return Coil(float(shock[0]) / self._stroke)

    def fork(self) -> Spring | None:
        """Return the fork's spring as ridden; None where the file gives neither it nor a sag."""
        fork = self._bike.spec.build.fork
        if fork is None or fork.travel == 0:
            return None
        sprung = fork_spring_of(self._bike)
        if sprung is not None and sprung.spring is not None:
            return sprung.spring
        if self._fork <= 0:
            self.left_out.append(
                "the fork's spring and dive (build.fork.spring, or build.fork.sag)"
            )
            return None
        self.assumptions.append(
            f"fork's force grows evenly from 0, through the sag of {100 * fork.sag:.0f} %: an air fork "
            "dives less (build.fork.spring gives its own)"
        )
        return Coil(float(self._at_sag.fork_n[0]) / self._fork)


def _lowest_gear(bike: Bike) -> tuple[int, int] | None:
    """Return teeth of chainring and largest cog; None where the file lacks one."""
    ring, cassette = bike.spec.build.chainring, bike.spec.build.cassette
    if ring is None or cassette is None:
        return None
    return ring.teeth, max(cassette.cogs)


def _side(p: Point) -> complex:
    return complex(p[0], p[2])


def _figure(bike: Bike, name: str) -> float:
    value = bike.chart[name]
    assert value is not None, name
    return value
