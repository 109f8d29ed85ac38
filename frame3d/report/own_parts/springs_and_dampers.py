"""Spring and damper of fork or shock in plain words, as far as the file gives them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.springs import SpringSpec
from frame3d.report.own_parts.own_part import plain
from frame3d.report.texts import Texts
from frame3d.ride.damping.damper import DampingLaw
from frame3d.ride.springs.set_up import EndSetUp

SPEED: Final = 0.1
"""Speed of the shaft at which a damper's forces are told [m/s]."""


def spring_of(end: EndSetUp, given: SpringSpec, texts: Texts) -> str:
    """Return what a spring is, with its rate or pressure as the file gives it or as its sag asks for it.

    Args:
        end: the spring under its rider.
        given: the spring of the file.
        texts: of the page.
    """
    if end.rate_n_mm is not None and end.rate_lb_in is not None:
        return texts(
            "own_parts.spring.coil",
            rate=texts.number(end.rate_n_mm, 1),
            pounds=texts.number(end.rate_lb_in, 0),
        )
    if end.pressure_bar is not None and end.pressure_psi is not None:
        return texts(
            "own_parts.spring.air",
            bar=texts.number(end.pressure_bar, 1),
            psi=texts.number(end.pressure_psi, 0),
        )
    assert given.table is not None
    strokes, forces = np.array(given.table).T
    last = float(np.interp(end.full_stroke, strokes, forces))
    return texts(
        "own_parts.spring.table",
        first=texts.quantity(float(forces[0]), "N", 0),
        last=texts.quantity(last, "N", 0),
    )


def damper_as_given(spec: DamperSpec, texts: Texts) -> str:
    """Return what a damper is, with its forces at a slow speed where the file gives them."""
    return " ".join((texts("own_parts.damper.is"), *_forces(spec, texts)))


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
