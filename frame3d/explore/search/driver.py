"""Search a box for points that meet every wish and are best; several preferences give a trade-off."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final, Literal

import numpy as np

from frame3d.explore.search.bearing import Bearing, bearings, unmoved
from frame3d.explore.search.front import balanced, front_of, trade_off
from frame3d.explore.search.problem import Aim, Box, Problem
from frame3d.explore.search.restarts import improve
from frame3d.explore.search.trials import Better, Ended, Ending, Standing, Trial, Trials
from frame3d.geometry.arrays import Array

_ALL: Final = 512
"""Where all numbers go by steps and there are no more points than this, each is tried."""
_BATCH: Final = 64
_EDGE: Final = 1e-6
"""Share of a span so near to a limit that a value is there."""
_ASKED: Final = 5
"""Wishes that block most, whose bearings are worked out."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found."""

    best: Trial | None
    """The best point: by misses; then by the preference, or of several the one in balance. None where
    the search was told to end before it began."""
    front: tuple[Trial, ...]
    """Points that meet every wish and of which none is better in every preference, by the first one;
    empty without a preference."""
    trials: tuple[Trial, ...]
    """All points tried, in order."""
    history: tuple[Better, ...]
    """Each step of the best so far, by misses, then by the first preference."""
    feasible: int
    """How many points met every wish."""
    ended: Ending
    blocking: Mapping[str, int]
    """What stopped points, and how many; most first."""
    bearings: tuple[Bearing, ...]
    """How the values bear on the wishes that block most."""
    unmoved: tuple[str, ...]
    """Of those the ones that the best point misses and on which none of the values bears: something else
    must vary for them."""
    at_limits: tuple[tuple[str, Literal["least", "most"]], ...] = ()
    """Values that the best point has at a limit of theirs: beyond it there may be something better."""

    def leading(self, count: int) -> tuple[Trial, ...]:
        """Return the best points that meet every wish, at most so many, the best of all first.

        Of several preferences: the front, then the rest by the first one.
        """
        met = [t for t in self.trials if t.scored.feasible]
        first = {t.number: 1 for t in self.front}
        if self.best is not None:
            first[self.best.number] = 0
        met.sort(key=lambda t: (first.get(t.number, 2), t.scored.preferences[:1], t.number))
        return tuple(met[:count])


def search(
    problem: Problem,
    budget: int,
    seed: int,
    on_progress: Callable[[Standing], None] | None = None,
    stop: Callable[[], bool] | None = None,
    *,
    wanted: int = 1,
    points: int = 9,
) -> Found:
    """Return what a search of a box finds; the same for the same seed.

    Args:
        problem: what is asked.
        budget: the most points to be tried, at least 1.
        seed: of the random numbers.
        on_progress: called after every batch.
        stop: asked before every batch; the search ends where it says so.
        wanted: how many points that meet every wish are enough, where nothing is preferred.
        points: how many are looked for along a trade-off, about.

    Raises:
        ValueError: the budget allows no point.
    """
    if budget < 1:
        raise ValueError("a search must be allowed at least one point")
    box = problem.box
    trials = Trials(problem, budget, wanted=wanted, on_progress=on_progress, stop=stop)
    ended: Ending = "nothing improves"
    try:
        if box.count <= min(_ALL, budget):
            unit = _every(box)
            for at in range(0, len(unit), _BATCH):
                trials.at(unit[at : at + _BATCH])
            ended = "all tried"
        elif len(problem.preferences) > 1:
            trade_off(trials, len(problem.preferences), seed=seed, most=trials.left, count=points)
        else:
            aim = Aim(0 if problem.preferences else None)
            improve(trials, aim, seed=seed, most=trials.left)
    except Ended as reached:
        ended = reached.why
    return _found(problem, trials, ended)


def _found(problem: Problem, trials: Trials, ended: Ending) -> Found:
    """Return what trials have found."""
    box = problem.box
    front = front_of(trials.kept) if problem.preferences else ()
    best: Trial | None = None
    if trials.kept:
        best = balanced(front) if len(problem.preferences) > 1 else None
        best = best or trials.best(Aim(0 if problem.preferences else None))
    blocking = dict(trials.blocking.most_common())
    names = box.names or tuple(str(i) for i in range(box.low.size))
    bearing = bearings(trials.kept, best, box.span, names, tuple(blocking)[:_ASKED]) if best else ()
    return Found(
        best=best,
        front=front,
        trials=tuple(trials.kept),
        history=tuple(trials.history),
        feasible=trials.feasible,
        ended=ended,
        blocking=blocking,
        bearings=bearing,
        unmoved=unmoved(bearing, best.scored) if best else (),
        at_limits=_at_limits(box, names, best) if best else (),
    )


def _at_limits(
    box: Box, names: Sequence[str], best: Trial
) -> tuple[tuple[str, Literal["least", "most"]], ...]:
    """Return which values of a point are at a limit."""
    found: list[tuple[str, Literal["least", "most"]]] = []
    for name, share, free in zip(names, box.to_unit(np.array(best.point)), box.free, strict=True):
        if free and share <= _EDGE:
            found.append((name, "least"))
        elif free and share >= 1 - _EDGE:
            found.append((name, "most"))
    return tuple(found)


def _every(box: Box) -> Array:
    """Return every point of a box whose numbers go by steps, as shares of the span, (m, n)."""
    axes = [
        np.linspace(0.0, 1.0, round(1 / step) + 1) if step > 0 else np.zeros(1)
        for step in box.unit_steps
    ]
    return np.array(list(product(*axes)))
