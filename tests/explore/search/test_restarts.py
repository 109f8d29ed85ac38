"""Restarts find what one run misses, and end."""

from __future__ import annotations

import numpy as np

from frame3d.explore.search.problem import Aim
from frame3d.explore.search.restarts import improve
from frame3d.explore.search.trials import Trials
from tests.explore.search.problems import box, problem


def _valleys(x: np.ndarray) -> float:
    """A broad valley at 0.2 with 1, where the search begins; a narrower one at 0.85 with 0."""
    broad = 1 + 4 * float(np.sum((x - 0.2) ** 2))
    narrow = 30 * float(np.sum((x - 0.85) ** 2))
    return min(broad, narrow)


def test_another_valley_is_found_by_a_later_run() -> None:
    trials = Trials(problem(box([0] * 2, [1] * 2, [0.2] * 2), _valleys), 9000)
    best = improve(trials, Aim(0), seed=1, most=9000)
    np.testing.assert_allclose(best.point, 0.85, atol=1e-3)
    short = Trials(problem(box([0] * 2, [1] * 2, [0.2] * 2), _valleys), 9000)
    first = improve(short, Aim(0), seed=1, most=9000, patience=0, width=0.02)
    np.testing.assert_allclose(first.point, 0.2, atol=1e-3)


def test_ends_where_nothing_improves_or_its_share_is_spent() -> None:
    trials = Trials(problem(box([0] * 2, [1] * 2, [0.2] * 2), lambda x: x @ x), 90_000)
    improve(trials, Aim(0), seed=1, most=90_000)
    assert trials.count < 9000
    few = Trials(problem(box([0] * 2, [1] * 2, [0.2] * 2), lambda x: x @ x), 90_000)
    improve(few, Aim(0), seed=1, most=100)
    assert 100 <= few.count < 100 + 8
