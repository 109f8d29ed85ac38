"""How much of the load that rear braking takes off the rear wheel is carried by the links.

As anti-squat, with the line from the rear contact to the instant centre of the link that carries the
caliper: anti-rise [%] = 100·(its slope) / (h/w). Source: value from memory of Foale, Motorcycle Handling
and Chassis Design.

The braked wheel turns with the caliper's link, so what counts is the velocity of the wheel's contact
point when it does: the axle's, and the link's turning about it. The line to the instant centre is square
to that velocity. This is the same for a caliper on the axle's link, and right for a floating one too.
"""

from __future__ import annotations

import numpy as np

from frame3d.linkage.curves.ground import Ground
from frame3d.linkage.linear import Array
from frame3d.linkage.motion import Moving


def brake_line(axle: Moving, turn_rate: Array, ground: Ground) -> Array:
    """Slope of the line from the rear contact to the brake's instant centre, over the ground, (k,).

    Args:
        axle: the rear axle.
        turn_rate: of the link that carries the caliper, by the stroke, (k,) [rad/mm].
        ground: under the wheels.
    """
    velocity = axle.rate + 1j * turn_rate * (ground.rear - axle.at)
    along = ground.directed(1j * velocity)
    with np.errstate(all="ignore"):
        out: Array = along.imag / along.real
    return out


def anti_rise(slope: Array, transfer: Array) -> Array:
    """Anti-rise, (k,) [%].

    Args:
        slope: `brake_line` of the link that carries the caliper, (k,).
        transfer: h/w, `Ground.transfer`, (k,).
    """
    return 100 * slope / transfer
