"""Curves of many linkages over their strokes, compiled: the ground, braking, and one gear.

The formulas are those of `frame3d.linkage.curves`: `ground.py` and `tangent.py`, `anti_rise.py`,
`chain.py` and `anti_squat.py`, where they are derived and their sources named. Arrays (n, k) are over n
linkages and k strokes; points are complex, x + i·z [mm].
"""

from __future__ import annotations

import numpy as np

from frame3d.explore.linkages.compiled import compiled
from frame3d.geometry.arrays import Array, Complex


@compiled
def on_ground(  # compiled: no objects
    axle: Complex,
    turning: Array,
    front: Complex,
    centre: Complex,
    rear_radius: Array,
    front_radius: Array,
    contact: Complex,
    ahead: Complex,
    wheelbase: Array,
    transfer: Array,
    anti_rise: Array,
) -> None:
    """Work out the ground under both wheels, and the anti-rise.

    Args:
        axle: the rear axle and its first two derivatives by the stroke, (3, n, k).
        turning: angular velocity of the caliper's link, (n, k) [rad/mm].
        front: the front axle, (n, k).
        centre: of the mass of rider and bicycle, (n,).
        rear_radius: of the wheel, (n,) [mm].
        front_radius: of the wheel, (n,) [mm].
        contact: out, the rear contact point, (n, k).
        ahead: out, unit vector forward along the ground, (n, k).
        wheelbase: out, (n, k) [mm].
        transfer: out, height of the centre of mass over the wheelbase, (n, k).
        anti_rise: out, (n, k) [%].
    """
    for n in range(axle.shape[1]):
        rear, rise = rear_radius[n], front_radius[n] - rear_radius[n]
        for k in range(axle.shape[2]):
            at, pace = axle[0, n, k], axle[1, n, k]
            away = front[n, k] - at
            square = away.real * away.real + away.imag * away.imag
            long = np.sqrt(square - rise * rise)
            x = (long * away.real + rise * away.imag) / square
            z = (long * away.imag - rise * away.real) / square
            touch = at + rear * complex(z, -x)
            back = complex(x, -z)
            share = ((centre[n] - touch) * back).imag / long
            velocity = pace + turning[n, k] * (1j * (touch - at))
            along = 1j * velocity * back
            contact[n, k], ahead[n, k] = touch, complex(x, z)
            wheelbase[n, k], transfer[n, k] = long, share
            anti_rise[n, k] = 100 * (along.imag / along.real) / share


@compiled
def of_gear(  # compiled: no objects
    axle: Complex,
    contact: Complex,
    ahead: Complex,
    transfer: Array,
    ring: float,
    cog: float,
    anti_squat: Array,
    wound: Array,
) -> None:
    """Work out the curves of a gear.

    Args:
        axle: the rear axle and its first two derivatives by the stroke, (3, n, k).
        contact: the rear contact point, (n, k).
        ahead: unit vector forward along the ground, (n, k).
        transfer: height of the centre of mass over the wheelbase, (n, k).
        ring: pitch radius of the chainring [mm].
        cog: pitch radius of the cog [mm].
        anti_squat: out, (n, k) [%].
        wound: out, length of the upper run and of the chain wound on, up to a constant, (n, k) [mm].
    """
    rise = cog - ring
    for n in range(axle.shape[1]):
        for k in range(axle.shape[2]):
            at, pace = axle[0, n, k], axle[1, n, k]
            away = -at
            square = away.real * away.real + away.imag * away.imag
            long = np.sqrt(square - rise * rise)
            x = (long * away.real + rise * away.imag) / square
            z = (long * away.imag - rise * away.real) / square
            back = ahead[n, k].conjugate()
            point, swing = (at - contact[n, k]) * back, 1j * pace * back
            share = transfer[n, k] / 100
            pull = (x * pace.real + z * pace.imag) / cog
            up = pull * point.imag + swing.imag
            forward = pull * (point.real * share) + swing.real * share
            anti_squat[n, k] = up / forward
            slope = np.arctan2(away.imag, away.real) - np.arcsin(rise / np.sqrt(square))
            wound[n, k] = long - rise * slope
