"""How the bike steers: torques at the bar, and the front that drops."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class SteeringFigures:
    """How the bike steers: torques at the bar, and the front that drops."""

    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""


def steering_of(bike: Bike) -> SteeringFigures | None:
    """Return the topic's figures; None where the file gives nothing for them."""
    return None
