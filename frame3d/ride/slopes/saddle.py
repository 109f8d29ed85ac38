"""The saddle against gravity on a climb: how far behind the pedals the rider sits there."""

from __future__ import annotations

from cmath import exp, phase
from dataclasses import dataclass
from math import atan, degrees, pi, radians


@dataclass(frozen=True, slots=True)
class SaddleOnClimb:
    """The line from bottom bracket to saddle on a gradient, at the sag there."""

    gradient_percent: float
    seat_degrees: float
    """Its angle to the horizontal, as an effective seat tube angle; on the level, as the bike stands
    under its rider, the one that the trade gives."""
    behind: float
    """Horizontal distance of the saddle behind the bottom bracket, square to gravity [mm]."""


def saddle_on_climb(saddle: complex, pitch: float, percent: float) -> SaddleOnClimb:
    """Return where the saddle is against gravity.

    Args:
        saddle: its top as drawn, x + i·z from the bottom bracket [mm].
        pitch: of the frame against the ground, from as drawn, nose up positive [degrees].
        percent: the gradient.
    """
    there = saddle * exp(1j * (radians(pitch) + atan(percent / 100)))
    return SaddleOnClimb(percent, degrees(pi - phase(there)), -there.real)
