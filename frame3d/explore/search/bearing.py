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
    """What a step of one value does to the misses."""

    name: str
    change: float
    """Of the value, in its own unit: to where misses are least."""
    gain: float
    """How much less falls short then, scaled."""


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


def gains(problem: Problem, point: Sequence[float], *, step: float = 0.02) -> tuple[Gain, ...]:
    """Return which values would lessen the misses of a point, the most helpful first.

    For a box wider than the one searched, it says what else should vary.

    Args:
        problem: its box has every value that might vary; 2 n + 1 points of it are tried.
        point: where misses are to lessen, (n,).
        step: change of each value either way, as a share of its span; at least one of its own steps.
    """
    box = problem.box
    at = box.to_unit(np.array(point, dtype=np.float64))
    steps = np.maximum(box.unit_steps, step)
    number = len(steps)
    unit = np.vstack([at, at + np.diag(steps), at - np.diag(steps)])
    points = box.from_unit(unit)
    totals = np.array([scored.total for scored in problem.objective(points)])
    both = np.stack([totals[1 : number + 1], totals[number + 1 :]])
    better = np.argmin(both, axis=0)
    names = box.names or tuple(str(i) for i in range(number))
    found = []
    for i, name in enumerate(names):
        row = 1 + i + number * int(better[i])
        lessened = float(totals[0] - totals[row])
        if lessened > 0:
            change = float(points[row, i] - points[0, i])
            found.append(Gain(name, change, lessened))
    return tuple(sorted(found, key=lambda one: -one.gain))
