"""How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk, on a terminal."""

from __future__ import annotations

from frame3d.ride.fit.of_bike import Fit


def text(part: Fit, width: int) -> str:
    """Return the topic's tables."""
    return ""
