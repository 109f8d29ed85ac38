"""Anti-squat: the share of the load transfer under acceleration that links and chain carry.

F is the point where the upper run of the chain meets the line from the rear axle to the instant centre
of the axle's link:

                      upper run of the chain
        .-------------------------------------------F
       (   o - - - - - - - - - - - - - - - - -  '
        '-'  axle      line to the instant centre
         |
    -----*------------------------------------------- ground
         rear contact: origin of xF (forward) and zF (up)

With the wheelbase w and the height h of the common centre of mass of rider and bicycle,

    anti-squat [%] = 100·(zF/xF) / (h/w)

At 100 % the spring takes no part of the load transfer; below, the rear squats; above, it rises. Source:
value from memory of Foale, Motorcycle Handling and Chassis Design; the same as 100 over the squat ratio
of Cossalter, Motorcycle Dynamics (from memory). The wheel is taken as massless, and the bicycle does not
accelerate upward.

The line from axle to instant centre is normal to the axle's velocity v, whichever link carries the axle.
The run, along the unit vector f, passes the axle at the cog's pitch radius r, so F = axle + i·v·r/(f·v).
Only the slope zF/xF is needed. It stays finite where F is at infinity, because both coordinates are
multiplied by f·v/r. (f·v is the negative rate of chain growth.)
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.curves.chain import UpperRun
from frame3d.linkage.curves.ground import Ground
from frame3d.linkage.motion import Moving


def anti_squat(run: UpperRun, axle: Moving, ground: Ground, transfer: Array) -> Array:
    """Return the anti-squat, (k,), or (m, k) for m gears [%].

    Args:
        run: the chain's upper run.
        axle: the rear axle.
        ground: the ground under the wheels.
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
