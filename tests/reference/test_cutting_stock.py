"""Fewest bars, held against an integer program that HiGHS solves (scipy.optimize.milp).

One variable for each piece in each bar and one for each bar, after L. V. Kantorovich's formulation of the
cutting stock problem (Management Science 6 (1960), 366-422; quoted from memory): nothing in common with
the search in `fabrication.ordering`.
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from frame3d.fabrication.ordering.stock import Piece, StockLength, cut_stock


def fewest(lengths: list[float], bar: float, kerf: float, most: int) -> int:
    """Number of bars by the integer program, given a number that suffices."""
    n = len(lengths)
    columns = n * most + most  # piece i in bar j, then bar j
    cost = np.r_[np.zeros(n * most), np.ones(most)]
    each = np.zeros((n, columns))
    room = np.zeros((most, columns))
    for i in range(n):
        each[i, i * most : (i + 1) * most] = 1
    for j in range(most):
        room[j, [i * most + j for i in range(n)]] = [length + kerf for length in lengths]
        room[j, n * most + j] = -(bar + kerf)
    order = np.zeros((most - 1, columns))  # bars are used in their order
    for j in range(most - 1):
        order[j, n * most + j], order[j, n * most + j + 1] = -1, 1
    constraints = [LinearConstraint(each, lb=1, ub=1), LinearConstraint(room, ub=0)]
    if most > 1:
        constraints.append(LinearConstraint(order, ub=0))
    result = milp(cost, integrality=np.ones(columns), bounds=Bounds(0, 1), constraints=constraints)
    assert result.status == 0
    return round(result.fun)


@pytest.mark.parametrize("seed", range(8))
def test_as_few_bars_as_the_integer_program(seed: int) -> None:
    rng = random.Random(seed)
    lengths = [5.0 * rng.randint(60, 160) for _ in range(rng.randint(9, 12))]
    kerf = rng.choice([0.0, 2.0, 3.0])
    plan = cut_stock([Piece(x, "") for x in lengths], [StockLength(2000)], kerf=kerf)
    assert plan.is_proven
    assert len(plan.bars) == fewest(lengths, 2000, kerf, len(plan.bars) + 1)
