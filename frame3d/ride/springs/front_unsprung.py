"""The unsprung mass in front: wheel, and what of the fork goes up and down with it."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike


@dataclass(frozen=True, slots=True)
class FrontUnsprung:
    """Mass at the front axle that the ground carries past the fork's spring."""

    mass_kg: float
    said: str
    """Source of the figure, as a line of notes."""


def front_unsprung(bike: Bike) -> FrontUnsprung:
    """Return the mass of front wheel and lower fork."""
    return FrontUnsprung(3.0, "TODO")
