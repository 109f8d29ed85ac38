"""The suspended bike over its rear travel: curves of the linkage, and the chart at each travel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.bike.bike import Bike, Stance
from frame3d.bike.solve import stance
from frame3d.bike.sprung import Sprung, sprung_of
from frame3d.bike.suspended import at_travel, ride_of
from frame3d.chart.as_built import Pitched
from frame3d.chart.solve import Solved, chart_of
from frame3d.errors import GeometryError
from frame3d.linkage import Curves, Linkage, Sag
from frame3d.linkage.curves.curves import curves


@dataclass(frozen=True)
class Standing:
    """The bike at one rear and one fork travel, pitched on level ground."""

    name: str
    """``extended``, ``sag``, ``full_travel`` or ``dive``: the fork alone at its full travel."""
    rear: float
    """Rear travel [mm]."""
    fork: float
    """Fork travel [mm]."""
    stance: Stance


@dataclass(frozen=True)
class TravelAnalysis:
    """A suspended bike at evenly spaced rear travels, the fork at the same share of its own."""

    curves: Curves
    charts: tuple[Mapping[str, float | None], ...]
    """The chart at each travel, pitched on level ground."""
    forks: tuple[float, ...]
    """Fork travel at each rear travel [mm]."""
    standing: tuple[Standing, ...]
    """The bike extended, at sag, at full travel, and with only the fork at full travel."""
    sprung: Sprung
    """The rear spring under its load."""
    assumptions: tuple[str, ...]

    @property
    def sag(self) -> Sag | None:
        """Sag under the rider: the one that the file asks for, else the one found."""
        return self.sprung.found if self.sprung.asked is None else self.sprung.asked


def over_travel(bike: Bike, count: int = 11) -> TravelAnalysis:
    """Return curves and charts over the rear travel.

    Args:
        bike: a solved bike with a rear suspension.
        count: number of evenly spaced travels, from 0 to the full one.

    Raises:
        GeometryError: the bike has no rear suspension, or cannot stand on both wheels.
    """
    spec, linkage = bike.spec, bike.linkage
    if linkage is None:
        raise GeometryError(
            spec.fault(
                "missing-key",
                "suspension",
                "this bike has no rear suspension to follow",
                "describe one under suspension, or solve without --travel",
            )
        )
    solved = bike.solved
    sprung = sprung_of(bike, linkage)
    sag = sprung.found if sprung.asked is None else sprung.asked
    travels = np.linspace(0.0, linkage.full_travel, count)
    full_fork = 0.0 if spec.build.fork is None else spec.build.fork.travel
    forks = tuple(float(t) / linkage.full_travel * full_fork for t in travels)
    ride = ride_of(bike, solved, sprung.weight.centre, forks)
    charts = [
        chart_of(_pitched(bike, linkage, solved, float(rear), fork).values)
        for rear, fork in zip(travels, forks, strict=True)
    ]
    return TravelAnalysis(
        curves=curves(
            linkage,
            ride,
            sprung.spring,
            linkage.at_travels(travels),
            None if sag is None else sag.stroke,
        ),
        charts=tuple(charts),
        forks=forks,
        standing=_standing(bike, linkage, solved, sag),
        sprung=sprung,
        assumptions=(
            "fork at the same share of its travel as the rear wheel",
            "level ground",
            *sprung.assumptions,
        ),
    )


def _standing(
    bike: Bike, linkage: Linkage, solved: Solved, sag: Sag | None
) -> tuple[Standing, ...]:
    """Return the bike extended, at sag, at full travel, and with only the fork at full travel."""
    fork = bike.spec.build.fork
    full = 0.0 if fork is None else fork.travel
    hip_height = None if bike.rider is None else bike.rider.hip_height
    places = [("extended", 0.0, 0.0)]
    if sag is not None:
        places.append(("sag", sag.travel, 0.0 if fork is None else full * fork.sag))
    places.append(("full_travel", linkage.full_travel, full))
    if full > 0:
        places.append(("dive", 0.0, full))
    return tuple(
        Standing(
            name,
            rear,
            front,
            stance(bike.spec, _pitched(bike, linkage, solved, rear, front), bike.tubes, hip_height),
        )
        for name, rear, front in places
    )


def _pitched(bike: Bike, linkage: Linkage, solved: Solved, rear: float, fork: float) -> Pitched:
    """Return the bike at a rear and a fork travel [mm].

    Raises:
        GeometryError: it cannot stand on both wheels there.
    """
    pitched = at_travel(solved, linkage, rear, fork)
    if pitched is None:
        raise GeometryError(
            bike.spec.fault(
                "impossible",
                "suspension",
                f"at {rear:.1f} mm of rear and {fork:.1f} mm of fork travel no pitch sets both wheels "
                "on the ground",
                "check the linkage's points",
            )
        )
    return pitched
