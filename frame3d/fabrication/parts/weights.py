"""Masses of the parts on the list, from the bicycle's mass model."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import FORK_LEGS, FRONT_ASSEMBLY, PlacedMass, mass_model
from frame3d.fabrication.parts.item import Item, MassFrom
from frame3d.tubes.hardware import SHELL


def weighed(bike: Bike, items: Iterable[Item]) -> list[Item]:
    """Return the items with the mass of each, and where that is from.

    Lugs, plates and housings that tubes do not hold count as estimated: the model weighs them without
    their webs and sockets.
    """
    masses: dict[str, list[PlacedMass]] = {}
    for part in mass_model(bike).parts:
        masses.setdefault(part.name, []).append(part)
    found = []
    for item in items:
        parts = [part for name in item.weighs for part in masses.get(name, ())]
        if parts and item.count:
            kg = item.share * sum(part.mass_kg for part in parts) / item.count
            sources = {_source(bike, part) for part in parts}
            source: MassFrom = sources.pop() if len(sources) == 1 else "estimated"
            found.append(replace(item, grams=1000 * kg, mass_from=source))
        else:
            found.append(item)
    return found


def _source(bike: Bike, part: PlacedMass) -> MassFrom:
    """Return where a mass is from."""
    build = bike.spec.build
    fork = {} if bike.fork is None else bike.fork.frame.masses.parts
    if part.name in bike.frame.masses.parts or part.name in fork or part.name == SHELL:
        return "computed"
    if not part.known or part.name in {item.name for item in bike.pivots}:
        return "estimated"
    if build.front_assembly_kg is not None and part.on in (FRONT_ASSEMBLY, FORK_LEGS):
        own = build.fork is not None and build.fork.mass_kg is not None
        return "given" if own and part.name.startswith("fork") else "shared"
    return "given"
