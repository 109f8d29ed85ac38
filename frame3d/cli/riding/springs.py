"""Springs of fork and shock: sag, set-up for riders of other mass, on a terminal."""

from __future__ import annotations

from frame3d.ride.springs.of_bike import Springs


def text(part: Springs, width: int) -> str:
    """Return the topic's tables."""
    return ""
