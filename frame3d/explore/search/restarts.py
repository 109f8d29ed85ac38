"""Restarts of CMA-ES with growing populations, and a polish after each, until nothing improves."""

from __future__ import annotations

from typing import Final

import numpy as np

from frame3d.explore.search.evolution import evolve, is_better, population_of
from frame3d.explore.search.polish import polish
from frame3d.explore.search.problem import Aim
from frame3d.explore.search.trials import Trial, Trials
from frame3d.geometry.arrays import Array

_FIRST_WIDTH: Final = 0.15
"""Standard deviation around the file's own values, as a share of each range."""
_NEAR: Final = 0.08
"""The same around the best so far."""
_FAR: Final = 0.3
"""The same around a point anywhere."""
_NARROW: Final = 0.03
"""The same around a point anywhere that was polished first."""
_PATIENCE: Final = 6
"""So many restarts in turn without anything better end the search."""
_LARGEST: Final = 8
"""The population grows to so many times the first."""
_FEWEST: Final = 10
"""A run that has points left for fewer generations than this is not begun with a larger population."""


def improve(
    trials: Trials,
    aim: Aim,
    *,
    seed: int,
    most: int,
    centre: Array | None = None,
    width: float = _FIRST_WIDTH,
    patience: int = _PATIENCE,
) -> Trial:
    """Return the best trial for an aim.

    Where `centre` meets every wish, it is polished first. The first run begins there, and ends with the
    first point that misses nothing, as a polish then gains more with fewer points. Then, in turn: one
    from the best so far; one from anywhere, wide, which finds broad valleys; and one from anywhere,
    polished first, narrow and with few points, which finds small ones (after the two regimes of
    N. Hansen, "Benchmarking a BI-population CMA-ES on the BBOB-2009 function testbed"; from memory).
    Populations double every third run.

    Args:
        trials: where points are tried.
        aim: what counts as better.
        seed: of the random numbers.
        most: points that may be tried, about.
        centre: where to begin, as shares of the span, (n,); the box's start where None.
        width: standard deviation of the first run, as a share of the span.
        patience: so many restarts in turn without anything better end it.

    Raises:
        Ended: the whole search must end.
    """
    box = trials.box
    enough = trials.count + most
    first = max(trials.batch, population_of(int(np.count_nonzero(box.free))))
    seeds = np.random.SeedSequence(seed)
    begin = box.to_unit(box.start) if centre is None else centre
    best = trials.at(begin[np.newaxis, :])[0]
    met = aim.key(best.scored)[0] <= 0
    if met and aim.preference is not None:
        best = polish(trials, aim, best, most=most // 4)
    idle = run = 0
    while run == 0 or (idle < patience and trials.count < enough):
        drawn = np.random.default_rng(seeds.spawn(1)[0])
        run_seed = int(drawn.integers(2**31))
        anywhere = drawn.random(box.low.size)
        left = enough - trials.count
        population = first * min(_LARGEST, 2 ** ((run + 2) // 3))
        if population * _FEWEST > left:
            population = first
        if run == 0:
            place, wide = begin, width
        elif run % 3 == 1:
            place, wide = (
                box.to_unit(np.array(best.point)),
                width if run == 1 else min(_NEAR, width),
            )
        elif run % 3 == 2:
            place, wide = anywhere, _FAR
        else:
            begun = trials.at(anywhere[np.newaxis, :])[0]
            begun = polish(trials, aim, begun, most=left // 4)
            place, wide, population = box.to_unit(np.array(begun.point)), _NARROW, first
        found = evolve(
            trials,
            aim,
            place,
            width=wide,
            population=population,
            seed=run_seed,
            most=left,
            until_met=run == 0 and not met,
        )
        if aim.preference is not None or aim.key(found.scored)[0] > 0:
            found = polish(trials, aim, found, most=enough - trials.count)
        if run > 0:
            spread = trials.spread(aim.preference)
            idle = 0 if is_better(aim, found.scored, best.scored, spread) else idle + 1
        best = min((best, found), key=lambda trial: aim.key(trial.scored))
        run += 1
    return trials.best(aim)
