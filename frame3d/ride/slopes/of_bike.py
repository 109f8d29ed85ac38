"""Weight on the wheels on slopes and under brakes."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class Slopes:
    """Weight on the wheels on slopes and under brakes."""

    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""


def slopes_of(bike: Bike) -> Slopes | None:
    """Return the topic's figures; None where the file gives nothing for them."""
    return None
