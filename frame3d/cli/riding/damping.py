"""Dampers, natural frequencies and the energy of the springs, on a terminal."""

from __future__ import annotations

from frame3d.ride.damping.of_bike import Damping


def text(part: Damping, width: int) -> str:
    """Return the topic's tables."""
    return ""
