"""The polish reaches optima to many digits, and never gives anything worse."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import rosen

from frame3d.explore.search.polish import polish
from frame3d.explore.search.problem import Aim, Problem, Scored
from frame3d.explore.search.trials import Trials
from tests.explore.search.problems import box, problem


def _polished(asked: Problem, start: list[float], aim: Aim, most: int = 400) -> tuple:
    trials = Trials(asked, 5000, wanted=5000)
    begun = trials.at(asked.box.to_unit(np.array(start, float))[np.newaxis, :])[0]
    return begun, polish(trials, aim, begun, most=most), trials


def test_corner_of_two_wishes() -> None:
    """Least 3x + 2y where x + y ≥ 1 and x ≥ 2y: at (2/3, 1/3) with 8/3 (derived: of the corner's two
    edges 3x + 2y grows along both).
    """
    asked = problem(
        box([0, 0], [2, 2], [1.5, 0.5]),
        lambda x: 3 * x[0] + 2 * x[1],
        lambda x: x[0] + x[1] - 1,
        lambda x: x[0] - 2 * x[1],
    )
    _, best, _ = _polished(asked, [1.5, 0.5], Aim(0))
    np.testing.assert_allclose(best.point, [2 / 3, 1 / 3], atol=5e-5)
    assert best.scored.feasible


def test_with_no_preference_the_nearest_that_meets_the_wishes() -> None:
    """From the middle to a disc at the edge: along the line to its middle (derived)."""

    def objective(points: np.ndarray) -> list[Scored]:
        margins = [0.2 - math.hypot(x[0] - 1, x[1] - 1) for x in points]
        return [Scored(max(0.0, -m), (), {"disc": (m,)}) for m in margins]

    asked = Problem(box([0, 0], [1, 1], [0, 0.5]), objective)
    _, best, _ = _polished(asked, [0, 0.5], Aim())
    away = 0.2 / math.hypot(1, 0.5)
    np.testing.assert_allclose(best.point, [1 - away, 1 - away / 2], atol=1e-3)


def test_a_band_has_two_sides() -> None:
    def objective(points: np.ndarray) -> list[Scored]:
        scores = []
        for x in points:
            sides = (100 * (x[0] * x[1] - 0.3), 100 * (0.31 - x[0] * x[1]))
            scores.append(Scored(max(0.0, -min(sides)), (float(x @ x),), {"band": sides}))
        return scores

    asked = Problem(box([0, 0], [1, 1], [0.9, 0.8]), objective, ("size",))
    _, best, _ = _polished(asked, [0.9, 0.8], Aim(0))
    np.testing.assert_allclose(best.point, math.sqrt(0.3), atol=2e-3)  # derived: x = y, xy = 0.3
    assert best.scored.feasible


def test_a_check_that_has_no_margin_turns_it_back_on_the_way() -> None:
    asked = problem(
        box([0, 0], [1, 1], [0.9, 0.9]), lambda x: x @ x, lambda x: x[0] - 0.4, smooth=False
    )
    begun, best, trials = _polished(asked, [0.9, 0.9], Aim(0))
    assert trials.count < 40  # it does not go on beyond what stops it
    assert best.scored.feasible
    assert best.scored.preferences[0] < 0.6 * begun.scored.preferences[0]


def test_a_limit_of_another_preference_is_kept() -> None:
    def objective(points: np.ndarray) -> list[Scored]:
        return [Scored(0.0, (x[0] ** 2, (x[0] - 1) ** 2)) for x in points]

    asked = Problem(box([0], [1], [0.9]), objective, ("a", "b"))
    _, best, _ = _polished(asked, [0.9], Aim(0, (math.inf, 0.25), (1.0, 1.0)))
    assert best.point[0] == pytest.approx(0.5, abs=1e-4)  # derived: (x − 1)² = 0.25


def test_where_neighbours_cannot_be_measured() -> None:
    """Beyond 0.5 nothing is known: no slope, no end by NaN."""

    def objective(points: np.ndarray) -> list[Scored]:
        return [
            Scored(0.0, ((x[0] - 1) ** 2,), {"a": (1.0,)})
            if x[0] <= 0.5
            else Scored(9.0, (math.inf,), {}, {}, "broken")
            for x in points
        ]

    asked = Problem(box([0], [1], [0.4]), objective, ("a",))
    _, best, _ = _polished(asked, [0.4], Aim(0))
    assert 0.45 < best.point[0] <= 0.5
    _, edge, _ = _polished(asked, [0.5], Aim(0))
    assert edge.point[0] == 0.5


def test_numbers_by_steps_stay_and_few_points_are_enough() -> None:
    asked = problem(box([0, 0], [4, 4], [3, 3], [1, None]), lambda x: (x - 1.2) @ (x - 1.2))
    _, best, trials = _polished(asked, [3, 3], Aim(0))
    assert best.point[0] == 3
    assert best.point[1] == pytest.approx(1.2, abs=1e-4)
    assert trials.count < 60
    whole = problem(box([0], [4], [3], [1]), lambda x: x @ x)
    begun, best, trials = _polished(whole, [3], Aim(0))
    assert best is begun
    assert trials.count == 1


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-2, 2), min_size=3, max_size=3), st.integers(1, 80), st.booleans())
def test_never_worse(start: list[float], most: int, smooth: bool) -> None:
    asked = problem(
        box([-2] * 3, [2] * 3, [0] * 3), rosen, lambda x: np.cos(5 * x[0]) + x[1], smooth=smooth
    )
    begun, best, _ = _polished(asked, start, Aim(0), most)
    assert Aim(0).key(best.scored) <= Aim(0).key(begun.scored)
