"""Take the quantities of a study from a solved bike, its stiffness, its checks and its ride."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.sprung import sprung_of
from frame3d.bike.suspended import ride_of
from frame3d.clearance.result import Report
from frame3d.explore.study.quantities import KINDS
from frame3d.explore.study.study import Quantity
from frame3d.geometry.arrays import Array
from frame3d.linkage import Curves, Linkage, Sag, Spring, SuspensionInputs
from frame3d.linkage.curves.curves import Gear, curves
from frame3d.parameters.models.frame import FrameSpec
from frame3d.ride.ride import Ride
from frame3d.stiffness.of_bike import Stiffness

SLACK: Final = 1e-7
"""A wheel travel so little beyond its end counts as there [mm]."""
_SINGLE: Final[dict[str, Callable[[Linkage, Curves], float]]] = {
    "travel": lambda linkage, _: linkage.full_travel,
    "mean_leverage": lambda _, over: over.mean_leverage,
    "progression": lambda _, over: 100 * over.progression,
}
_OF_GEAR: Final[dict[str, Callable[[Gear], Array | None]]] = {
    "anti_squat": lambda gear: gear.anti_squat,
    "chain_growth": lambda gear: gear.chain_growth,
    "kickback": lambda gear: gear.crank_rotation,
    "kickback_from_sag": lambda gear: gear.crank_rotation_from_sag,
}


@dataclass(frozen=True)
class Measured:
    """A bike with as much of its results as is known."""

    bike: Bike
    report: Report | None = None
    """Of its checks; None where they are not made."""
    ride: Ride | None = None
    """None where it is not worked out."""
    stiffness: Stiffness | None = None
    """None where it is not worked out."""


def values_of(wanted: Sequence[Quantity], measured: Measured) -> tuple[float | None, ...]:
    """Return the quantities of a bike, in their units.

    None stands for what the bike does not have: a travel beyond its own, a check that could not be
    made, results that are not known.
    """
    rear = [q for q in wanted if q.stage == "linkage" and q.stance == "static"]
    found = dict(zip(rear, _rear(rear, measured.bike), strict=True))
    return tuple(found[q] if q in found else _other(q, measured) for q in wanted)


def _other(wanted: Quantity, measured: Measured) -> float | None:
    """Return a quantity that is none of the suspension's."""
    bike = measured.bike
    if wanted.stage == "ride":
        return None if measured.ride is None else number_at(measured.ride, wanted.name)
    if wanted.stage == "stiffness":
        return None if measured.stiffness is None else measured.stiffness.value(wanted.name)
    if wanted.name not in KINDS:
        report = measured.report
        gaps = [] if report is None else [r.least for r in report.results if r.name == wanted.name]
        return min(gaps, default=None)
    if wanted.name == "mass":
        return bike.frame.masses.total
    if wanted.stance == "sag":
        return None if bike.sagged is None else bike.sagged.chart.get(wanted.name)
    return bike.chart.get(wanted.name)


def number_at(value: object, path: str) -> float | None:
    """Return the number at a dotted path of a result: fields, keys and places in lists.

    None where there is none.
    """
    here: Any = value
    for key in path.split("."):
        if isinstance(here, Mapping):
            named = {str(k): v for k, v in here.items()}
            here = named.get(key)
        elif isinstance(here, list | tuple | np.ndarray):
            here = here[int(key)] if key.isdigit() and int(key) < len(here) else None
        else:
            here = None if key.startswith("_") else getattr(here, key, None)
    is_number = isinstance(here, int | float | np.number) and not isinstance(here, bool | np.bool_)
    return float(here) if is_number and np.isfinite(here) else None


# -- curves of the suspension -----------------------------------------------------------------------


def _rear(wanted: Sequence[Quantity], bike: Bike) -> list[float | None]:
    """Return quantities of the rear suspension."""
    linkage = bike.linkage
    if linkage is None or not wanted:
        return [None for _ in wanted]
    sprung = sprung_of(bike, linkage)
    sag = sprung.found if sprung.asked is None else sprung.asked

    def inputs(forks: Sequence[float]) -> SuspensionInputs:
        return ride_of(bike, bike.solved, sprung.weight.centre, forks)

    return on_curves(wanted, bike.spec, linkage, sag, inputs, sprung.spring)


def on_curves(
    wanted: Sequence[Quantity],
    spec: FrameSpec,
    linkage: Linkage,
    sag: Sag | None,
    inputs: Callable[[Sequence[float]], SuspensionInputs],
    spring: Spring | None,
) -> list[float | None]:
    """Return quantities of a rear suspension.

    Args:
        wanted: the quantities, all of the stage ``linkage``.
        spec: the bike's file, for the fork's travel.
        linkage: the rear suspension.
        sag: where it sags, if that is known.
        inputs: returns the inputs of the curves for the fork's travels [mm].
        spring: the rear spring; None where it is not known.
    """
    strokes = [stroke_at(linkage, sag, "start" if q.at is None else q.at) for q in wanted]
    # The first stroke is the extended one, against which growth is counted.
    at = np.array([0.0, *(0.0 if s is None else s for s in strokes)])
    motion = linkage.at_strokes(at)
    fork = spec.build.fork
    full = 0.0 if fork is None else fork.travel
    forks = [float(t) / linkage.full_travel * full for t in motion.travel]
    over = curves(linkage, inputs(forks), spring, motion, None if sag is None else sag.stroke)
    return [
        None if stroke is None else _on_curve(q, i, linkage, over)
        for i, (q, stroke) in enumerate(zip(wanted, strokes, strict=True), start=1)
    ]


def stroke_at(linkage: Linkage, sag: Sag | None, at: str | float) -> float | None:
    """Return the shock's stroke [mm] at ``start``, ``end``, ``sag`` or a wheel travel [mm].

    None beyond the full travel, and at a sag that is not known.
    """
    if at == "start":
        return 0.0
    if at == "end":
        return linkage.full_stroke
    if at == "sag":
        return None if sag is None else sag.stroke
    travel = float(at)
    if not -SLACK <= travel <= linkage.full_travel + SLACK:
        return None
    return float(linkage.strokes_at(np.array([travel]))[0])


def _on_curve(wanted: Quantity, i: int, linkage: Linkage, over: Curves) -> float | None:
    """Return a quantity at the i-th stroke of some curves, whose first is at full extension."""
    name = wanted.name
    if name in _SINGLE:
        return _SINGLE[name](linkage, over)
    if name in _OF_GEAR:
        gears = over.gears.values() if wanted.gear is None else [over.gears.get(wanted.gear)]
        lines = [None if gear is None else _OF_GEAR[name](gear) for gear in gears]
        return max((float(line[i]) for line in lines if line is not None), default=None)
    if name in ("wheel_force", "wheel_rate"):
        forces = over.forces
        return None if forces is None else float(getattr(forces, name)[i])
    if name == "wheelbase_growth":
        return float(over.wheelbase[i] - over.wheelbase[0])
    if name == "chainstay_growth":
        lengths = np.hypot(over.axle[:, 0], over.axle[:, 1])
        return float(lengths[i] - lengths[0])
    curve = over.leverage_rate if name == "leverage_slope" else getattr(over, name)
    return float(curve[i])
