"""A study as a problem for the search: its values as a box, its evaluations as scores."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from frame3d.explore.search.problem import Box, Problem, Scored
from frame3d.explore.study.study import Design, Study, Value, Varied, Wish
from frame3d.geometry.arrays import Array


class Evaluated(Protocol):
    """What a score takes from an evaluation of a design."""

    @property
    def values(self) -> Mapping[str, float]:
        """By label of a wish or preference, those that are known."""

    @property
    def shortfalls(self) -> Mapping[str, float]:
        """By label of a wish or check, how far it is missed, scaled."""

    @property
    def rejected_by(self) -> str | None:
        """What stopped it."""

    @property
    def feasible(self) -> bool:
        """Whether every wish is met and every check passes."""

    @property
    def total(self) -> float:
        """How far it is from a feasible one; 0 if and only if it is."""


Evaluate = Callable[[Sequence[Design]], Sequence[Evaluated]]
"""From designs to their evaluations, in the same order."""


def problem_of(study: Study, evaluate: Evaluate, *, batch: int = 1) -> Problem:
    """Return the problem of a study.

    Args:
        study: what varies, what must hold, what is better.
        evaluate: evaluates designs; it should go on after a miss, so that all wishes are graded.
        batch: how many designs are best evaluated at once, see `Problem`.
    """
    labels = tuple(one.label for one in study.preferences)
    return Problem(box_of(study.varied), Scoring(study, evaluate), labels, batch)


@dataclass(frozen=True, slots=True)
class Scoring:
    """The objective of a study: from points to scores."""

    study: Study
    evaluate: Evaluate

    def __call__(self, points: Array) -> list[Scored]:
        """Return how points, (m, n), do."""
        designs = [design_of(self.study.varied, point) for point in points]
        return [scored_of(self.study, one) for one in self.evaluate(designs)]


def box_of(varied: Sequence[Varied]) -> Box:
    """Return the box of what varies: of a list, the place in it; see `Box`.

    It begins at the file's own values, and in the middle of what the file does not say.
    """
    low, high, start = [], [], []
    steps: list[float | None] = []
    for one in varied:
        if one.is_range:
            if one.low is None or one.high is None:
                raise ValueError(f"{one.path}: a range has two limits")
            least, most = one.low, one.high
            own = one.start if isinstance(one.start, int | float) else (least + most) / 2
            steps.append(one.step)
        else:
            least, most = 0.0, len(one.values) - 1.0
            own = one.values.index(one.start) if one.start in one.values else most // 2
            steps.append(1.0)
        low.append(least)
        high.append(most)
        start.append(min(max(float(own), least), most))
    return Box(
        np.array(low, dtype=np.float64),
        np.array(high, dtype=np.float64),
        np.array(start, dtype=np.float64),
        tuple(steps),
        tuple(one.path for one in varied),
    )


def design_of(varied: Sequence[Varied], point: Sequence[float] | Array) -> Design:
    """Return the design of a point of the box, (n,)."""
    return tuple(_value(one, float(x)) for one, x in zip(varied, point, strict=True))


def _value(varied: Varied, number: float) -> Value:
    """Return a value of the file from a number of the box."""
    return number if varied.is_range else varied.values[round(number)]


def scored_of(study: Study, evaluation: Evaluated) -> Scored:
    """Return the score of an evaluation."""
    values = evaluation.values
    return Scored(
        total=evaluation.total,
        preferences=tuple(
            _liked(values.get(one.label), least=one.least) for one in study.preferences
        ),
        margins={
            one.label: _margins(one, values[one.label])
            for one in study.wishes
            if one.label in values and is_smooth(one)
        },
        misses=evaluation.shortfalls,
        blocked_by=evaluation.rejected_by,
        values=values,
    )


def is_smooth(wish: Wish) -> bool:
    """Return whether a wish's value follows the design smoothly.

    Least gaps do not: another pair of parts may become the nearest, and decisions stop at what is
    required.
    """
    return wish.quantity.stage not in ("figures", "pairs")


def _liked(value: float | None, *, least: bool) -> float:
    """Return what is to be small; infinite where it is not known."""
    if value is None or not math.isfinite(value):
        return math.inf
    return value if least else -value


def _margins(wish: Wish, value: float) -> tuple[float, ...]:
    """Return how far each limit of a wish is kept, scaled."""
    below = () if wish.low is None else ((value - wish.low) / wish.scale,)
    above = () if wish.high is None else ((wish.high - value) / wish.scale,)
    return below + above
