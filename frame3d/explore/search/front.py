"""Trade-off of several preferences: one made small while limits of the others move step by step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product
from typing import Final

import numpy as np

from frame3d.explore.search.polish import polish
from frame3d.explore.search.problem import Aim
from frame3d.explore.search.restarts import improve
from frame3d.explore.search.trials import Trial, Trials
from frame3d.geometry.arrays import Array, Mask

_EXTREMES: Final = 0.5
"""Share of the points left that goes to making each preference small by itself."""
_WIDTH: Final = 0.05
"""Standard deviation of a run that begins at a neighbour of the point it looks for."""


def nondominated(values: Array) -> Mask:
    """Return which rows no other row is as good as in everything and better in something, (m,).

    Of equal rows the first is kept.

    Args:
        values: what is to be small, (m, k).
    """
    kept: list[int] = []
    for i in np.lexsort(
        values.T[::-1]
    ):  # by the first column, then the next: only earlier rows dominate
        if not np.any(np.all(values[kept] <= values[i], axis=1)):
            kept.append(int(i))
    mask = np.zeros(len(values), dtype=np.bool_)
    mask[kept] = True
    return mask


def hypervolume(values: Array, reference: Array) -> float:
    """Return the volume that rows dominate up to a reference point (E. Zitzler's measure of a front).

    Args:
        values: what is to be small, (m, k).
        reference: the far corner, (k,).
    """
    inside = values[np.all(values < reference, axis=1)]
    if len(inside) == 0:
        return 0.0
    if inside.shape[1] == 1:
        return float(reference[0] - inside.min())
    if inside.shape[1] == 2:  # a staircase
        inside = inside[np.lexsort(inside.T[::-1])]
        ceilings = np.append(reference[1], np.minimum.accumulate(inside[:-1, 1]))
        heights = np.maximum(np.minimum(ceilings, reference[1]) - inside[:, 1], 0.0)
        return float(np.sum((reference[0] - inside[:, 0]) * heights))
    inside = inside[np.argsort(inside[:, -1], kind="stable")]
    levels = np.append(inside[:, -1], reference[-1])
    total = 0.0
    for i, depth in enumerate(np.diff(levels)):  # slices along the last preference
        if depth > 0:
            total += float(depth) * hypervolume(inside[: i + 1, :-1], reference[:-1])
    return total


def front_of(trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Return the trials that meet every wish and are not dominated, by the first preference."""
    met = [
        t
        for t in trials
        if t.scored.feasible and all(math.isfinite(p) for p in t.scored.preferences)
    ]
    if not met:
        return ()
    kept = nondominated(np.array([t.scored.preferences for t in met]))
    chosen = [t for t, keep in zip(met, kept, strict=True) if keep]
    return tuple(sorted(chosen, key=lambda t: (t.scored.preferences, t.number)))


def balanced(front: Sequence[Trial]) -> Trial | None:
    """Return the trial of a front nearest to the least of every preference, each scaled to its range."""
    if not front:
        return None
    values = np.array([t.scored.preferences for t in front])
    width = np.ptp(values, axis=0)
    away = (values - values.min(axis=0)) / np.where(width > 0, width, 1.0)
    return front[int(np.argmin(np.linalg.norm(away, axis=1)))]


def trade_off(trials: Trials, preferences: int, *, seed: int, most: int, count: int) -> None:
    """Try points along the front; `front_of` all trials gives it.

    First each preference is made small by itself. Between the values that the others have there, their
    limits then move in equal steps, and at each step the first preference is made small, from three
    neighbours: the best known within the limits, the point found at the step before, and the far end.

    Args:
        trials: where points are tried.
        preferences: how many there are.
        seed: of the random numbers.
        most: points that may be tried, about.
        count: points on the front that are looked for, about.

    Raises:
        Ended: the whole search must end.
    """
    enough = trials.count + most
    share = int(most * _EXTREMES / preferences)
    first = improve(trials, Aim(0), seed=seed + 1, most=share, patience=2)
    if not first.scored.feasible:
        first = improve(trials, Aim(0), seed=seed + 2, most=enough - trials.count)
    if not first.scored.feasible:
        return
    ends = [first]
    for i in range(1, preferences):
        aim = Aim(i)
        begin = trials.box.to_unit(np.array(trials.best(aim).point))
        ends.append(improve(trials, aim, seed=seed + 2 + i, most=share, centre=begin, patience=2))
    values = np.array([end.scored.preferences for end in ends])
    least, most_of = values.min(axis=0), values.max(axis=0)
    width = most_of - least
    if not np.all(np.isfinite(width)):
        return
    scales = tuple(float(w) if w > 0 else 1.0 for w in width)
    a_side = max(1, round((count - 2) ** (1 / (preferences - 1))))
    shares = np.linspace(1, 0, a_side + 2)[1:-1]
    steps = list(product(shares, repeat=preferences - 1))
    before = ends[0]
    for number, step in enumerate(steps):
        if trials.count >= enough:
            return
        limits = tuple(
            float(low + part * w) for low, part, w in zip(least[1:], step, width[1:], strict=True)
        )
        aim = Aim(0, (math.inf, *limits), scales)
        part = (enough - trials.count) // (len(steps) - number)
        until = trials.count + part
        neighbours = {t.number: t for t in (trials.best(aim), before, *ends[1:])}
        for begun in neighbours.values():
            polish(trials, aim, begun, most=max(1, part // (2 * len(neighbours))))
        best = trials.best(aim)
        if trials.count < until:
            improve(
                trials,
                aim,
                seed=seed + 101 + number,
                most=until - trials.count,
                centre=trials.box.to_unit(np.array(best.point)),
                width=_WIDTH,
                patience=1,
            )
        before = trials.best(aim)
