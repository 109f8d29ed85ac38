"""The set-up of one spring over the rider's mass: pressure or rate for the wanted sag, and sold coils.

The rider's posture, and so the share of their weight on either wheel, stays; the bicycle's mass stays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from frame3d.bike.loaded_spring import LoadedSpring, SpringPlace
from frame3d.linkage import Coil, Sag, equilibrium_sag, shock_load, sold_coils
from frame3d.linkage.curves.springs import Air, air_of, coil_of
from frame3d.parameters.models.springs import AirSpec, CoilSpec
from frame3d.ride.springs import gauge
from frame3d.ride.springs.reducers import (
    ForceCurve,
    ReducerRow,
    above,
    force_curves,
    reducer_rows,
)

STEP = 5
"""Step of the riders' masses [kg]."""
LEAST, MOST = 55, 110
"""The riders' masses of the table [kg], unless the file's own rider is lighter or heavier."""

End = Literal["rear", "fork"]


@dataclass(frozen=True, slots=True)
class SoldRate:
    """A coil that is sold, and the sag on it."""

    rate_lb_in: int
    rate_n_mm: float
    sag: Sag | None
    """None where the spring does not carry the rider."""


@dataclass(frozen=True, slots=True)
class RiderRow:
    """What the spring asks for under a rider of one mass."""

    rider_kg: float
    own: bool
    """Whether this is the rider of the file."""
    load_n: float
    """Vertical load that the spring carries at the wheel, in whole newtons."""
    pressure_bar: float | None = None
    """For the wanted sag, in whole tenths."""
    pressure_psi: int | None = None
    above_limit: bool = False
    """Whether the pressure is above the highest that the file allows."""
    rate_n_mm: float | None = None
    """For the wanted sag, in whole tenths."""
    rate_lb_in: int | None = None
    sold: tuple[SoldRate, ...] = ()
    """The sold coils next below and next above that rate."""
    sag: Sag | None = None
    """On a spring that is what it is: a table, or where the file asks for no sag."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What a measured pair of pressure and sag made of the model."""

    rider_kg: float
    pressure_bar: float
    stroke: float
    """The measured sag along the spring [mm]."""
    stroke_share: float
    """The same as a share of the full stroke, 0 to 1."""
    force_factor: float
    """Force of the spring over that of its chambers as given, in whole hundredths."""
    modelled_bar: float | None
    """Pressure that the model alone would have asked for, in whole tenths; None where none does."""


@dataclass(frozen=True, slots=True)
class EndSetUp:
    """The spring at one end of the bike, and how it is set up."""

    end: End
    kind: Literal["air", "coil", "table"]
    full_stroke: float
    """Of the shock, or along the fork's stanchions [mm]."""
    full_travel: float
    """Of the wheel, vertical [mm]."""
    sag: Sag | None
    """The wanted sag; where the file asks for none, the sag found."""
    wanted: bool
    """Whether the file asks for that sag."""
    found: Sag | None
    """Sag under the file's own rider on the spring as the file gives it."""
    pressure_bar: float | None
    """Pressure of the spring under the file's own rider, as set or found, in whole tenths."""
    pressure_psi: int | None
    rate_n_mm: float | None
    """Rate of the coil, as given or found, in whole tenths."""
    rate_lb_in: int | None
    highest_pressure_bar: float | None
    rows: tuple[RiderRow, ...]
    reducers: tuple[ReducerRow, ...]
    measured: Measured | None
    curves: tuple[ForceCurve, ...]


def rider_masses(own_kg: float) -> tuple[float, ...]:
    """Return the masses of the table, in order: steps of 5 kg, the rider's own among them.

    As many steps for every rider; for one below 55 or above 110 kg they move, three steps beyond.
    """
    first = LEAST
    if own_kg < LEAST:
        first = max(STEP, math.floor(own_kg / STEP) * STEP - 3 * STEP)
    elif own_kg > MOST:
        first = math.ceil(own_kg / STEP) * STEP + 3 * STEP - (MOST - LEAST)
    steps = {float(kg) for kg in range(first, first + MOST - LEAST + STEP, STEP)}
    return tuple(sorted(steps | {own_kg}))


def set_up_of(end: End, loaded: LoadedSpring) -> EndSetUp | None:
    """Return the set-up of a spring; None where the file gives none."""
    place, spring = loaded.place, loaded.spring
    given = place.given
    if given is None or spring is None:
        return None
    asked = place.asked
    sag = loaded.found if asked is None else asked
    air = spring if isinstance(spring, Air) else None
    coil = spring if isinstance(spring, Coil) else None
    return EndSetUp(
        end=end,
        kind="air" if air is not None else "coil" if coil is not None else "table",
        full_stroke=place.guide.full_stroke,
        full_travel=place.guide.full_travel,
        sag=sag,
        wanted=asked is not None,
        found=loaded.found,
        pressure_bar=None if air is None else gauge.bar(air.chambers[0].pressure),
        pressure_psi=None if air is None else gauge.psi(air.chambers[0].pressure),
        rate_n_mm=None if coil is None else gauge.newton_a_mm(coil.k),
        rate_lb_in=None if coil is None else gauge.pounds_an_inch(coil.k),
        highest_pressure_bar=None if given.air is None else given.air.highest_pressure_bar,
        rows=_rows(loaded),
        reducers=() if given.air is None or sag is None else reducer_rows(loaded, sag),
        measured=_measured(loaded),
        curves=force_curves(loaded, sag),
    )


def _rows(loaded: LoadedSpring) -> tuple[RiderRow, ...]:
    own = loaded.place.rider_kg
    if own is None or loaded.place.carried is None:
        return ()
    return tuple(_row(loaded, kg, own=kg == own) for kg in rider_masses(own))


def _row(loaded: LoadedSpring, rider_kg: float, *, own: bool) -> RiderRow:
    """Return what the spring asks for under a rider of another mass."""
    place, given, spring = loaded.place, loaded.place.given, loaded.spring
    load = place.carried_under(rider_kg)
    assert given is not None
    assert spring is not None
    assert load is not None
    row = RiderRow(rider_kg, own, float(round(load)))
    asked = place.asked
    if asked is None or given.table is not None:
        return replace(row, sag=equilibrium_sag(place.guide, spring, load))
    force = shock_load(place.guide, load, asked.stroke)
    if given.air is not None:
        return _of_air(row, given.air, force, asked.stroke, loaded)
    assert given.coil is not None
    return _of_coil(row, given.coil, force, asked.stroke, place, load)


def _of_air(
    row: RiderRow, spec: AirSpec, force: float, stroke: float, loaded: LoadedSpring
) -> RiderRow:
    """Return the row with the pressure for a force [N] at a stroke [mm]; as it is if none gives it."""
    factor = 1.0 if loaded.calibration is None else loaded.calibration.factor
    open_ = spec.model_copy(update={"pressure_bar": None, "pressure_psi": None})
    try:
        pressure = air_of(open_, force, stroke, factor).chambers[0].pressure
    except ValueError:
        return row
    shown = gauge.bar(pressure)
    return replace(
        row,
        pressure_bar=shown,
        pressure_psi=gauge.psi(pressure),
        above_limit=above(shown, spec.highest_pressure_bar),
    )


def _of_coil(
    row: RiderRow, spec: CoilSpec, force: float, stroke: float, place: SpringPlace, load: float
) -> RiderRow:
    """Return the row with the rate for a force [N] at a stroke [mm]; as it is if none gives it."""
    open_ = spec.model_copy(update={"rate_n_mm": None, "rate_lb_in": None})
    try:
        wanted = coil_of(open_, force, stroke)
    except ValueError:
        return row
    return replace(
        row,
        rate_n_mm=gauge.newton_a_mm(wanted.k),
        rate_lb_in=gauge.pounds_an_inch(wanted.k),
        sold=tuple(
            SoldRate(coil.rate_lb_in, gauge.newton_a_mm(coil.rate_n_mm), coil.sag)
            for coil in sold_coils(place.guide, wanted, load, place.sold_step)
        ),
    )


def _measured(loaded: LoadedSpring) -> Measured | None:
    found = loaded.calibration
    if found is None:
        return None
    alone = found.modelled_bar
    return Measured(
        rider_kg=found.rider_kg,
        pressure_bar=found.measured_bar,
        stroke=found.stroke,
        stroke_share=found.stroke / loaded.place.guide.full_stroke,
        force_factor=round(found.factor, 2),
        modelled_bar=None if alone is None else round(alone, 1),
    )
