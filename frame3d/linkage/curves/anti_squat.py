"""How much of the load that accelerating shifts to the rear is carried by links and chain.

F is where the upper run of the chain meets the line from the rear axle to the instant centre of the
axle's link. In coordinates from the rear contact, along the ground and up, with the wheelbase w and the
height h of the common centre of mass of rider and bicycle,

    anti-squat [%] = 100·(zF/xF) / (h/w)

100 %: the spring feels nothing; below, the rear squats; above, it rises. Source: value from memory of
Foale, Motorcycle Handling and Chassis Design; the same as 100 over the squat ratio of Cossalter,
Motorcycle Dynamics (from memory). The wheel counts as massless, the bicycle does not accelerate upward.

The line axle to instant centre is square to the axle's velocity v, whatever link carries it. The run of
the chain, along the unit vector f, passes the axle at the cog's pitch radius r, so F lies at
axle + i·v·r/(f·v). Only its slope is needed, which stays finite where F does not: both of its
coordinates are taken f·v/r times. (f·v is the chain growth's rate, less the sign.)
"""

from __future__ import annotations

import numpy as np

from frame3d.linkage.curves.chain import UpperRun
from frame3d.linkage.curves.ground import Ground
from frame3d.linkage.linear import Array
from frame3d.linkage.motion import Moving


def anti_squat(run: UpperRun, axle: Moving, ground: Ground, transfer: Array) -> Array:
    """Anti-squat, (k,), or in m gears (m, k) [%].

    Args:
        run: the chain's upper run.
        axle: the rear axle.
        ground: under the wheels.
        transfer: h/w, `Ground.transfer`, (k,).
    """
    point, swing = ground.local(axle.at), ground.directed(1j * axle.rate)
    share = transfer / 100
    pull = (run.x * axle.rate.real + run.z * axle.rate.imag) / run.cog
    rise = pull * point.imag + swing.imag
    ahead = pull * (point.real * share) + swing.real * share
    with np.errstate(all="ignore"):
        out: Array = rise / ahead
    return out
