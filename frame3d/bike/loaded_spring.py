"""A spring of the file under its load at rest, at the rear or in front: rate or pressure, and sag."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from frame3d.bike.rider_share import load_under
from frame3d.errors import GeometryError, Note
from frame3d.linkage import (
    Air,
    Coil,
    Sag,
    Spring,
    equilibrium_sag,
    shock_load,
    sold_coils,
    spring_of,
    target_sag,
)
from frame3d.linkage.curves.calibration import Calibration, calibration_of
from frame3d.linkage.curves.guide import Guide
from frame3d.linkage.curves.sag import SoldCoil
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.springs import SpringSpec


@dataclass(frozen=True)
class SpringPlace:
    """Where a spring works, and what it carries there."""

    path: str
    """Dotted path of the spring in the file."""
    sag_path: str
    """Dotted path of the sag that the file asks for."""
    unsprung_path: str
    """Dotted path of the mass that the spring does not carry."""
    given: SpringSpec | None
    guide: Guide
    sag: float | None
    """Share that the file asks for, 0 to 1."""
    sag_of: Literal["stroke", "travel"]
    """What the sag is a share of."""
    carried: float | None
    """Vertical load at the wheel that the spring carries, under the file's rider [N]."""
    rider_kg: float | None
    """Mass of the file's rider."""
    rider_share: float
    """Share of a rider's weight on this wheel, 0 to 1."""
    sold_step: int = 25
    """Step between the rates of sold coils [lb/in]."""

    @property
    def asked(self) -> Sag | None:
        """The sag that the file asks for."""
        return None if self.sag is None else target_sag(self.guide, self.sag, self.sag_of)

    def carried_under(self, rider_kg: float) -> float | None:
        """Return the vertical load that the spring carries under a rider of another mass [N]."""
        if self.carried is None or self.rider_kg is None:
            return None
        return load_under(self.carried, self.rider_kg, rider_kg, self.rider_share)


@dataclass(frozen=True)
class LoadedSpring:
    """A spring of the file under its rider, at rest on level ground."""

    place: SpringPlace
    spring: Spring | None
    """As it acts when ridden about its rest; a rate or pressure left open comes from the asked sag."""
    found: Sag | None
    """The sag at which the spring carries the load."""
    rest: float
    """Stroke at which it rests [mm]."""
    sold: tuple[SoldCoil, ...]
    """The sold coils of the next lower and higher rate."""
    calibration: Calibration | None
    """What a measured pair of pressure and sag made of an air spring's model."""
    assumptions: tuple[str, ...]
    notes: tuple[Note, ...]


def loaded_spring(spec: FrameSpec, place: SpringPlace) -> LoadedSpring:
    """Return a spring of the file under its load.

    Raises:
        GeometryError: a rate or pressure left open cannot be found, or a measured pair and the model
            cannot be compared.
    """
    asked, carried, guide = place.asked, place.carried, place.guide
    calibration = _calibration(spec, place)
    spring = _spring(spec, place, asked, calibration)
    found = None if spring is None or carried is None else equilibrium_sag(guide, spring, carried)
    rest = _rest(guide, carried, asked, found)
    sold: tuple[SoldCoil, ...] = ()
    if spring is not None:
        spring = spring.resting_at(rest)
        if isinstance(spring, Coil) and carried is not None:
            sold = sold_coils(guide, spring, carried, place.sold_step)
    return LoadedSpring(
        place=place,
        spring=spring,
        found=found,
        rest=rest,
        sold=sold,
        calibration=calibration,
        assumptions=(*_of_air(spring, rest), *_of_measured(calibration)),
        notes=(*_unusual(spec, place.path, calibration), *_too_high(spec, place, spring)),
    )


def _rest(guide: Guide, carried: float | None, asked: Sag | None, found: Sag | None) -> float:
    """Return the stroke at which the spring rests under its load [mm].

    The full stroke where it does not carry the load; the asked one where the load is not known; 0 where
    neither is.
    """
    if found is not None:
        return found.stroke
    if carried is not None:
        return guide.full_stroke
    return 0.0 if asked is None else asked.stroke


def _calibration(spec: FrameSpec, place: SpringPlace) -> Calibration | None:
    """Return the measured pair against the model; None without a pair, or without a load.

    Raises:
        GeometryError: they cannot be compared.
    """
    air = None if place.given is None else place.given.air
    if air is None or air.measured is None:
        return None
    load = place.carried_under(air.measured.rider_mass_kg)
    if load is None:
        return None
    stroke = air.measured.sag * place.guide.full_stroke
    try:
        return calibration_of(air, shock_load(place.guide, load, stroke), stroke)
    except ValueError as error:
        raise GeometryError(
            spec.fault(
                "impossible",
                f"{place.path}.air.measured",
                str(error),
                "check the pair's pressure, sag and rider, and the chambers",
            )
        ) from None


def _spring(
    spec: FrameSpec, place: SpringPlace, asked: Sag | None, calibration: Calibration | None
) -> Spring | None:
    """Return the spring, with a rate or pressure left open found so that it rests at the asked sag.

    Raises:
        GeometryError: the rate or pressure cannot be found.
    """
    if place.given is None:
        return None
    force = stroke = None
    if place.carried is not None and asked is not None:
        force, stroke = shock_load(place.guide, place.carried, asked.stroke), asked.stroke
    factor = 1.0 if calibration is None else calibration.factor
    try:
        return spring_of(place.given, force, stroke, factor)
    except ValueError as error:
        raise GeometryError(
            spec.fault(
                "under-determined",
                place.path,
                str(error),
                f"give the rate or pressure, or build.rider.mass_kg and {place.sag_path}"
                if force is None
                else "give the rate or pressure, or check the sag, the chambers and "
                f"{place.unsprung_path}: the spring carries {place.carried:.0f} N at the wheel",
            )
        ) from None


def _of_air(spring: Spring | None, rest: float) -> tuple[str, ...]:
    """Return the assumptions about an air spring, in words; none for other springs."""
    if not isinstance(spring, Air):
        return ()
    exponent = spring.chambers[0].exponent
    return (
        "air as warm as outside at rest, so isothermal for pressure and sag; ridden, pressure x "
        f"volume^{exponent:g} constant about {rest:.1f} mm of stroke, where it rests",
    )


def _of_measured(calibration: Calibration | None) -> tuple[str, ...]:
    """Return what a measured pair of pressure and sag made of the model, in words."""
    if calibration is None:
        return ()
    c = calibration
    alone = "no pressure" if c.modelled_bar is None else f"{c.modelled_bar:.1f} bar"
    return (
        f"force of the air spring {c.factor:.2f} times that of the chambers as given: measured "
        f"{c.measured_bar:.1f} bar at {c.stroke:.1f} mm of stroke under a rider of {c.rider_kg:g} kg, "
        f"where the model alone asks for {alone}",
    )


def _unusual(spec: FrameSpec, path: str, calibration: Calibration | None) -> tuple[Note, ...]:
    """Return a warning where a measured pair is far from the model."""
    if calibration is None or calibration.is_usual:
        return ()
    return (
        spec.note(
            "warning",
            f"the measured pressure and sag ask for {calibration.factor:.2f} times the force of the "
            "chambers as given: check the pair's pressure, sag and rider, piston and volumes",
            f"{path}.air.measured",
        ),
    )


def _too_high(spec: FrameSpec, place: SpringPlace, spring: Spring | None) -> tuple[Note, ...]:
    """Return a warning where the sag asks for more pressure than the file allows."""
    air = None if place.given is None else place.given.air
    if air is None or air.highest_pressure_bar is None or not isinstance(spring, Air):
        return ()
    if round(spring.pressure_bar, 1) <= air.highest_pressure_bar:
        return ()
    return (
        spec.note(
            "warning",
            f"the sag asks for {spring.pressure_bar:.1f} bar, above the highest pressure of "
            f"{air.highest_pressure_bar:g} bar: more sag, or another spring",
            f"{place.path}.air.highest_pressure_bar",
        ),
    )
