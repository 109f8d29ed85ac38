"""Dampers, natural frequencies and the energy of the springs."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class Damping:
    """Dampers, natural frequencies and the energy of the springs."""

    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""


def damping_of(bike: Bike) -> Damping | None:
    """Return the topic's figures; None where the file gives nothing for them."""
    return None
