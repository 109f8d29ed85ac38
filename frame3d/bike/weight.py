"""Mass and common centre of mass of rider and bicycle, from the file, the posture and the tubes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from frame3d.bike.bike import Bike
from frame3d.tubes.mass import Masses, masses_of

BIKE_MASS = 15.0
"""Assumed mass of a bicycle with rear suspension [kg]; common practice, no source."""
COM_HEIGHT = 1150.0
"""Assumed height of the centre of mass of rider and bicycle over the ground, where neither file nor
rider determine it [mm]; common practice, no source."""
REAR_SHARE = 0.6
"""Assumed share of the weight on the rear wheel, likewise; common practice, no source."""

SideView: TypeAlias = tuple[float, float]
"""(x, z) from the bottom bracket [mm]."""


@dataclass(frozen=True, slots=True)
class Weight:
    """Rider and bicycle together, as drawn: standing still on level ground, fork extended."""

    mass_kg: float | None
    """Mass [kg]; None where the file has no rider."""
    centre: SideView
    rear_share: float
    """Share of the weight on the rear wheel, 0 to 1."""
    assumptions: tuple[str, ...]


def weigh(bike: Bike, masses: Masses | None = None) -> Weight:
    """Return mass and centre of mass of rider and bicycle.

    The common centre of mass is that of the seated rider (see `rider`) and the bicycle: the tubes where
    they are (see `mass`), all other mass halfway between the axles. Values that the file gives under
    suspension, rear_share and centre_of_mass_height, take precedence.

    Args:
        bike: a solved bike.
        masses: of its tubes, if already computed.
    """
    spec, nodes = bike.spec, bike.nodes
    rider, bicycle = spec.build.rider, spec.build.bike_mass_kg
    suspension = spec.suspension
    share = None if suspension is None else suspension.rear_share
    height = None if suspension is None else suspension.centre_of_mass_height
    rear, front = nodes["rear_contact"], nodes["front_contact"]
    wheelbase = front[0] - rear[0]
    assumptions: list[str] = []
    if bicycle is None and rider is not None:
        assumptions.append(f"bicycle {BIKE_MASS:g} kg (common practice, no source)")
    bicycle = BIKE_MASS if bicycle is None else bicycle
    source = "common practice, no source"
    found = (REAR_SHARE, COM_HEIGHT)
    posture = None if bike.rider is None else bike.rider.seated
    if rider is not None and posture is not None:
        said, own = _bicycle(bike, bicycle, masses)
        person = (posture.centre_of_mass[0], posture.centre_of_mass[2])
        x, z = together([(rider.mass_kg, person), (bicycle, own)])
        found = ((front[0] - x) / wheelbase, z - rear[2])
        if share is None or height is None:
            assumptions += ["rider seated", said]
            source = "of rider and bicycle together"
    if share is None:
        share = found[0]
        assumptions.append(f"{100 * share:.0f} % of the weight on the rear wheel ({source})")
    if height is None:
        height = found[1]
        assumptions.append(f"centre of mass {height:.0f} mm over the ground ({source})")
    return Weight(
        None if rider is None else rider.mass_kg + bicycle,
        (front[0] - share * wheelbase, rear[2] + height),
        share,
        tuple(assumptions),
    )


def together(parts: Sequence[tuple[float, SideView]]) -> SideView:
    """Return the common centre of mass of parts, each (mass, own centre of mass)."""
    total = sum(mass for mass, _ in parts)
    return (
        sum(mass * at[0] for mass, at in parts) / total,
        sum(mass * at[1] for mass, at in parts) / total,
    )


def _bicycle(bike: Bike, mass_kg: float, masses: Masses | None) -> tuple[str, SideView]:
    """Return the assumption about the bicycle's own centre of mass, and its position [mm]."""
    rear, front = bike.nodes["rear_axle"], bike.nodes["front_axle"]
    middle = ((rear[0] + front[0]) / 2, (rear[2] + front[2]) / 2)
    tubes = masses_of(bike.frame) if masses is None else masses
    if tubes.centre is None:
        return "bicycle's mass halfway between the axles (common practice, no source)", middle
    frame = min(tubes.total / 1000, mass_kg)
    at = (tubes.centre[0], tubes.centre[2])
    return (
        f"tubes {frame:.1f} kg where they are, the rest of the bicycle halfway between the axles "
        "(common practice, no source)",
        together([(frame, at), (mass_kg - frame, middle)]),
    )
