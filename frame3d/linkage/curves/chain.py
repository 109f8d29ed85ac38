"""Pitch circles, the upper run, its growth, and how it turns the cranks.

Pitch radius of N teeth: p / (2·sin(π/N)) with the chain's pitch p = 12.7 mm (ISO 606; ISO 9633 for
bicycle chains). The upper run is the outer tangent of both pitch circles on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from frame3d.linkage.curves.tangent import tangent
from frame3d.linkage.linear import Array
from frame3d.linkage.rows import Complex

PITCH: Final = 12.7
"""Of a bicycle chain, half an inch [mm]."""


def pitch_radius(teeth: ArrayLike) -> Array:
    """Of the circle through the chain's pins, of the shape of `teeth` [mm]."""
    out: Array = PITCH / (2 * np.sin(np.pi / np.asarray(teeth)))
    return out


@dataclass(frozen=True, eq=False)
class UpperRun:
    """The pulling run of the chain, from cog to chainring, at k poses; in m gears at once, (m, k)."""

    axle: Complex
    """The cog's centre, (k,) complex, x + i·z [mm]."""
    centre: complex
    """The chainring's [mm]."""
    ring: Array
    """Pitch radius of the chainring, () [mm]."""
    cog: Array
    """Pitch radius of the cog, () or (m, 1) [mm]."""
    x: Array
    """Of the unit vector along it toward the chainring, (k,) or (m, k)."""
    z: Array
    """Of the same."""
    length: Array
    """Between the tangent points, of the same shape [mm]."""

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
        """Its slope in the frame's axes, rising forward positive [rad]: the slope of the line of the
        centres, less the run's lean against it.
        """
        away = self.centre - self.axle
        out: Array = np.angle(away) - np.arcsin((self.cog - self.ring) / np.abs(away))
        return out

    @property
    def angle(self) -> Array:
        """The same in degrees."""
        out: Array = self.slope * np.degrees(1.0)
        return out


def upper_run(axle: Complex, chainring: int, cog: ArrayLike, centre: complex = 0j) -> UpperRun:
    """The upper run at k places of the axle.

    With the unit normal n upward, n·(centre - axle) = cog radius - ring radius, so that the line touches
    both circles from above.

    Args:
        axle: (k,) complex [mm].
        chainring: its teeth.
        cog: its teeth; or those of m cogs, (m, 1).
        centre: of the chainring; the bottom bracket unless said otherwise [mm].
    """
    ring_radius, cog_radius = pitch_radius(chainring), pitch_radius(cog)
    x, z, length = tangent(centre - axle, cog_radius - ring_radius)
    return UpperRun(
        axle=axle, centre=centre, ring=ring_radius, cog=cog_radius, x=x, z=z, length=length
    )


def growth(run: UpperRun, since: UpperRun | None = None) -> Array:
    """Chain growth: how much more chain lies between a tooth of the chainring and a tooth of the cog
    than at the first pose of `since`, or of `run` itself [mm], with neither of them turning against the
    frame.

    The straight run's change, and what winds onto one wheel and off the other as the tangent points
    wander: ΔT + (ring radius - cog radius)·Δφ, φ being the run's slope. (Its derivative is the axle's
    velocity along the run, away from the chainring; derived here.)
    """
    out: Array = _wound(run) - _wound(run if since is None else since)[..., :1]
    return out


def _wound(run: UpperRun) -> Array:
    """Length of the run, and of what its tangent points wind on [mm], but for a constant."""
    out: Array = run.length + (run.ring - run.cog) * run.slope
    return out


def crank_rotation(run: UpperRun, grown: Array) -> Array:
    """Pedal kickback: how far the cranks turn backward as the suspension is compressed from the pose
    that `grown` counts from, with the chain taut and the rear wheel not turning against the frame
    [degrees]: chain growth over the chainring's pitch radius.
    """
    out: Array = grown * np.degrees(1 / run.ring)
    return out
