"""The unsprung mass in front: wheel, brake, and the lower part of the fork."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.mass_model import FORK_LEGS, FRONT_WHEEL, MassModel


@dataclass(frozen=True, slots=True)
class FrontUnsprung:
    """Mass at the front axle that the ground carries past the fork's spring."""

    mass_kg: float
    said: str
    """Source of the figure, as a line of notes."""


def front_unsprung(masses: MassModel) -> FrontUnsprung:
    """Return the mass of front wheel, caliper and lower fork, by the bicycle's one mass model."""
    parts = masses.on(FRONT_WHEEL, FORK_LEGS)
    total = sum(part.mass_kg for part in parts)
    named = ", ".join(f"{part.name} {part.mass_kg:.2f}" for part in parts)
    return FrontUnsprung(total, f"unsprung mass in front {total:.2f} kg: {named}")
