"""Everything that is drawn over the travel of a rear suspension."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.linkage.curves import leverage as ratio
from frame3d.linkage.curves.anti_rise import anti_rise, brake_line
from frame3d.linkage.curves.anti_squat import anti_squat
from frame3d.linkage.curves.chain import crank_rotation, growth, upper_run
from frame3d.linkage.curves.ground import Ground, ground
from frame3d.linkage.curves.instant_centre import instant_centre
from frame3d.linkage.curves.springs import Spring
from frame3d.linkage.curves.wheel_force import wheel_force, wheel_rate
from frame3d.linkage.linear import Array
from frame3d.linkage.motion import LinkageMotion, frozen, pairs
from frame3d.linkage.result import Linkage

GRAVITY = 9.80665
"""Standard gravity [m/s²]."""


@dataclass(frozen=True, eq=False)
class SuspensionInputs:
    """What the linkage works between: wheels, drivetrain, rider. In the frame's drawn axes."""

    rear_radius: float
    """[mm]"""
    front_radius: float
    """[mm]"""
    front_axle: ArrayLike
    """(x, z), the same at every stroke, or (n, 2), one a stroke: where the fork has it [mm]."""
    centre_of_mass: tuple[float, float]
    """Of rider and bicycle together, (x, z) from the bottom bracket [mm]."""
    chainring: int | None = None
    """Teeth; None without a chain."""
    cogs: Sequence[int] = ()
    """Teeth of each cog."""


@dataclass(frozen=True, eq=False)
class Gear:
    """What depends on the gear, over n strokes."""

    chainring: int
    """Teeth."""
    cog: int
    """Teeth."""
    anti_squat: Array
    """(n,) [%]; see `anti_squat`."""
    chain_growth: Array
    """(n,) [mm]; see `chain.growth`."""
    crank_rotation: Array
    """Pedal kickback from full extension, (n,) [degrees]; see `chain.crank_rotation`."""
    crank_rotation_from_sag: Array | None
    """The same from the sag: below zero before it, (n,) [degrees]; None where the sag is not known."""
    chain_line: Array
    """Upper run, (n, 2, 2): on the cog and on the chainring, x, z in the frame's axes [mm]."""
    chain_angle: Array
    """Its slope in the frame's axes, (n,) [degrees]."""


@dataclass(frozen=True, eq=False)
class Forces:
    """What the spring does, over n strokes."""

    shock_force: Array
    """(n,) [N]"""
    shock_rate: Array
    """(n,) [N/mm]"""
    wheel_force: Array
    """Vertical, (n,) [N]; see `wheel_force`."""
    wheel_rate: Array
    """(n,) [N/mm]"""
    energy: Array
    """Taken up since full extension, (n,) [N·mm]."""

    @property
    def bottom_out_shock(self) -> float:
        """Shock force at the end of the stroke [N]."""
        return float(self.shock_force[-1])

    @property
    def bottom_out_wheel(self) -> float:
        """Wheel force at the end of the travel [N]: what bottoms the suspension out at rest."""
        return float(self.wheel_force[-1])


@dataclass(frozen=True, eq=False)
class Curves:
    """All curves over n strokes."""

    stroke: Array
    """(n,) [mm]"""
    travel: Array
    """Vertical wheel travel, (n,) [mm]."""
    axle: Array
    """Axle path in the frame's axes, (n, 2) [mm]."""
    leverage: Array
    """(n,)"""
    leverage_rate: Array
    """Its derivative by the stroke, (n,) [1/mm]."""
    progression: float
    """See `leverage.progression`."""
    mean_leverage: float
    """Travel over stroke."""
    instant_centre: Array
    """Of the axle's link, (n, 2) in the frame's axes [mm]; infinite where it only shifts."""
    brake_instant_centre: Array
    """Of the caliper's link, (n, 2)."""
    anti_rise: Array
    """(n,) [%]; see `anti_rise`."""
    brake_slope: Array
    """Slope over the ground of the line from the rear contact to the brake's instant centre, (n,)."""
    rear_contact: Array
    """(n, 2) in the frame's axes [mm]."""
    front_contact: Array
    """(n, 2) in the frame's axes [mm]."""
    wheelbase: Array
    """Between the contacts, (n,) [mm]."""
    pitch: Array
    """Of the frame against the ground, nose up positive, (n,) [degrees]."""
    gears: Mapping[tuple[int, int], Gear]
    """(chainring, cog) -> its curves."""
    forces: Forces | None
    """None without a spring."""


def curves(
    linkage: Linkage,
    ride: SuspensionInputs,
    spring: Spring | None = None,
    motion: LinkageMotion | None = None,
    sag: float | None = None,
) -> Curves:
    """All curves.

    Args:
        linkage: the solved suspension.
        ride: wheels, drivetrain, rider.
        spring: for forces and rates.
        motion: at other strokes than the linkage's own, as `Linkage.at_strokes` gives them.
        sag: stroke at which the suspension stands under its rider [mm], where known.
    """
    moving = linkage.motion if motion is None else motion
    axle = moving.wheel
    under = ground(axle.at, ride.rear_radius, ride.front_axle, ride.front_radius)
    transfer = under.transfer(np.array([complex(*ride.centre_of_mass)]))
    slope = brake_line(axle, moving.turn_rate(linkage.brake_link), under)
    rested = None if sag is None else linkage.at_strokes(np.array([sag]))
    gears = {} if ride.chainring is None else _gears(moving, under, transfer, ride, rested)
    centre = instant_centre(moving, linkage.axle_link)
    same = linkage.brake_link == linkage.axle_link
    return Curves(
        stroke=moving.stroke,
        travel=moving.travel,
        axle=moving.axle,
        leverage=moving.leverage,
        leverage_rate=moving.leverage_rate,
        progression=ratio.progression(linkage.leverage),
        mean_leverage=ratio.mean(linkage.travel, linkage.stroke),
        instant_centre=centre,
        brake_instant_centre=centre if same else instant_centre(moving, linkage.brake_link),
        anti_rise=frozen(anti_rise(slope, transfer)),
        brake_slope=frozen(slope),
        rear_contact=pairs(under.rear),
        front_contact=pairs(under.front),
        wheelbase=frozen(under.wheelbase),
        pitch=frozen(-under.tilt),
        gears=gears,
        forces=None if spring is None else forces(moving, spring),
    )


def forces(motion: LinkageMotion, spring: Spring) -> Forces:
    """What a spring does at the shock and at the wheel."""
    force, rate, energy = spring.state(motion.stroke)
    return Forces(
        frozen(force),
        frozen(rate),
        frozen(wheel_force(force, motion.leverage)),
        frozen(wheel_rate(force, rate, motion.leverage, motion.leverage_rate)),
        frozen(energy),
    )


def _gears(
    motion: LinkageMotion,
    under: Ground,
    transfer: Array,
    ride: SuspensionInputs,
    rested: LinkageMotion | None,
) -> dict[tuple[int, int], Gear]:
    """All gears at once, over arrays (cogs, n)."""
    ring = ride.chainring
    assert ring is not None
    cogs = np.array(ride.cogs, dtype=float)[:, None]
    run = upper_run(motion.wheel.at, ring, cogs)
    grown = growth(run)
    since = None
    if rested is not None:
        since = crank_rotation(run, growth(run, upper_run(rested.wheel.at, ring, cogs)))
    columns = [
        frozen(values)
        for values in (
            anti_squat(run, motion.wheel, under, transfer),
            grown,
            crank_rotation(run, grown),
            np.empty((len(cogs), 0)) if since is None else since,
            run.ends,
            run.angle,
        )
    ]
    return {
        (ring, cog): Gear(ring, cog, squat, more, turned, None if since is None else again, *line)
        for cog, squat, more, turned, again, *line in zip(ride.cogs, *columns, strict=True)
    }


def wheel_load(mass_kg: float, rear_share: float) -> float:
    """Vertical load at the rear wheel at rest [N]: mass × standard gravity × share."""
    return mass_kg * GRAVITY * rear_share
