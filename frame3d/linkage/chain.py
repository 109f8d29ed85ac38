"""Chain: pitch circles, the upper run, its growth, and how it turns the cranks.

Pitch radius of N teeth: p / (2·sin(π/N)) with the chain's pitch p = 12.7 mm (ISO 606; ISO 9633 for
bicycle chains). The upper run is the outer tangent of both pitch circles on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.mechanism import Complex

PITCH: Final = 12.7
"""Of a bicycle chain, half an inch [mm]."""


def pitch_radius(teeth: int) -> float:
    """Of the circle through the chain's pins [mm]."""
    return float(PITCH / (2 * np.sin(np.pi / teeth)))


@dataclass(frozen=True, eq=False)
class UpperRun:
    """The pulling run of the chain, from cog to chainring, at k poses."""

    ring: float
    """Pitch radius of the chainring [mm]."""
    cog: float
    """Pitch radius of the cog [mm]."""
    on_ring: Complex
    """Tangent point on the chainring, (k,) complex, x + i·z [mm]."""
    on_cog: Complex
    """Tangent point on the cog, (k,)."""
    forward: Complex
    """Unit vector along it toward the chainring, (k,)."""

    @property
    def length(self) -> Array:
        """Between the tangent points, (k,) [mm]."""
        return np.abs(self.on_ring - self.on_cog)

    @property
    def angle(self) -> Array:
        """Its slope in the frame's axes, rising forward positive, (k,) [degrees]."""
        out: Array = np.degrees(np.angle(self.forward))
        return out


def upper_run(axle: Complex, chainring: int, cog: int, centre: complex = 0j) -> UpperRun:
    """The upper run at k places of the axle.

    With the unit normal n upward, n·(centre - axle) = cog radius - ring radius, so that the line touches
    both circles from above.

    Args:
        axle: (k,) complex [mm].
        chainring: its teeth.
        cog: its teeth.
        centre: of the chainring; the bottom bracket unless said otherwise [mm].
    """
    ring_radius, cog_radius = pitch_radius(chainring), pitch_radius(cog)
    away = centre - axle
    lean = np.arcsin((cog_radius - ring_radius) / np.abs(away))
    forward = away / np.abs(away) * np.exp(-1j * lean)
    up = 1j * forward
    return UpperRun(
        ring_radius, cog_radius, centre + ring_radius * up, axle + cog_radius * up, forward
    )


def growth(run: UpperRun) -> Array:
    """Chain growth: how much more chain lies between a tooth of the chainring and a tooth of the cog
    than at the first pose, (k,) [mm], with neither of them turning against the frame.

    The straight run's change, and what winds onto one wheel and off the other as the tangent points
    wander: ΔT + (ring radius - cog radius)·Δφ, φ being the run's slope. (Its derivative is the axle's
    velocity along the run, away from the chainring; derived here.)
    """
    slope = np.unwrap(np.angle(run.forward))
    out: Array = run.length - run.length[0] + (run.ring - run.cog) * (slope - slope[0])
    return out


def crank_rotation(run: UpperRun) -> Array:
    """Pedal kickback: how far the cranks turn backward as the suspension is compressed from the first
    pose with the chain taut and the rear wheel not turning against the frame, (k,) [degrees]: chain
    growth over the chainring's pitch radius.
    """
    out: Array = np.degrees(growth(run) / run.ring)
    return out
