"""Anti-squat: how much of the load that accelerating shifts to the rear is carried by links and chain.

F is where the upper run of the chain meets the line from the rear axle to the instant centre of the
axle's link. In coordinates from the rear contact, along the ground and up, with the wheelbase w and the
height h of the common centre of mass of rider and bicycle,

    anti-squat [%] = 100·(zF/xF) / (h/w)

100 %: the spring feels nothing; below, the rear squats; above, it rises. Source: value from memory of
Foale, Motorcycle Handling and Chassis Design; the same as 100 over the squat ratio of Cossalter,
Motorcycle Dynamics (from memory). The wheel counts as massless, the bicycle does not accelerate upward.

The line axle to instant centre is square to the axle's velocity, whatever link carries it, and F is
computed in homogeneous coordinates, so that neither need be finite.
"""

from __future__ import annotations

import numpy as np

from frame3d.linkage.chain import UpperRun
from frame3d.linkage.ground import Ground
from frame3d.linkage.linear import Array
from frame3d.linkage.motion import Moving
from frame3d.linkage.rows import Complex


def anti_squat(run: UpperRun, axle: Moving, ground: Ground, centre_of_mass: Complex) -> Array:
    """Anti-squat, (k,), or in m gears (m, k) [%].

    Args:
        run: the chain's upper run.
        axle: the rear axle.
        ground: under the wheels.
        centre_of_mass: of rider and bicycle, in the frame's axes, (k,) or (1,) complex [mm].
    """
    point, swing = ground.local(axle.at), ground.directed(1j * axle.rate)
    chain = ground.directed(run.forward)
    # Lines through p along d: F = (d1·c2 - d2·c1) / (d1 x d2), with c = p x d. The run passes the cog's
    # centre, which is p too, at the cog's radius.
    c1, c2 = _cross(point, swing), _cross(point, chain) - run.cog
    scale = 100 * ground.wheelbase / ground.local(centre_of_mass).imag
    with np.errstate(all="ignore"):
        rise = chain.imag * c1 - swing.imag * c2  # F times d1 x d2; only its slope is needed
        run_out = chain.real * c1 - swing.real * c2
        out: Array = rise / run_out * scale
    return out


def _cross(a: Complex, b: Complex) -> Array:
    out: Array = a.real * b.imag - a.imag * b.real
    return out
