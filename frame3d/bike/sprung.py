"""The rear spring under its load: load, sag, and the spring that gives the wanted sag."""

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
    assumptions: tuple[str, ...]
    notes: tuple[Note, ...]
    """Warnings to the builder about the spring on this linkage."""


def sprung_of(bike: Bike, linkage: Linkage) -> Sprung:
    """Return the rear spring of a solved bike.

    Raises:
        GeometryError: a rate or pressure left open cannot be found.
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


def _rest(linkage: Linkage, carried: float | None, asked: Sag | None, found: Sag | None) -> float:
    """Return the stroke at which the shock rests under its load [mm].

    The full stroke where the spring does not carry the load; the asked one where the load is not known;
    0 where neither is.
    """
    if found is not None:
        return found.stroke
    if carried is not None:
        return linkage.full_stroke
    return 0.0 if asked is None else asked.stroke


def _of_air(spring: Spring | None, rest: float) -> tuple[str, ...]:
    """Return the assumptions about an air spring, in words; none for other springs."""
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
    """Return the spring, with a rate or pressure left open found so that it rests at the asked sag.

    Raises:
        GeometryError: the rate or pressure cannot be found.
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
