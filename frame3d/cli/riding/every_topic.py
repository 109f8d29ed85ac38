"""All topics of the ride, on a terminal."""

from __future__ import annotations

from frame3d.cli.riding import damping, fit, slopes, springs, steering
from frame3d.ride.ride import Ride


def ridden(ride: Ride, width: int) -> str:
    """Return the tables of every topic, what is assumed, and what the file does not give."""
    parts: list[str] = []
    if ride.fit is not None:
        parts.append(fit.text(ride.fit, width))
    if ride.slopes is not None:
        parts.append(slopes.text(ride.slopes, width))
    if ride.springs is not None:
        parts.append(springs.text(ride.springs, width))
    if ride.damping is not None:
        parts.append(damping.text(ride.damping, width))
    if ride.steering is not None:
        parts.append(steering.text(ride.steering, width))
    for title, lines in (("Assumed", ride.assumptions), ("Left out", ride.left_out)):
        if lines:
            parts.append(f"{title}:\n" + "\n".join(f"- {line}" for line in lines))
    return "\n\n".join(part for part in parts if part)
