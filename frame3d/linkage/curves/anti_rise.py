"""Anti-rise: the share of the load transfer under rear braking that the links carry, not the spring.

Like anti-squat, with the line from the rear contact to the instant centre of the link that carries the
caliper: anti-rise [%] = 100·(slope of the line) / (h/w), with h the height of the centre of mass and w
the wheelbase. Source: value from memory of Foale, Motorcycle Handling and Chassis Design.

The locked wheel rotates with the caliper's link. So the relevant velocity is that of the contact point
as it moves with the axle and rotates about it with that link; the line to the instant centre is normal
to it. This holds for a caliper on the axle's link and for a floating caliper.
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.curves.ground import Ground
from frame3d.linkage.motion import Moving


def brake_line(axle: Moving, turn_rate: Array, ground: Ground) -> Array:
    """Return the slope over the ground of the line from rear contact to brake's instant centre, (k,).

    Args:
        axle: the rear axle.
        turn_rate: derivative by the stroke of the rotation of the caliper's link, (k,) [rad/mm].
        ground: the ground under the wheels.
    """
    velocity = axle.rate + 1j * turn_rate * (ground.rear - axle.at)
    along = ground.directed(1j * velocity)
    with np.errstate(all="ignore"):
        out: Array = along.imag / along.real
    return out


def anti_rise(slope: Array, transfer: Array) -> Array:
    """Return the anti-rise, (k,) [%].

    Args:
        slope: `brake_line` of the link that carries the caliper, (k,).
        transfer: h/w, `Ground.transfer`, (k,).
    """
    return 100 * slope / transfer
