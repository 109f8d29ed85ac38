"""The unsprung mass: the mass at the rear axle that the ground carries without the spring.

By virtual work, wheel force x d(travel) = shock force x d(stroke) + sum of m g dz. So a body counts by
the rise of its centre for each mm that the wheel rises: the wheel and parts on it fully, a link in part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import REAR_WHEEL, MassModel, mass_model
from frame3d.linkage import Linkage


@dataclass(frozen=True, slots=True)
class Unsprung:
    """Mass at the rear axle."""

    mass_kg: float
    said: str
    """Source of the figure, as a line of notes."""
    given: bool
    """Whether the file gives it."""


def unsprung(bike: Bike, linkage: Linkage, masses: MassModel | None = None) -> Unsprung:
    """Return the unsprung mass that the file gives, else what its parts and tubes come to.

    Args:
        bike: a solved bike.
        linkage: its rear suspension.
        masses: of the bicycle, where they are known already.
    """
    suspension = bike.spec.suspension
    if suspension is not None and suspension.unsprung_kg is not None:
        given = suspension.unsprung_kg
        return Unsprung(given, f"unsprung mass {given:g} kg (suspension.unsprung_kg)", True)
    model = mass_model(bike) if masses is None else masses
    wheel = {part.name: part.mass_kg for part in model.on(REAR_WHEEL)}
    end = linkage.at_strokes(np.array([linkage.full_stroke]))
    links = 0.0
    for part in model.on(*linkage.links):
        risen = float(end.body_point(part.on, complex(*part.at)).at[0].imag) - part.at[1]
        links += part.mass_kg * risen / linkage.full_travel
    total = sum(wheel.values()) + links
    named = ", ".join(f"{name} {kg:.2f}" for name, kg in wheel.items())
    return Unsprung(
        total,
        f"unsprung mass {total:.2f} kg estimated: {named}, the axle's share of the links and what "
        f"they carry {links:.2f}; suspension.unsprung_kg gives it",
        False,
    )
