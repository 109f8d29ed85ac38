"""Points tried in a search: each once, within a budget, until told to stop."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.explore.search.problem import Aim, Problem, Scored
from frame3d.geometry.arrays import Array

Ending = Literal["budget", "told", "nothing improves", "all tried", "enough"]
"""Why a search ended: its budget is spent, it was told to, restarts gave nothing better, every point
there is was tried, or as many points as were wanted meet the wishes and nothing is preferred."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A point and how it did."""

    number: int
    """Counted from 1 in the order of trying."""
    point: tuple[float, ...]
    """In the box's own numbers."""
    scored: Scored


@dataclass(frozen=True, slots=True)
class Better:
    """A step of the best so far."""

    evaluations: int
    """Points tried until then."""
    total: float
    """What it falls short."""
    preferences: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """How a search stands, told after every batch."""

    evaluations: int
    budget: int
    feasible: int
    """How many points met every wish."""
    best: Trial
    """By misses, then by the first preference."""
    blocking: Mapping[str, int]
    """What stopped points, and how many; most first."""


class Ended(Exception):  # noqa: N818 - not a fault
    """The search must end; says why."""

    def __init__(self, why: Ending) -> None:
        super().__init__(why)
        self.why: Ending = why


class Trials:
    """All points tried, with the best of them."""

    def __init__(
        self,
        problem: Problem,
        budget: int,
        *,
        wanted: int = 1,
        on_progress: Callable[[Standing], None] | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> None:
        """Begin with no points.

        Args:
            problem: what is asked.
            budget: the most points to be tried.
            wanted: how many points that meet every wish are enough, where nothing is preferred.
            on_progress: called after every batch.
            stop: asked before every batch; the search ends where it says so.
        """
        self.box = problem.box
        self.batch = problem.batch
        self.kept: list[Trial] = []
        self.history: list[Better] = []
        self.blocking: Counter[str] = Counter()
        self.feasible = 0
        self._problem = problem
        self._budget = budget
        self._wanted = wanted
        self._tell = on_progress
        self._stop = stop
        self._known: dict[bytes, Trial] = {}
        self._aim = Aim(0 if problem.preferences else None)
        self._best: Trial | None = None
        self._limits: dict[int, tuple[float, float]] = {}

    @property
    def count(self) -> int:
        """Points tried so far."""
        return len(self.kept)

    @property
    def left(self) -> int:
        """Points that may still be tried."""
        return self._budget - self.count

    def at(self, unit: Array) -> list[Trial]:
        """Return trials at shares of the box's span, (m, n), in their order; the same point but once.

        Raises:
            Ended: the budget is spent, the search was told to end, or has enough.
        """
        points = self.box.from_unit(unit) + 0.0  # no negative zeros: they are the same point
        keys = [point.tobytes() for point in points]
        new = {k: p for k, p in zip(keys, points, strict=True) if k not in self._known}
        if new:
            if self._stop is not None and self._stop():
                raise Ended("told")
            fits = list(new.items())[: max(self.left, 0)]
            if fits:
                self._try(fits)
            if len(fits) < len(new):
                raise Ended("budget")
            if not self._problem.preferences and self.feasible >= self._wanted:
                raise Ended("enough")
        return [self._known[k] for k in keys]

    def best(self, aim: Aim) -> Trial:
        """Return the best trial for an aim; the first of equals."""
        return min(self.kept, key=lambda trial: (*aim.key(trial.scored), trial.number))

    def spread(self, preference: int | None) -> float:
        """Return from the least to the greatest value of a preference where every wish is met."""
        if preference is None or preference not in self._limits:
            return 0.0
        least, most = self._limits[preference]
        return most - least

    def _widen(self, scored: Scored) -> None:
        """Take the preferences of a point that meets every wish into their limits."""
        for i, value in enumerate(scored.preferences):
            if math.isfinite(value):
                least, most = self._limits.get(i, (value, value))
                self._limits[i] = (min(least, value), max(most, value))

    def _try(self, new: Sequence[tuple[bytes, Array]]) -> None:
        """Try new points, within the budget."""
        scores = self._problem.objective(np.array([point for _, point in new]))
        for (key, point), scored in zip(new, scores, strict=True):
            trial = Trial(self.count + 1, tuple(float(x) for x in point), scored)
            self.kept.append(trial)
            self._known[key] = trial
            self.feasible += scored.feasible
            if scored.feasible:
                self._widen(scored)
            if (stopped := scored.blocking) is not None:
                self.blocking[stopped] += 1
            aim = self._aim
            if self._best is None or aim.key(scored) < aim.key(self._best.scored):
                self._best = trial
                self.history.append(Better(trial.number, scored.total, scored.preferences))
        if self._tell is not None and self._best is not None:
            counts = dict(self.blocking.most_common())
            self._tell(Standing(self.count, self._budget, self.feasible, self._best, counts))
