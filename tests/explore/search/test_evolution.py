"""A run of CMA-ES comes to rest where it should."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.search.evolution import evolve, is_better, population_of
from frame3d.explore.search.problem import Aim, Problem, Scored
from frame3d.explore.search.trials import Trials
from tests.explore.search.problems import box, problem


def test_usual_population() -> None:
    """4 + ⌊3 ln n⌋ is 10 for 10 numbers and 6 for 2 (Hansen's tutorial, equation 48); never below 8."""
    assert [population_of(n) for n in (0, 2, 10, 40)] == [8, 8, 10, 15]


def test_trifles_are_nothing_better() -> None:
    aim = Aim(0)
    assert is_better(aim, Scored(0, (1.0,)), Scored(0, (1.1,)), 1.0)
    assert not is_better(aim, Scored(0, (1.0,)), Scored(0, (1.00001,)), 1.0)
    assert is_better(aim, Scored(0, (9.0,)), Scored(0.001, (1.0,)), 1.0)
    assert is_better(aim, Scored(0.9, (9.0,)), Scored(1.0, (1.0,)), 1.0)
    assert not is_better(aim, Scored(0.99999, (0.0,)), Scored(1.0, (1.0,)), 1.0)
    assert not is_better(aim, Scored(0.1, (0.0,)), Scored(0.0, (1.0,)), 1.0)


def test_an_ellipsoid_that_is_a_thousand_times_longer_than_wide() -> None:
    """The least value is 0 at the middle; the axes' lengths must be learned."""
    lengths = 10.0 ** np.linspace(0, 3, 6)
    trials = Trials(
        problem(
            box([0] * 6, [1] * 6, [0.9] * 6), lambda x: float(np.sum(lengths * (x - 0.4) ** 2))
        ),
        9000,
    )
    best = evolve(trials, Aim(0), np.full(6, 0.9), width=0.15, population=12, seed=1, most=5000)
    np.testing.assert_allclose(best.point, 0.4, atol=0.01)
    assert trials.count < 5000  # it came to rest by itself


def test_first_to_what_meets_the_wishes() -> None:
    """The preference draws away from the only corner that meets the wish."""
    trials = Trials(
        problem(
            box([0] * 4, [1] * 4, [0.1] * 4), lambda x: float(x.sum()), lambda x: x.min() - 0.8
        ),
        4000,
    )
    best = evolve(trials, Aim(0), np.full(4, 0.1), width=0.1, population=10, seed=2, most=3000)
    assert best.scored.feasible
    np.testing.assert_allclose(best.point, 0.8, atol=0.02)


def test_nothing_to_vary_and_nothing_that_helps() -> None:
    fixed = Trials(problem(box([1], [1], [1]), lambda x: float(x[0])), 10)
    one = evolve(fixed, Aim(0), np.zeros(1), width=0.1, population=8, seed=1, most=9)
    assert (one.point, fixed.count) == ((1.0,), 1)
    flat = Trials(Problem(box([0] * 2, [1] * 2, [0] * 2), lambda p: [Scored(1.0)] * len(p)), 9999)
    evolve(flat, Aim(), np.full(2, 0.5), width=0.1, population=8, seed=1, most=9000)
    assert flat.count == pytest.approx(18 * 8, abs=9)  # its patience: 10 + 30 · 2 / 8 generations
