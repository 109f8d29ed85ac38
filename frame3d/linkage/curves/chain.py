"""The chain: pitch circles, the upper run, chain growth and pedal kickback.

The pitch radius of N teeth is p / (2·sin(π/N)) with the chain's pitch p = 12.7 mm (ISO 606; ISO 9633 for
bicycle chains). The upper run is the upper outer tangent of both pitch circles:

            upper run
        .-----------------.
       ( o cog         .     .
        '-'           (   o   ) chainring
                       '  .  '

"Cog" is the driven wheel on the rear axle, "ring" the chainring.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.curves.tangent import tangent
from frame3d.parameters.sizes.chains import PITCH


def pitch_radius(teeth: ArrayLike) -> Array:
    """Return the radius of the circle through the chain's pins [mm], of the shape of `teeth`."""
    out: Array = PITCH / (2 * np.sin(np.pi / np.asarray(teeth)))
    return out


@dataclass(frozen=True, eq=False)
class UpperRun:
    """The pulling run of the chain, from cog to chainring, at k poses; for m gears at once, (m, k)."""

    axle: Complex
    """Centre of the cog, (k,) complex, x + i·z [mm]."""
    centre: complex
    """Centre of the chainring [mm]."""
    ring: Array
    """Pitch radius of the chainring, () [mm]."""
    cog: Array
    """Pitch radius of the cog, () or (m, 1) [mm]."""
    x: Array
    """x of the unit vector along the run toward the chainring, (k,) or (m, k)."""
    z: Array
    """z of the same vector."""
    length: Array
    """Distance between the tangent points, of the same shape [mm]."""

    @property
    def ends(self) -> Array:
        """Tangent points on the cog and on the chainring, (..., k, 2, 2): x, z of each [mm]."""
        out = np.empty((2, 2, *self.x.shape))
        np.subtract(self.axle.real, self.cog * self.z, out=out[0, 0])
        np.add(self.axle.imag, self.cog * self.x, out=out[0, 1])
        np.subtract(self.centre.real, self.ring * self.z, out=out[1, 0])
        np.add(self.centre.imag, self.ring * self.x, out=out[1, 1])
        return np.moveaxis(out, (0, 1), (-2, -1))

    @cached_property
    def slope(self) -> Array:
        """Slope of the run in the frame's axes, rising forward positive [rad].

        It is the slope of the line of centres less the run's angle to that line.
        """
        away = self.centre - self.axle
        out: Array = np.angle(away) - np.arcsin((self.cog - self.ring) / np.abs(away))
        return out

    @property
    def angle(self) -> Array:
        """Slope of the run in the frame's axes [degrees]."""
        out: Array = self.slope * np.degrees(1.0)
        return out


def upper_run(axle: Complex, chainring: int, cog: ArrayLike, centre: complex = 0j) -> UpperRun:
    """Return the upper run at k positions of the axle.

    With the unit normal n upward, n·(centre - axle) = cog radius - ring radius: the line touches both
    circles from above.

    Args:
        axle: (k,) complex [mm].
        chainring: number of teeth.
        cog: number of teeth; for m cogs, (m, 1).
        centre: centre of the chainring [mm]; by default the bottom bracket.
    """
    ring_radius, cog_radius = pitch_radius(chainring), pitch_radius(cog)
    x, z, length = tangent(centre - axle, cog_radius - ring_radius)
    return UpperRun(
        axle=axle, centre=centre, ring=ring_radius, cog=cog_radius, x=x, z=z, length=length
    )


def growth(run: UpperRun, since: UpperRun | None = None) -> Array:
    """Return the chain growth [mm], of the shape of `run.length`.

    It is the additional length of chain between a tooth of the chainring and a tooth of the cog,
    compared with the first pose of `since` (or of `run`), where neither wheel rotates against the frame:
    the change of the straight run, and of what is wound on as the tangent points move,
    ΔT + (ring radius - cog radius)·Δφ, with φ the run's slope. (Its derivative is the axle's velocity
    along the run, away from the chainring; derived here.)
    """
    out: Array = _wound(run) - _wound(run if since is None else since)[..., :1]
    return out


def _wound(run: UpperRun) -> Array:
    """Return the length of the run plus the chain wound on, up to a constant [mm]."""
    out: Array = run.length + (run.ring - run.cog) * run.slope
    return out


def crank_rotation(run: UpperRun, grown: Array) -> Array:
    """Return the pedal kickback [degrees]: chain growth over the chainring's pitch radius.

    It is the backward rotation of the cranks while the suspension is compressed, with a taut chain and
    the rear wheel not rotating against the frame, from the pose at which `grown` [mm] is 0.
    """
    out: Array = grown * np.degrees(1 / run.ring)
    return out
