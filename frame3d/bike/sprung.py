"""The rear spring under its load: load, sag, and the spring that gives the wanted sag."""

from __future__ import annotations

from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.bike.loaded_spring import LoadedSpring, SpringPlace, loaded_spring
from frame3d.bike.mass_model import mass_model
from frame3d.bike.rider_share import rear_share_of_rider
from frame3d.bike.unsprung import Unsprung, unsprung
from frame3d.bike.weight import Weight, weigh
from frame3d.errors import GeometryError, Note
from frame3d.linkage import Linkage, Sag, Spring, wheel_load
from frame3d.linkage.curves.remarks import rate_falls
from frame3d.linkage.curves.sag import SoldCoil


@dataclass(frozen=True)
class Sprung:
    """A rear spring under its rider, at rest on level ground."""

    weight: Weight
    """Weight of rider and bicycle."""
    load: float | None
    """Vertical load at the rear wheel under the rider [N]; None where no mass is given."""
    unsprung: Unsprung
    """Unsprung mass, whose weight the spring does not carry."""
    carried: float | None
    """Vertical load at the rear wheel that the spring carries: `load` less the unsprung weight [N]."""
    asked: Sag | None
    """The sag that the file asks for."""
    found: Sag | None
    """The sag at which the spring carries the load."""
    spring: Spring | None
    """The file's spring, as it acts when ridden; a rate or pressure left open is found from `asked`."""
    sold: tuple[SoldCoil, ...]
    """The sold coils of the next lower and higher rate."""
    loaded: LoadedSpring
    """The spring where it works, with what a measured pair made of it."""
    assumptions: tuple[str, ...]
    notes: tuple[Note, ...]
    """Warnings to the builder about the spring on this linkage."""


def sprung_of(bike: Bike, linkage: Linkage) -> Sprung:
    """Return the rear spring of a solved bike.

    Raises:
        GeometryError: a rate or pressure left open cannot be found, or a measured pair and the model
            cannot be compared.
    """
    spec, suspension = bike.spec, bike.spec.suspension
    masses = mass_model(bike)
    weight = weigh(bike, masses)
    hanging = unsprung(bike, linkage, masses)
    load = carried = None
    if weight.mass_kg is not None:
        load = wheel_load(weight.mass_kg, weight.rear_share)
        carried = load - wheel_load(hanging.mass_kg, 1.0)
    rider = spec.build.rider
    loaded = loaded_spring(
        spec,
        SpringPlace(
            path="suspension.spring",
            sag_path="suspension.sag",
            unsprung_path="suspension.unsprung_kg",
            given=None if suspension is None else suspension.spring,
            guide=linkage,
            sag=None if suspension is None else suspension.sag,
            sag_of="stroke" if suspension is None else suspension.sag_of,
            carried=carried,
            rider_kg=None if rider is None else rider.mass_kg,
            rider_share=rear_share_of_rider(bike, weight),
        ),
    )
    notes = loaded.notes
    if loaded.spring is not None:
        falls = rate_falls(linkage, loaded.spring, loaded.rest)
        if falls is not None:
            notes = (*notes, spec.note("warning", falls, "suspension.points"))
    return Sprung(
        weight=weight,
        load=load,
        unsprung=hanging,
        carried=carried,
        asked=loaded.place.asked,
        found=loaded.found,
        spring=loaded.spring,
        sold=loaded.sold,
        loaded=loaded,
        assumptions=(*weight.assumptions, hanging.said, *loaded.assumptions),
        notes=notes,
    )


def with_spring_notes(bike: Bike) -> Bike:
    """Return the bike with the warnings about its rear spring added to its notes.

    Nothing is added where a rate or pressure left open cannot be found: the geometry is still right.
    """
    if bike.linkage is None or bike.spec.suspension is None:
        return bike
    if bike.spec.suspension.spring is None:
        return bike
    try:
        found = sprung_of(bike, bike.linkage).notes
    except GeometryError:
        return bike
    return replace(bike, notes=(*bike.notes, *found))
