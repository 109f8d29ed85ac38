"""Volume reducers of an air spring: pressure and force at equal sag, for each number of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.bike.loaded_spring import LoadedSpring
from frame3d.geometry.arrays import Array
from frame3d.linkage import Sag, Spring, shock_load
from frame3d.linkage.curves.guide import Guide
from frame3d.linkage.curves.springs import Air, air_of
from frame3d.linkage.curves.wheel_force import wheel_force
from frame3d.ride.springs import gauge

DEEP = 0.7
"""Share of the wheel's travel at which the force is told, beside the end."""
POINTS = 36
"""Number of points of a curve over the travel."""


@dataclass(frozen=True, slots=True)
class ReducerRow:
    """An air spring with one number of reducers, at the same sag under the same rider."""

    reducer_count: int
    fitted: bool
    """Whether that is how many the file has."""
    pressure_bar: float | None
    """In whole tenths; None where no pressure gives the sag."""
    pressure_psi: int | None
    above_limit: bool
    """Whether the pressure is above the highest that the file allows."""
    deep_load_multiple: float | None
    """Wheel force at 70 % of the travel over the load that the spring carries at rest."""
    end_load_multiple: float | None
    """The same at the end of the travel."""


@dataclass(frozen=True, slots=True)
class ForceCurve:
    """Vertical wheel force over the travel, ridden about the sag."""

    reducer_count: int | None
    """Of an air spring that takes them."""
    fitted: bool
    travel: tuple[float, ...]
    wheel_force_n: tuple[float, ...]


def above(pressure_bar: float, highest_bar: float | None) -> bool:
    """Return whether a pressure, as a gauge shows it, is above the limit."""
    return highest_bar is not None and pressure_bar > highest_bar


def reducer_rows(loaded: LoadedSpring, sag: Sag) -> tuple[ReducerRow, ...]:
    """Return a row for each number of reducers from none to the most; none where the file has no limit.

    Args:
        loaded: an air spring under its load.
        sag: kept with every number of reducers.
    """
    rows = []
    for count in _counts(loaded):
        spring = _with(loaded, count, sag)
        if spring is None:
            rows.append(ReducerRow(count, _fits(loaded, count), None, None, False, None, None))
            continue
        pressure = spring.chambers[0].pressure
        deep, end = _wheel_force(
            loaded.place.guide, spring, loaded.place.guide.full_travel * np.array([DEEP, 1.0])
        )
        load = loaded.place.carried
        assert load is not None, "a pressure was found"
        shown = gauge.bar(pressure)
        rows.append(
            ReducerRow(
                reducer_count=count,
                fitted=_fits(loaded, count),
                pressure_bar=shown,
                pressure_psi=gauge.psi(pressure),
                above_limit=above(shown, _highest(loaded)),
                deep_load_multiple=gauge.multiple(float(deep), load),
                end_load_multiple=gauge.multiple(float(end), load),
            )
        )
    return tuple(rows)


def force_curves(loaded: LoadedSpring, sag: Sag | None) -> tuple[ForceCurve, ...]:
    """Return the wheel force over the travel: for each number of reducers, else of the spring alone."""
    guide = loaded.place.guide
    springs: list[tuple[int | None, Spring | None]] = []
    if sag is not None:
        springs = [(count, _with(loaded, count, sag)) for count in _counts(loaded)]
    if not springs:
        springs = [(None, loaded.spring)]
    travels = np.linspace(0.0, guide.full_travel, POINTS)
    return tuple(
        ForceCurve(
            reducer_count=count,
            fitted=count is None or _fits(loaded, count),
            travel=tuple(round(float(x), 2) for x in travels),
            wheel_force_n=tuple(round(float(f), 1) for f in _wheel_force(guide, spring, travels)),
        )
        for count, spring in springs
        if spring is not None
    )


def _counts(loaded: LoadedSpring) -> range:
    """Return the numbers of reducers that the spring takes; empty where the file does not say."""
    given = loaded.place.given
    air = None if given is None else given.air
    if air is None or air.reducer_cm3 is None or air.most_reducers is None:
        return range(0)
    return range(air.most_reducers + 1)


def _fits(loaded: LoadedSpring, count: int) -> bool:
    given = loaded.place.given
    return given is not None and given.air is not None and given.air.reducers == count


def _highest(loaded: LoadedSpring) -> float | None:
    given = loaded.place.given
    return None if given is None or given.air is None else given.air.highest_pressure_bar


def _with(loaded: LoadedSpring, count: int, sag: Sag) -> Air | None:
    """Return the air spring with so many reducers at a sag; None where no pressure gives it."""
    place = loaded.place
    if place.given is None or place.given.air is None or place.carried is None:
        return None
    open_ = place.given.air.model_copy(
        update={"reducers": count, "pressure_bar": None, "pressure_psi": None}
    )
    factor = 1.0 if loaded.calibration is None else loaded.calibration.factor
    try:
        return air_of(open_, shock_load(place.guide, place.carried, sag.stroke), sag.stroke, factor)
    except ValueError:
        return None


def _wheel_force(guide: Guide, spring: Spring, travels: Array) -> Array:
    """Return the vertical wheel force at travels, (k,) [N]."""
    there = guide.at_strokes(guide.strokes_at(travels))
    return wheel_force(spring.force(there.stroke), there.leverage)
