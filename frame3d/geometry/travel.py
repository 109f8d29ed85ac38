"""Travel: the suspended bike over its rear travel: curves of the linkage and the chart at each place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.errors import GeometryError
from frame3d.geometry.chart import chart_of, solve_chart
from frame3d.geometry.layout import Layout
from frame3d.geometry.suspended import REAR_SHARE, at_travel, ride_of
from frame3d.linkage import (
    Coil,
    Curves,
    Linkage,
    Sag,
    Spring,
    asked_sag,
    curves,
    found_sag,
    shock_load,
    sold_coils,
    spring_of,
    wheel_load,
)
from frame3d.linkage.sag import SoldCoil


@dataclass(frozen=True)
class Travelled:
    """A suspended bike at evenly spaced rear travels, the fork at the same share of its own."""

    curves: Curves
    charts: tuple[Mapping[str, float | None], ...]
    """The chart at each, pitched on level ground."""
    forks: tuple[float, ...]
    """Fork travel at each [mm]."""
    load: float | None
    """Vertical load at the rear wheel under the rider [N]; None where no mass is given."""
    asked: Sag | None
    """Where the file asks the sag to be."""
    found: Sag | None
    """Where the spring carries the load."""
    spring: Spring | None
    """As the file gives it, what it leaves open settled by the asked sag."""
    sold: tuple[SoldCoil, ...]
    """Coils to be bought around it."""
    assumptions: tuple[str, ...]


def over_travel(layout: Layout, count: int = 11) -> Travelled:
    """Curves and charts over the rear travel.

    Args:
        layout: a solved bike with a rear suspension.
        count: of evenly spaced travels, from 0 to the full one.

    Raises:
        GeometryError: the bike has no rear suspension, or its wheels leave the ground.
    """
    spec, linkage = layout.spec, layout.linkage
    if linkage is None:
        raise GeometryError(
            spec.fault(
                "missing-key",
                "suspension",
                "this bike has no rear suspension to follow",
                "describe one under suspension, or solve without --travel",
            )
        )
    solved = solve_chart(spec)
    assumptions = ["fork at the same share of its travel as the rear wheel", "level ground"]
    asked = None
    if spec.suspension is not None and spec.suspension.sag is not None:
        asked = asked_sag(linkage, spec.suspension.sag, spec.suspension.sag_of)
    load = _load(layout, assumptions)
    spring = _spring(layout, linkage, load, asked)
    ride = ride_of(spec, solved, layout.nodes, layout.rider)
    travels = np.linspace(0.0, linkage.full_travel, count)
    result = curves(linkage, ride, spring, linkage.at_travels(travels))
    full_fork = 0.0 if spec.build.fork is None else spec.build.fork.travel
    forks = tuple(float(t) / linkage.full_travel * full_fork for t in travels)
    charts = []
    for travel, fork in zip(travels, forks, strict=True):
        pitched = at_travel(solved, linkage, float(travel), fork)
        if pitched is None:
            raise GeometryError(
                spec.fault(
                    "impossible",
                    "suspension",
                    f"at {travel:.1f} mm of rear travel no pitch sets both wheels on the ground",
                    "check the linkage's points",
                )
            )
        charts.append(chart_of(pitched.values))
    found = None if spring is None or load is None else found_sag(linkage, spring, load)
    sold: tuple[SoldCoil, ...] = ()
    if isinstance(spring, Coil) and load is not None:
        sold = sold_coils(linkage, spring, load)
    return Travelled(
        result, tuple(charts), forks, load, asked, found, spring, sold, tuple(assumptions)
    )


def _load(layout: Layout, assumptions: list[str]) -> float | None:
    """Vertical load at the rear wheel [N]: mass of rider and bicycle × the rear wheel's share."""
    spec = layout.spec
    if spec.build.rider is None:
        return None
    bike = spec.build.bike_mass_kg
    mass = spec.build.rider.mass_kg + (0.0 if bike is None else bike)
    share = None if spec.suspension is None else spec.suspension.rear_share
    posture = None if layout.rider is None else layout.rider.seated
    if share is None and posture is not None:
        share = 1 - posture.front_share
        assumptions.append(f"{100 * share:.0f} % of the weight on the rear wheel, from the posture")
    if share is None:
        share = REAR_SHARE
        assumptions.append(
            f"{100 * share:.0f} % of the weight on the rear wheel (common practice, no source)"
        )
    return wheel_load(mass, share)


def _spring(
    layout: Layout, linkage: Linkage, load: float | None, asked: Sag | None
) -> Spring | None:
    suspension = layout.spec.suspension
    if suspension is None or suspension.spring is None:
        return None
    if load is None or asked is None:
        try:
            return spring_of(suspension.spring)
        except ValueError as error:
            raise GeometryError(
                layout.spec.fault(
                    "under-determined",
                    "suspension.spring",
                    str(error),
                    "give the rate or pressure, or build.rider.mass_kg and suspension.sag",
                )
            ) from None
    force = shock_load(linkage, load, asked.stroke)
    return spring_of(suspension.spring, force, asked.stroke)
