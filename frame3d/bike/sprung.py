"""What the rear spring carries, where it settles, and which spring settles where it should."""

from __future__ import annotations

from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.bike.unsprung import Unsprung, unsprung
from frame3d.bike.weight import Weight, weigh
from frame3d.errors import GeometryError, Note
from frame3d.linkage import (
    Air,
    Coil,
    Linkage,
    Sag,
    Spring,
    equilibrium_sag,
    shock_load,
    sold_coils,
    spring_of,
    target_sag,
    wheel_load,
)
from frame3d.linkage.curves.remarks import rate_falls
from frame3d.linkage.curves.sag import SoldCoil
from frame3d.tubes.mass import masses_of


@dataclass(frozen=True)
class Sprung:
    """A rear spring under its rider, standing still on level ground."""

    weight: Weight
    """Of rider and bicycle."""
    load: float | None
    """Vertical load at the rear wheel under the rider [N]; None where no mass is given."""
    unsprung: Unsprung
    """What of it the spring does not carry."""
    carried: float | None
    """Vertical load at the rear wheel that the spring carries: `load` less the unsprung weight [N]."""
    asked: Sag | None
    """Where the file asks the sag to be."""
    found: Sag | None
    """Where the spring carries the load."""
    spring: Spring | None
    """As the file gives it, what it leaves open settled by the asked sag; ridden about its rest."""
    sold: tuple[SoldCoil, ...]
    """Coils to be bought around it."""
    assumptions: tuple[str, ...]
    notes: tuple[Note, ...]
    """What a builder should know of the spring on this linkage."""


def sprung_of(bike: Bike, linkage: Linkage) -> Sprung:
    """Return the rear spring of a solved bike.

    Raises:
        GeometryError: what the spring leaves open cannot be found.
    """
    spec, suspension = bike.spec, bike.spec.suspension
    asked = None
    if suspension is not None and suspension.sag is not None:
        asked = target_sag(linkage, suspension.sag, suspension.sag_of)
    masses = masses_of(bike.frame)
    weight = weigh(bike, masses)
    hanging = unsprung(bike, linkage, masses)
    load = carried = None
    if weight.mass_kg is not None:
        load = wheel_load(weight.mass_kg, weight.rear_share)
        carried = load - wheel_load(hanging.mass_kg, 1.0)
    spring = _spring(bike, linkage, carried, asked)
    found = None if spring is None or carried is None else equilibrium_sag(linkage, spring, carried)
    rest = _rest(linkage, carried, asked, found)
    sold: tuple[SoldCoil, ...] = ()
    notes: tuple[Note, ...] = ()
    if spring is not None:
        spring = spring.resting_at(rest)
        if isinstance(spring, Coil) and carried is not None:
            sold = sold_coils(linkage, spring, carried)
        falls = rate_falls(linkage, spring, rest)
        if falls is not None:
            notes = (spec.note("warning", falls, "suspension.points"),)
    return Sprung(
        weight=weight,
        load=load,
        unsprung=hanging,
        carried=carried,
        asked=asked,
        found=found,
        spring=spring,
        sold=sold,
        assumptions=(*weight.assumptions, hanging.said, *_of_air(spring, rest)),
        notes=notes,
    )


def with_spring_notes(bike: Bike) -> Bike:
    """Return the bike with what a builder should know of its rear spring among its notes.

    A spring that the file leaves open and nothing settles has none: that is no fault of the geometry.
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


def _rest(linkage: Linkage, carried: float | None, asked: Sag | None, found: Sag | None) -> float:
    """The stroke at which the shock stands still under its load [mm]; 0 where nothing tells it."""
    if found is not None:
        return found.stroke
    if carried is not None:
        return linkage.full_stroke
    return 0.0 if asked is None else asked.stroke


def _of_air(spring: Spring | None, rest: float) -> tuple[str, ...]:
    """Return what is assumed of an air spring."""
    if not isinstance(spring, Air):
        return ()
    exponent = spring.chambers[0].exponent
    return (
        "air as warm as outside at rest, so isothermal for pressure and sag; ridden, pressure x "
        f"volume^{exponent:g} constant about {rest:.1f} mm of stroke, where it rests",
    )


def _spring(
    bike: Bike, linkage: Linkage, carried: float | None, asked: Sag | None
) -> Spring | None:
    """Return the spring; what it leaves open settled so that it rests at the asked sag.

    Raises:
        GeometryError: it cannot be found.
    """
    suspension = bike.spec.suspension
    if suspension is None or suspension.spring is None:
        return None
    force = stroke = None
    if carried is not None and asked is not None:
        force, stroke = shock_load(linkage, carried, asked.stroke), asked.stroke
    try:
        return spring_of(suspension.spring, force, stroke)
    except ValueError as error:
        raise GeometryError(
            bike.spec.fault(
                "under-determined",
                "suspension.spring",
                str(error),
                "give the rate or pressure, or build.rider.mass_kg and suspension.sag"
                if force is None
                else "give the rate or pressure, or check the sag, the chambers and "
                f"suspension.unsprung_kg: the spring carries {carried:.0f} N at the wheel",
            )
        ) from None
