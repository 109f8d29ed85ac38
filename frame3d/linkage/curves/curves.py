"""All curves over the travel of a rear suspension."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.geometry.arrays import Array
from frame3d.linkage.curves import leverage as ratio
from frame3d.linkage.curves.anti_rise import anti_rise, brake_line
from frame3d.linkage.curves.anti_squat import anti_squat
from frame3d.linkage.curves.chain import crank_rotation, growth, upper_run
from frame3d.linkage.curves.ground import Ground, ground
from frame3d.linkage.curves.instant_centre import instant_centre
from frame3d.linkage.curves.springs import Spring
from frame3d.linkage.curves.wheel_force import wheel_force, wheel_rate
from frame3d.linkage.motion import LinkageMotion, frozen, pairs
from frame3d.linkage.result import Linkage

GRAVITY = 9.80665
"""Standard gravity [m/s²]."""


@dataclass(frozen=True, eq=False)
class SuspensionInputs:
    """Wheels, drivetrain and rider that the curves depend on, in the frame's drawn axes."""

    rear_radius: float
    """Radius of the rear wheel [mm]."""
    front_radius: float
    """Radius of the front wheel [mm]."""
    front_axle: ArrayLike
    """(x, z) for all strokes, or (n, 2) for each stroke, as the fork holds it [mm]."""
    centre_of_mass: tuple[float, float]
    """Common centre of mass of rider and bicycle, (x, z) from the bottom bracket [mm]."""
    chainring: int | None = None
    """Number of teeth; None without a chain."""
    cogs: Sequence[int] = ()
    """Number of teeth of each cog."""


@dataclass(frozen=True, eq=False)
class Gear:
    """Curves of one gear over n strokes."""

    chainring: int
    """Number of teeth."""
    cog: int
    """Number of teeth."""
    anti_squat: Array
    """(n,) [%]; see `anti_squat`."""
    chain_growth: Array
    """(n,) [mm]; see `chain.growth`."""
    crank_rotation: Array
    """Pedal kickback from full extension, (n,) [degrees]; see `chain.crank_rotation`."""
    crank_rotation_from_sag: Array | None
    """Pedal kickback from the sag, negative before it, (n,) [degrees]; None where sag is not known."""
    chain_line: Array
    """Ends of the upper run on cog and chainring, (n, 2, 2): x, z in the frame's axes [mm]."""
    chain_angle: Array
    """Slope of the upper run in the frame's axes, rising forward positive, (n,) [degrees]."""


@dataclass(frozen=True, eq=False)
class Forces:
    """Forces, rates and energy of a spring over n strokes."""

    shock_force: Array
    """(n,) [N]"""
    shock_rate: Array
    """(n,) [N/mm]"""
    wheel_force: Array
    """Vertical, (n,) [N]; see `wheel_force`."""
    wheel_rate: Array
    """(n,) [N/mm]"""
    energy: Array
    """Energy stored since full extension, (n,) [N·mm]."""

    @property
    def bottom_out_shock(self) -> float:
        """Shock force at the end of the stroke [N]."""
        return float(self.shock_force[-1])

    @property
    def bottom_out_wheel(self) -> float:
        """Wheel force at the end of the travel [N]."""
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
    """Derivative of the leverage ratio by the stroke, (n,) [1/mm]."""
    progression: float
    """Progression, see `leverage.progression`."""
    mean_leverage: float
    """Travel over stroke."""
    instant_centre: Array
    """Instant centre of the axle's link, (n, 2) in the frame's axes [mm]; infinite without rotation."""
    brake_instant_centre: Array
    """Instant centre of the link that carries the caliper, (n, 2) [mm]."""
    anti_rise: Array
    """(n,) [%]; see `anti_rise`."""
    brake_slope: Array
    """Slope over the ground of the line from the rear contact to the brake's instant centre, (n,)."""
    rear_contact: Array
    """Rear contact point, (n, 2) in the frame's axes [mm]."""
    front_contact: Array
    """Front contact point, (n, 2) in the frame's axes [mm]."""
    wheelbase: Array
    """Distance between the contact points, (n,) [mm]."""
    pitch: Array
    """Pitch of the frame against the ground, nose up positive, (n,) [degrees]."""
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
    """Return all curves.

    Args:
        linkage: the solved suspension.
        ride: wheels, drivetrain and rider.
        spring: for forces and rates; None leaves them out.
        motion: the linkage at other strokes than its own, from `Linkage.at_strokes`.
        sag: stroke at which the suspension rests under its rider [mm], if known.
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
    """Return a spring's forces, rates and energy at the shock and at the wheel."""
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
    """Return the curves of all gears, computed together in arrays (cogs, n).

    Args:
        motion: the linkage at n strokes.
        under: the ground there.
        transfer: h/w, `Ground.transfer`, (n,).
        ride: chainring and cogs.
        rested: the linkage at the sag, if known.
    """
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
    """Return the vertical load at the rear wheel at rest [N]: mass × standard gravity × share."""
    return mass_kg * GRAVITY * rear_share
