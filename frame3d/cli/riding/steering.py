"""How the bike steers: torques at the bar, and the front that drops, on a terminal."""

from __future__ import annotations

from frame3d.ride.steering.of_bike import SteeringFigures


def text(part: SteeringFigures, width: int) -> str:
    """Return the topic's tables."""
    return ""
