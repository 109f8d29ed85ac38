"""Which values bear on what blocks a search: by regression over the points, or by differences at one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.explore.search.problem import Problem, Scored
from frame3d.explore.search.trials import Trial
from frame3d.geometry.arrays import Array

_NEAREST: Final = 400
"""So many trials around the best are looked at, as what bears there counts."""
_RIDGE: Final = 1e-3
"""Part of the trials' number added to the normal equations, so that values that only varied together
share what they do."""
_TAILS: Final = (0.05, 0.95)
"""Margins beyond these quantiles are taken to lie there."""
_NOTHING: Final = 0.001
"""A step that mends a smaller share of a miss is not told."""
SLIGHT: Final = 0.1
"""A value whose part is smaller bears on a wish but slightly; and where all values together explain less
than this share of a wish's ups and downs, none bears on it."""


@dataclass(frozen=True, slots=True)
class Bearing:
    """How a value bears on a wish."""

    label: str
    """Of the wish."""
    name: str
    """Of the value."""
    coefficient: float
    """Its part in what all values do over their ranges, −1 to 1: above 0 where more of it helps."""
    explained: float = 1.0
    """Share of the wish's ups and downs that all values together explain, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Gain:
    """What a step of one value does to one miss."""

    label: str
    """Of the wish or check that is missed."""
    name: str
    """Of the value."""
    change: float
    """Of the value, in its own unit: to where less is missed."""
    gain: float
    """How much less is missed then, scaled; of a wish it may be more than is missed."""
    share: float
    """The same as a share of the miss."""


def bearings(
    trials: Sequence[Trial], around: Trial, span: Array, names: Sequence[str], labels: Sequence[str]
) -> tuple[Bearing, ...]:
    """Return how values bear on wishes near a point, the strongest of each wish first.

    By regression of the margins on the values, as shares of their ranges, which tells values apart that
    varied together; the margins' tails are cut off, so that no broken bike far off can tilt it.

    Args:
        trials: what was tried.
        around: the point near which it counts.
        span: of each value, (n,).
        names: of the values, (n,).
        labels: of the wishes asked about; those that are known of too few points are left out.
    """
    centre, width = np.array(around.point), np.where(span > 0, span, 1.0)
    found: list[Bearing] = []
    for label in labels:
        known = [t for t in trials if math.isfinite(_margin(t.scored, label, around.scored))]
        points = np.array([t.point for t in known]).reshape(len(known), len(names))
        away = np.linalg.norm((points - centre) / width, axis=1)
        near = np.argsort(away, kind="stable")[:_NEAREST]
        if len(near) < 2 * len(names) + 4:
            continue
        margins = np.array([_margin(known[i].scored, label, around.scored) for i in near])
        slopes, explained = _fit(points[near] / width, margins)
        shares = slopes / max(float(np.sum(np.abs(slopes))), 1e-300)
        order = np.argsort(-np.abs(shares), kind="stable")
        found += [
            Bearing(label, names[i], round(float(shares[i]), 3), round(explained, 3)) for i in order
        ]
    return tuple(found)


def _margin(scored: Scored, label: str, around: Scored) -> float:
    """Return the margin to that limit of a wish which is nearest, or missed by most, at another point.

    To one limit it rises or falls with the value throughout; to the nearer of two it would not.
    """
    there = around.margins.get(label, ())
    here = scored.margins.get(label, ())
    if len(there) == len(here) > 1:
        return here[int(np.argmin(there))]
    return scored.margin(label)


def _fit(points: Array, margins: Array) -> tuple[Array, float]:
    """Return slopes of the margins, (n,), 0 for what does not vary; and the share explained."""
    y = np.clip(margins, *np.quantile(margins, _TAILS))
    y -= y.mean()
    x = points - points.mean(axis=0)
    deviation = x.std(axis=0)
    scale = np.where(deviation > 1e-12, deviation, np.inf)
    x = x / scale
    normal = x.T @ x + _RIDGE * len(x) * np.eye(x.shape[1])
    slopes = np.linalg.solve(normal, x.T @ y)
    whole = float(y @ y)
    rest = y - x @ slopes
    explained = 1 - float(rest @ rest) / whole if whole > 0 else 0.0
    return np.asarray(slopes / scale, dtype=np.float64), max(0.0, explained)


def unmoved(found: Sequence[Bearing], at: Scored) -> tuple[str, ...]:
    """Return the wishes on which the values hardly bear: for them others must vary.

    Args:
        found: the bearings.
        at: how a point does; wishes that it meets are left out.
    """
    explained = {one.label: one.explained for one in found}
    return tuple(
        label for label, share in explained.items() if share < SLIGHT and not at.margin(label) >= 0
    )


def gains(
    problem: Problem,
    point: Sequence[float],
    labels: Sequence[str],
    *,
    step: float = 0.02,
    most: int = 8,
) -> tuple[Gain, ...]:
    """Return which values would lessen the misses of a point, by label, the most helpful first.

    For a box wider than the one searched, it says what else should vary. Every value is tried one step
    up (where it is at its greatest, down); then one step down those by which a miss grew most, and those
    of which the first step told nothing.

    Args:
        problem: its box has every value that might vary; up to n + 1 points of it are tried, then some
            of n more.
        point: where misses are to lessen, (n,).
        labels: of the misses.
        step: change of each value, as a share of its span; at least one of its own steps.
        most: how many values are tried the other way for each label, and how many are told of.
    """
    box = problem.box
    at = box.to_unit(np.array(point, dtype=np.float64))
    steps = np.maximum(box.unit_steps, step)
    steps = np.where(at + steps <= 1.0 + 1e-12, steps, -steps)
    free = np.flatnonzero(box.free).tolist()
    names = box.names or tuple(str(i) for i in range(len(at)))

    def tried(moved: Sequence[int], way: float) -> list[tuple[Array, Scored]]:
        unit = np.array([at + way * steps[i] * (np.arange(len(at)) == i) for i in moved])
        points = box.from_unit(unit.reshape(-1, len(at)))
        return list(zip(points, problem.objective(points), strict=True)) if moved else []

    here = box.from_unit(at[None])
    (base,) = problem.objective(here)
    missed = {label: -_margin(base, label, base) for label in labels}
    missed = {label: miss for label, miss in missed.items() if miss > 0}
    known: dict[tuple[str, int], tuple[float, float]] = {}
    """By label and value: the step that was tried last, and how much less is missed."""

    def note(moved: Sequence[int], way: float) -> None:
        for i, (there, scored) in zip(moved, tried(moved, way), strict=True):
            for label, miss in missed.items():
                gain = miss + _margin(scored, label, base)
                if math.isnan(gain) and scored.total < base.total:
                    gain = miss  # it came further, so that this does not stop it any more
                if not math.isnan(gain):
                    before = known.get((label, i))
                    if before is None or gain > before[1]:
                        known[label, i] = (float(there[i] - here[0, i]), gain)

    note(free, 1.0)
    again = {i for i in free if not any((label, i) in known for label in missed)}
    for label in missed:
        worse = [(known[label, i][1], i) for i in free if (label, i) in known]
        again |= {i for gain, i in sorted(worse)[:most] if gain < 0}
    note(sorted(again), -1.0)
    found = []
    for label, miss in missed.items():
        own = [(gain, i, by) for (which, i), (by, gain) in known.items() if which == label]
        own = sorted((one for one in own if one[0] > _NOTHING * miss), key=lambda x: (-x[0], x[1]))
        found += [Gain(label, names[i], by, gain, gain / miss) for gain, i, by in own[:most]]
    return tuple(found)
