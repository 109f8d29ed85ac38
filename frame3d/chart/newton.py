"""Solve the chart's relations by Newton's method, in small blocks, for many bikes at once.

`plan` splits the relations into blocks that can be solved one after another, as small as possible;
`run` solves them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from frame3d.chart.relations import ANGLES, Relation, Values
from frame3d.geometry.arrays import Array, Mask

RESIDUAL = 1e-9
"""A relation holds where its residual is at most this [mm]."""
_ROUNDS = 60
"""Largest number of Newton steps."""
_TURN = 0.2
"""Largest change of an angle in one Newton step [rad], so that steps do not jump to another branch."""
_STILL = 1e-12
"""Relative step below which the iteration has converged."""
_BLOCK = 3
"""Largest block that is searched for; if there is none, all remaining relations form one block."""


@dataclass(frozen=True)
class EquationBlock:
    """Relations that together determine as many unknowns."""

    relations: tuple[Relation, ...]
    unknowns: tuple[str, ...]

    @property
    def is_linear(self) -> bool:
        """Whether one exact step solves it: one relation, linear in its one unknown."""
        return len(self.unknowns) == 1 and self.unknowns[0] in self.relations[0].linear


def plan(relations: Sequence[Relation], known: frozenset[str]) -> tuple[EquationBlock, ...]:
    """Return blocks in the order of solving, each the smallest set that determines its unknowns.

    Args:
        relations: as many as there are unknowns.
        known: variables whose values are given.

    Raises:
        ValueError: a relation has no unknown left, or the numbers of relations and unknowns differ.
    """
    shape = tuple((tuple(r.partials), r.linear) for r in relations)
    return tuple(
        EquationBlock(tuple(relations[i] for i in places), unknowns)
        for places, unknowns in _order(shape, known)
    )


_Shape = tuple[tuple[str, ...], frozenset[str]]
"""Variables of a relation, and those in which it is linear."""


@lru_cache(maxsize=256)
def _order(
    shape: tuple[_Shape, ...], known: frozenset[str]
) -> tuple[tuple[tuple[int, ...], tuple[str, ...]], ...]:
    """Return the blocks as places of relations and their unknowns.

    They depend on what the relations are about alone, not on their numbers, so a bike's many poses share
    them.
    """
    rest = list(range(len(shape)))
    open_of = {i: set(variables) - known for i, (variables, _) in enumerate(shape)}
    blocks: list[tuple[tuple[int, ...], tuple[str, ...]]] = []
    while rest:
        places, unknowns = _next_block(rest, open_of, shape)
        blocks.append((places, unknowns))
        rest = [i for i in rest if i not in places]
        for i in rest:
            open_of[i].difference_update(unknowns)
    return tuple(blocks)


def _next_block(
    rest: Sequence[int], open_of: Mapping[int, Set[str]], shape: Sequence[_Shape]
) -> tuple[tuple[int, ...], tuple[str, ...]]:
    if any(not open_of[i] for i in rest):
        raise ValueError("a relation has nothing left to settle")
    # Among relations with one unknown left, take a linear one first: it cannot pick a wrong branch.
    ones = [i for i in rest if len(open_of[i]) == 1]
    if ones:
        one = next((i for i in ones if open_of[i] <= shape[i][1]), ones[0])
        return (one,), tuple(open_of[one])
    for size in range(2, min(_BLOCK, len(rest)) + 1):
        few = [i for i in rest if len(open_of[i]) <= size]
        for group in combinations(few, size):
            names: frozenset[str] = frozenset().union(*(open_of[i] for i in group))
            if len(names) == size:
                return group, _ordered(group, names, shape)
    names = frozenset().union(*(open_of[i] for i in rest))
    if len(names) != len(rest):
        raise ValueError(f"{len(rest)} relations for {len(names)} unknowns")
    return tuple(rest), _ordered(rest, names, shape)


def _ordered(
    places: Sequence[int], names: frozenset[str], shape: Sequence[_Shape]
) -> tuple[str, ...]:
    """Return `names` in order of first appearance, so that results do not depend on hashing."""
    return tuple(dict.fromkeys(v for i in places for v in shape[i][0] if v in names))


def run(blocks: Sequence[EquationBlock], values: Values, count: int) -> Mask:
    """Solve the blocks in order, in place.

    Args:
        blocks: from `plan`.
        values: givens and start values, each (count,) float, in mm and rad; unknowns are overwritten.
        count: number of bikes.

    Returns:
        (count,) bool: whether each bike converged. Values of the others have no meaning.
    """
    good = np.ones(count, dtype=bool)
    with np.errstate(all="ignore"):
        for block in blocks:
            if block.is_linear:
                name = block.unknowns[0]
                relation = block.relations[0]
                step = relation.residual(values) / relation.partials[name](values)
                values[name] = values[name] - step
                continue
            good &= (
                _one(block, values) if len(block.unknowns) == 1 else _several(block, values, count)
            )
        for block in blocks:
            for relation in block.relations:
                # NaN compares as false, so a bike with NaN has not converged.
                good &= np.abs(relation.residual(values)) <= RESIDUAL
    return good


def _one(block: EquationBlock, values: Values) -> Mask:
    """Solve one relation for one unknown, in place; return which bikes converged: (count,)."""
    name, relation = block.unknowns[0], block.relations[0]
    partial = relation.partials[name]
    still = np.zeros(values[name].shape, dtype=bool)
    for _ in range(_ROUNDS):
        x = values[name]
        step = relation.residual(values) / partial(values)
        if name in ANGLES:
            step = np.clip(step, -_TURN, _TURN)
        # One that has converged rests, so that it does not depend on the others of its batch.
        step = np.where(still, 0.0, step)
        values[name] = x - step
        still = np.abs(step) <= _STILL * (1 + np.abs(x))
        if np.all(still | ~np.isfinite(step)):
            break
    return still


def _several(block: EquationBlock, values: Values, count: int) -> Mask:
    """Solve relations for as many unknowns, in place; return which bikes converged: (count,)."""
    names = block.unknowns
    still = np.zeros(count, dtype=bool)
    for _ in range(_ROUNDS):
        residual = np.empty((count, len(names)))
        for i, relation in enumerate(block.relations):
            residual[:, i] = relation.residual(values)
        matrix = jacobian(block.relations, names, values, count)
        step = _solve(matrix, residual)
        turn = np.ones(count)
        for j, name in enumerate(names):
            if name in ANGLES:
                turn = np.maximum(turn, np.abs(step[:, j]) / _TURN)
        step = np.where(still[:, None], 0.0, step / turn[:, None])
        still = np.ones(count, dtype=bool)
        for j, name in enumerate(names):
            x = values[name]
            values[name] = x - step[0, j] if np.ndim(x) == 0 else x - step[:, j]
            still &= np.abs(step[:, j]) <= _STILL * (1 + np.abs(x))
        if np.all(still | ~np.isfinite(step).all(axis=1)):
            break
    return still


def jacobian(
    relations: Sequence[Relation], names: Sequence[str], values: Values, count: int
) -> Array:
    """Return each relation's derivative by each variable: (count, len(relations), len(names)) float."""
    matrix = np.zeros((count, len(relations), len(names)))
    for i, relation in enumerate(relations):
        for j, name in enumerate(names):
            if name in relation.partials:
                matrix[:, i, j] = relation.partials[name](values)
    return matrix


def _solve(matrix: Array, residual: Array) -> Array:
    """Solve systems (count, n, n) for (count, n); a singular system gives NaN, not an exception."""
    broken = np.logical_not(np.isfinite(matrix).all(axis=(1, 2)))
    safe = np.where(broken[:, None, None], np.eye(matrix.shape[1]), matrix)
    try:
        step = np.linalg.solve(safe, residual[..., None])[..., 0]
    except np.linalg.LinAlgError:
        step = np.full(residual.shape, np.nan)
        for k in range(len(safe)):
            try:
                step[k] = np.linalg.solve(safe[k], residual[k])
            except np.linalg.LinAlgError:
                continue
    step[broken] = np.nan
    return np.asarray(step)
