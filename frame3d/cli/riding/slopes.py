"""Weight on the wheels on slopes and under brakes, on a terminal."""

from __future__ import annotations

from frame3d.ride.slopes.of_bike import Slopes


def text(part: Slopes, width: int) -> str:
    """Return the topic's tables."""
    return ""
