"""Spring and damper of fork or shock in plain words, as far as the file gives them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from frame3d.linkage import Air, Coil, Spring
from frame3d.linkage.curves.springs import Table
from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.springs import SpringSpec
from frame3d.parameters.units import BAR, LB_IN, PSI
from frame3d.report.own_parts.own_part import plain
from frame3d.report.texts import Texts
from frame3d.ride.damping.damper import DampingLaw

SPEED: Final = 0.1
"""Speed of the shaft at which a damper's forces are told [m/s]."""


def spring_as_given(spec: SpringSpec, stroke: float, texts: Texts) -> str:
    """Return what a spring of the file is, with its rate or pressure where the file gives it.

    Args:
        spec: the spring.
        stroke: full stroke of what it is in [mm].
        texts: of the page.
    """
    if spec.coil is not None:
        return _coil(spec.coil.rate, texts)
    if spec.air is not None:
        return _air(spec.air.pressure, texts)
    assert spec.table is not None
    last = float(np.interp(stroke, *np.array(spec.table).T))
    return _table(spec.table[0][1], last, texts)


def spring_as_ridden(spring: Spring, stroke: float, texts: Texts) -> str:
    """Return the same of a solved spring, whose rate or pressure may come from the sag."""
    match spring:
        case Coil(k):
            return _coil(k, texts)
        case Air():
            return _air(spring.pressure_bar * BAR, texts)
        case Table():
            first, last = spring.force(np.array([0.0, stroke])).tolist()
            return _table(first, last, texts)
        case _:
            raise AssertionError(type(spring).__name__)


def damper_as_given(spec: DamperSpec, texts: Texts) -> str:
    """Return what a damper is, with its forces at a slow speed where the file gives them."""
    return " ".join((texts("own_parts.damper.is"), *_forces(spec, texts)))


def _coil(rate: float | None, texts: Texts) -> str:
    if rate is None:
        return texts("own_parts.spring.coil")
    return texts(
        "own_parts.spring.coil_rate",
        rate=texts.number(rate, 1),
        pounds=texts.number(rate / LB_IN, 0),
    )


def _air(pressure: float | None, texts: Texts) -> str:
    if pressure is None:
        return texts("own_parts.spring.air")
    return texts(
        "own_parts.spring.air_pressure",
        bar=texts.number(pressure / BAR, 1),
        psi=texts.number(pressure / PSI, 0),
    )


def _table(first: float, last: float, texts: Texts) -> str:
    forces = [texts.quantity(force, "N", 0) for force in (first, last)]
    return texts("own_parts.spring.table", first=forces[0], last=forces[1])


def _forces(spec: DamperSpec, texts: Texts) -> Iterator[str]:
    slow = texts.number(SPEED, 1)
    laws = {
        "compression": (spec.compression_n_s_m, spec.compression_fast_n_s_m),
        "rebound": (spec.rebound_n_s_m, spec.rebound_fast_n_s_m),
    }
    found = {
        way: texts.quantity(_force(low, fast, spec.fast_from), "N", 0)
        for way, (low, fast) in laws.items()
        if low is not None
    }
    if len(found) == 2:
        yield texts("own_parts.damper.both", speed=slow, **found)
    elif "compression" in found:
        yield texts("own_parts.damper.compression", speed=slow, **found)
    elif "rebound" in found:
        yield texts("own_parts.damper.rebound", speed=slow, **found)
    filmed = spec.filmed_return
    if filmed is not None:
        yield texts(
            "own_parts.damper.filmed",
            start=plain(filmed.start, "mm", texts),
            end=plain(filmed.end, "mm", texts),
            seconds=texts.number(filmed.seconds, 2),
        )


def _force(low: float, fast: float | None, fast_from: float | None) -> float:
    """Return the force at `SPEED` [N]; one slope holds at all speeds where there is no fast one."""
    law = DampingLaw(low, fast, None if fast is None else fast_from)
    return float(law.force(np.array([SPEED]))[0])
