"""One run of CMA-ES in the unit cube: from a point, by the order of misses, then of a preference.

CMA-ES: N. Hansen, "The CMA Evolution Strategy: A Tutorial", arXiv:1604.00772; numbers that go by steps
keep a margin of probability for their neighbours: R. Hamano and others, "CMA-ES with Margin",
arXiv:2205.13482. Both by the package ``cmaes``, whose code names these papers.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from frame3d.explore.search.problem import Aim, Scored
from frame3d.explore.search.trials import Trial, Trials
from frame3d.geometry.arrays import Array

NARROW: Final = 3e-4
"""A population no wider than this share of every span has come to rest; a polish does the remainder."""
_LESS: Final = 1e-4
"""Share by which misses must lessen to count as better."""
_GAIN: Final = 1e-4
"""Share of the spread so far by which a preference must lessen to count as better."""
_FEWEST: Final = 8


def population_of(numbers: int) -> int:
    """Return the usual population, 4 + 3 ln n (equation 48 of the tutorial), but at least 8."""
    return max(_FEWEST, 4 + math.floor(3 * math.log(max(numbers, 1))))


def is_better(aim: Aim, new: Scored, old: Scored, spread: float) -> bool:
    """Return whether a point does better than another by more than a trifle.

    Args:
        aim: what counts.
        new: how the one does.
        old: how the other does.
        spread: of the preference among points that meet all wishes.
    """
    (misses, liked), (missed, likes) = aim.key(new), aim.key(old)
    if misses > 0 or missed > 0:
        return misses <= 0 or misses < missed * (1 - _LESS)
    return liked < likes - _GAIN * spread and liked < likes


def evolve(
    trials: Trials,
    aim: Aim,
    centre: Array,
    *,
    width: float,
    population: int,
    seed: int,
    most: int,
    until_met: bool = False,
) -> Trial:
    """Return the best trial of a run of CMA-ES.

    It ends when the population has come to rest, when nothing has improved for long, or after `most`
    points tried.

    Args:
        trials: where points are tried.
        aim: what counts as better.
        centre: where it begins, as shares of the span, (n,).
        width: standard deviation at the beginning, as a share of the span.
        population: points of a generation.
        seed: of the random numbers.
        most: points that the run may try.
        until_met: whether to end as soon as a point misses nothing.

    Raises:
        Ended: the whole search must end.
    """
    from cmaes import CMAwM

    box = trials.box
    free = box.free
    best = trials.at(centre[np.newaxis, :])[0]
    numbers = int(np.count_nonzero(free))
    if numbers == 0:
        return best
    inner = np.column_stack((np.zeros(numbers), np.ones(numbers)))
    strategy = CMAwM(
        centre[free], width, inner, box.unit_steps[free], seed=seed, population_size=population
    )
    enough = trials.count + most
    patience = 10 + math.ceil(30 * numbers / population)
    idle = 0
    marked = best  # what must be bettered by more than a trifle
    while idle < patience and trials.count < enough and not strategy.should_stop():
        asked = [strategy.ask() for _ in range(population)]
        unit = np.tile(centre, (population, 1))
        unit[:, free] = [encoded for encoded, _ in asked]
        found = trials.at(unit)
        keys = [aim.key(trial.scored) for trial in found]
        order = sorted(range(population), key=lambda i: keys[i])
        ranks = np.empty(population)
        ranks[order] = np.arange(population)
        strategy.tell([(raw, float(rank)) for (_, raw), rank in zip(asked, ranks, strict=True)])
        if keys[order[0]] < aim.key(best.scored):
            best = found[order[0]]
        if is_better(aim, best.scored, marked.scored, trials.spread(aim.preference)):
            marked, idle = best, 0
        else:
            idle += 1
        if np.all(np.ptp(unit, axis=0) < NARROW) or (until_met and aim.key(best.scored)[0] <= 0):
            break
    return best
