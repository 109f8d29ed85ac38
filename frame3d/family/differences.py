"""Differences between two bikes, from solved values, and from which size on they are worth a word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.travel import TravelAnalysis
from frame3d.family.size_table import ROWS
from frame3d.parameters.models.figures import unit
from frame3d.ride.fit.stances import drawn_contact
from frame3d.ride.steering.of_bike import SteeringFigures

if TYPE_CHECKING:
    from frame3d.family.measured import Measured
    from frame3d.family.members import Family, Member

Kind = Literal["figure", "sagged", "contact", "suspension", "slopes", "steering", "gap", "mass"]
"""``figure``: of the chart as drawn; ``sagged``: the same at sag; ``contact``: between saddle, grips and
bottom bracket as drawn; ``gap``: the least of a check. In the order in which they are told."""

MEASURABLE: Final[Mapping[str, float]] = {
    "mm": 0.5,
    "degrees": 0.1,
    "g": 10.0,
    "%": 1.0,
    "points": 0.2,
    "gravity": 0.01,
    "1": 0.02,
    "N·m": 0.5,
    "N·m/°": 0.02,
}
"""Smallest difference that a shop can measure on a bike, by unit: with a steel rule, a digital level, a
scale, and a spring scale at the grip; % and leverage ratios follow from such lengths (common practice,
no source). Nothing is said of smaller ones. Gradients and loads in `points` of a percent, and
decelerations, are compared in one posture; under one rider their differences are known so well."""
SAME: Final = 1e-6
"""Smaller differences count as none [mm, degrees]."""
SAME_MASS: Final = 0.05
"""Likewise of masses [g], which are summed up over many pieces."""


@dataclass(frozen=True, slots=True)
class Change:
    """One quantity of two bikes."""

    kind: Kind
    name: str
    """Chart figure, name of a check, or a key of `CONTACTS`, `SUSPENSION`, `SLOPES` or `STEERING`."""
    unit: str
    """``mm``, ``degrees``, ``g``, ``%``, ``points`` of a percent, ``gravity``, ``N·m``, ``N·m/°``, or
    ``1`` for a ratio."""
    before: float | None
    after: float | None
    """None where that bike does not have it."""
    error: float = SAME
    """Smaller differences count as none: both values are not known any better."""

    @property
    def delta(self) -> float | None:
        """After minus before, unrounded; None where one of them does not have it."""
        if self.before is None or self.after is None:
            return None
        return self.after - self.before

    @property
    def differs(self) -> bool:
        """Whether the two are not the same."""
        delta = self.delta
        return self.before is not self.after if delta is None else abs(delta) > self.error

    @property
    def way(self) -> Literal["more", "less"] | None:
        """The direction of the difference; None where a shop could not measure it."""
        delta = self.delta
        if delta is None or abs(delta) < MEASURABLE[self.unit]:
            return None
        return "more" if delta > 0 else "less"

    @property
    def decimals(self) -> int:
        """How many decimals it is shown with."""
        return {"g": 0, "%": 0, "gravity": 2, "1": 2, "N·m/°": 2}.get(self.unit, 1)


CONTACTS: Final = (
    "grip_reach",
    "grip_stack",
    "saddle_setback",
    "saddle_to_grips",
    "grips_above_saddle",
)
"""Distances of the rider's contact points as drawn [mm]; see `frame3d.ride.fit.contact.Contact`."""

SUSPENSION: Final[Mapping[str, str]] = {
    "travel": "mm",
    "mean_leverage": "1",
    "progression": "%",
    "sag": "mm",
    "anti_squat": "%",
    "anti_rise": "%",
}
"""Figures of a rear suspension with their units; the last two at sag, anti-squat in the middle gear."""


SLOPES: Final[Mapping[str, str]] = {
    "front_share_level": "points",
    "lifts_seated": "points",
    "lifts_standing": "points",
    "stop_level": "gravity",
    "stop_descending": "gravity",
    "seat_climbing": "degrees",
}
"""Figures on slopes, see `Slopes.figures`, with their units: middles of bands, each bike under
its own rider."""
SAME_SLOPE: Final = 1e-5
"""Smaller differences count as none: springs are solved to 1e-6 mm."""
STEERING: Final[Mapping[str, str]] = {
    "falls_in": "N·m/°",
    "push": "N·m",
    "turn": "degrees",
    "drop": "mm",
}
"""Figures of the steering with their units, at sag where it is known: torque of bars that fall in, near
straight on; torque at the bar of a sideways push at the ground; bars of a turn of `TURN` radius; how far
the front goes down with the bars at `TURNED`."""
TURN: Final = 4000.0
"""[mm]"""
TURNED: Final = 30.0
"""[degrees]"""


def differences(
    before: Bike,
    after: Bike,
    measured: tuple[Measured, Measured] | None = None,
) -> tuple[Change, ...]:
    """Return what differs between two bikes, chart first, then the rider's contact points.

    Args:
        before: the bike that the other is held against.
        after: the other.
        measured: of both; without them there are only those two.
    """
    found = list(figure_changes("figure", before.chart, after.chart))
    if before.sagged is not None and after.sagged is not None:
        found += figure_changes("sagged", before.sagged.chart, after.sagged.chart)
    found += contact_changes(before, after)
    if measured is not None:
        found += [change for change in _measured(*measured) if change.differs]
    return tuple(found)


def against_first(
    family: Family, measured: Sequence[Measured] | None = None
) -> Iterator[tuple[Member, tuple[Change, ...]]]:
    """Yield each bike but the first with its differences from that.

    Args:
        family: solved bikes.
        measured: of each of them.
    """
    for i, member in enumerate(family.members[1:], 1):
        both = None if measured is None else (measured[0], measured[i])
        yield member, differences(family.first.bike, member.bike, both)


def figure_changes(
    kind: Kind, before: Mapping[str, float | None], after: Mapping[str, float | None]
) -> Iterator[Change]:
    """Yield the figures that differ between two charts, in the order of the size table."""
    for figure in ROWS:
        change = Change(kind, figure, unit(figure), before[figure], after[figure])
        if change.differs:
            yield change


def contact_changes(before: Bike, after: Bike) -> Iterator[Change]:
    """Yield the distances of contact points that differ between two bikes."""
    was, is_now = contact_figures(before), contact_figures(after)
    for name in CONTACTS:
        change = Change("contact", name, "mm", was.get(name), is_now.get(name))
        if change.differs:
            yield change


def contact_figures(bike: Bike) -> dict[str, float]:
    """Return the figures of `CONTACTS` that are known of a bike [mm]."""
    drawn = drawn_contact(bike)
    found = {name: getattr(drawn, name) for name in CONTACTS}
    return {name: value for name, value in found.items() if value is not None}


def _measured(before: Measured, after: Measured) -> Iterator[Change]:
    if before.travel is not None and after.travel is not None:
        was, is_now = suspension_figures(before.travel), suspension_figures(after.travel)
        for name, sign in SUSPENSION.items():
            yield Change("suspension", name, sign, was.get(name), is_now.get(name))
    if before.slopes.figures and after.slopes.figures:
        was, is_now = dict(before.slopes.figures), dict(after.slopes.figures)
        for name, sign in SLOPES.items():
            yield Change("slopes", name, sign, was.get(name), is_now.get(name), SAME_SLOPE)
    was, is_now = steering_figures(before.steering), steering_figures(after.steering)
    for name, sign in STEERING.items():
        yield Change("steering", name, sign, was.get(name), is_now.get(name))
    old, new = before.gaps, after.gaps
    for name in (*old, *(name for name in new if name not in old)):
        a, b = old.get(name), new.get(name)
        there = [result for result in (a, b) if result is not None]
        yield Change(
            "gap",
            name,
            there[0].unit,
            None if a is None else a.least,
            None if b is None else b.least,
            sum(result.error for result in there) + SAME,
        )
    yield Change("mass", "frame", "g", before.grams, after.grams, SAME_MASS)


def steering_figures(figures: SteeringFigures) -> dict[str, float]:
    """Return the figures of `STEERING` that are known of a bike."""
    own = figures.ridden
    found = {
        "falls_in": own.falling_in_nm_per_degree,
        "push": own.push_torque_nm,
        "turn": own.turn_of(TURN).bar_angle,
        "drop": own.at(TURNED).drop,
    }
    return {name: value for name, value in found.items() if value is not None}


def suspension_figures(moving: TravelAnalysis) -> dict[str, float]:
    """Return the figures of `SUSPENSION` that are known of a bike."""
    curves, sag = moving.curves, moving.sag
    found = {
        "travel": float(curves.travel[-1]),
        "mean_leverage": curves.mean_leverage,
        "progression": 100 * curves.progression,
    }
    if sag is not None:
        found["sag"] = sag.travel
        found["anti_rise"] = float(np.interp(sag.travel, curves.travel, curves.anti_rise))
        gears = sorted(curves.gears.values(), key=lambda gear: gear.cog)
        if gears:
            middle = gears[len(gears) // 2].anti_squat
            found["anti_squat"] = float(np.interp(sag.travel, curves.travel, middle))
    return {name: value for name, value in found.items() if np.isfinite(value)}
