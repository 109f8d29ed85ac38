"""How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class Fit:
    """How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""

    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""


def fit_of(bike: Bike) -> Fit | None:
    """Return the topic's figures; None where the file gives nothing for them."""
    return None
