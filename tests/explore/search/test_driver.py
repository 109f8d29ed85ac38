"""The search finds optima that are known from elsewhere, ends as it should, and repeats itself."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import rosen

from frame3d.explore.search.driver import search
from frame3d.explore.search.problem import Problem, Scored
from tests.explore.search.problems import box, problem


def test_rosenbrock_within_a_cubic_and_a_line() -> None:
    """The least value of Rosenbrock's function is 0, at (1, 1); both constraints hold there, as
    equalities, so it is the constrained optimum too (derived). Its valley between the constraints is
    a twentieth wide; another, at the origin, has 1: the search begins beside the narrow one.
    """
    found = search(
        problem(
            box([-1.5, -0.5], [1.5, 2.5], [0.8, 1.2]),
            rosen,
            lambda x: x[1] - 1 - (x[0] - 1) ** 3,
            lambda x: 2 - x[0] - x[1],
        ),
        3000,
        1,
    )
    assert found.best is not None
    assert found.best.scored.feasible
    assert found.best.scored.preferences[0] < 1e-5
    np.testing.assert_allclose(found.best.point, [1, 1], atol=5e-3)


def test_rosenbrock_within_a_disc() -> None:
    """(1, 1) lies on the disc's edge, x² + y² = 2 (derived)."""
    found = search(
        problem(box([-1.5, -1.5], [1.5, 1.5], [-1, -1]), rosen, lambda x: 2 - x @ x), 4000, 1
    )
    assert found.best is not None
    assert found.best.scored.preferences[0] < 1e-4
    np.testing.assert_allclose(found.best.point, [1, 1], atol=0.02)


def _bird(x: np.ndarray) -> float:
    a, b = x
    return float(
        np.sin(b) * np.exp((1 - np.cos(a)) ** 2)
        + np.cos(a) * np.exp((1 - np.sin(b)) ** 2)
        + (a - b) ** 2
    )


def test_mishras_bird_within_a_disc() -> None:
    """−106.7645367 at (−3.1302468, −1.5821422): value from memory of lists of test functions for
    constrained optimisation; a fine grid around it, below, finds nothing less.
    """
    found = search(
        problem(
            box([-10, -6.5], [0, 0], [-6, -5]),
            _bird,
            lambda x: 25 - (x[0] + 5) ** 2 - (x[1] + 5) ** 2,
        ),
        6000,
        1,
    )
    assert found.best is not None
    assert found.best.scored.preferences[0] == pytest.approx(-106.7645367, abs=1e-4)
    np.testing.assert_allclose(found.best.point, [-3.1302468, -1.5821422], atol=1e-3)
    grid = [
        _bird(np.array([a, b]))
        for a in np.linspace(-10, 0, 201)
        for b in np.linspace(-6.5, 0, 131)
        if (a + 5) ** 2 + (b + 5) ** 2 < 25
    ]
    assert min(grid) > found.best.scored.preferences[0]


def test_townsends_function_in_its_bean() -> None:
    """−2.0239884 at (2.0052938, 1.1944509): value from memory of lists of test functions for
    constrained optimisation. The constraint is active there.
    """

    def value(x: np.ndarray) -> float:
        a, b = x
        return float(-(np.cos((a - 0.1) * b) ** 2) - a * np.sin(3 * a + b))

    def inside(x: np.ndarray) -> float:
        t = math.atan2(x[0], x[1])
        bean = 2 * math.cos(t) - math.cos(2 * t) / 2 - math.cos(3 * t) / 4 - math.cos(4 * t) / 8
        return float(bean**2 + (2 * math.sin(t)) ** 2 - x[0] ** 2 - x[1] ** 2)

    found = search(problem(box([-2.25, -2.5], [2.25, 1.75], [0, 0]), value, inside), 8000, 1)
    assert found.best is not None
    assert found.best.scored.preferences[0] == pytest.approx(-2.0239884, abs=1e-4)
    np.testing.assert_allclose(found.best.point, [2.0052938, 1.1944509], atol=2e-3)


@pytest.mark.parametrize("smooth", [True, False])
def test_corner_of_a_thin_crescent(smooth: bool) -> None:
    """Two circles leave a crescent; the optimum is the corner where they cross (G6 of Michalewicz's
    collection, f = −6961.81388: value from memory). The corner is derived: the circles' equations
    subtracted give x = 14.095, then y = 5 − √(82.81 − 8.095²).
    """
    found = search(
        problem(
            box([13, 0], [100, 100], [20.1, 5.84]),
            lambda x: (x[0] - 10) ** 3 + (x[1] - 20) ** 3,
            lambda x: (x[0] - 5) ** 2 + (x[1] - 5) ** 2 - 100,
            lambda x: 82.81 - (x[0] - 6) ** 2 - (x[1] - 5) ** 2,
            smooth=smooth,
        ),
        4000,
        1,
    )
    assert found.best is not None
    assert found.best.scored.feasible
    corner = [14.095, 5 - math.sqrt(82.81 - 8.095**2)]
    np.testing.assert_allclose(found.best.point, corner, atol=2e-4 if smooth else 0.05)
    if smooth:
        assert found.best.scored.preferences[0] == pytest.approx(-6961.81388, abs=0.1)


@pytest.mark.parametrize("numbers", [1, 8])
def test_sphere_above_a_plane(numbers: int) -> None:
    """The nearest point of Σx ≥ 1 to the origin is x = 1/n, with Σx² = 1/n (derived)."""
    found = search(
        problem(
            box([-2] * numbers, [3] * numbers, [-1.5] * numbers),
            lambda x: x @ x,
            lambda x: x.sum() - 1,
        ),
        6000,
        1,
    )
    assert found.best is not None
    assert found.best.scored.preferences[0] == pytest.approx(1 / numbers, abs=1e-4)
    np.testing.assert_allclose(found.best.point, 1 / numbers, atol=3e-3)


def test_numbers_by_steps_and_lists_against_all_there_are() -> None:
    """Three coupled numbers, two of them whole: the best of all the lattice, the third worked out."""
    shape = np.array([[3.0, 1.2, 0.7], [1.2, 2.0, -0.6], [0.7, -0.6, 1.5]])
    middle = np.array([4.4, 11.7, 0.37])

    def value(x: np.ndarray) -> float:
        return float((x - middle) @ shape @ (x - middle))

    found = search(
        problem(
            box([0, 0, -1], [30, 40, 1], [25, 38, -0.5], [1, 2, None]),
            value,
            lambda x: 14.5 - x[0] - x[1],
        ),
        6000,
        1,
    )
    best = min(
        value(np.array([i, j, z]))
        for i in range(31)
        for j in range(0, 41, 2)
        for z in [np.clip(0.37 - (0.7 * (i - 4.4) - 0.6 * (j - 11.7)) / 1.5, -1, 1)]
        if i + j <= 14.5
    )
    assert found.best is not None
    assert found.best.scored.preferences[0] == pytest.approx(best, abs=1e-6)
    assert all(float(t.point[0]).is_integer() and t.point[1] % 2 == 0 for t in found.trials)


def test_few_points_are_all_tried() -> None:
    found = search(
        problem(box([0, 0.1], [2, 0.4], [2, 0.1], [1, 0.1]), lambda x: (x[0] - 1) ** 2 - x[1]),
        99,
        1,
    )
    assert found.ended == "all tried"
    assert len(found.trials) == 12
    assert found.best is not None
    assert found.best.point == (1.0, 0.4)


def _wall(points: np.ndarray) -> list[Scored]:
    """Nothing but the first number helps, and never enough."""
    return [Scored(1.0 + x[0], (), {"wall": (-1.0 - x[0],), "easy": (1.0 + x[1],)}) for x in points]


def test_what_blocks_and_what_bears_on_it() -> None:
    found = search(Problem(box([0, 0, 0], [1, 1, 1], [0.5, 0.5, 0.5]), _wall), 400, 3)
    assert found.feasible == 0
    assert found.best is not None
    assert found.best.scored.total == pytest.approx(1.0, abs=1e-3)
    assert found.blocking == {"wall": len(found.trials)}
    first = found.bearings[0]
    assert (first.label, first.name) == ("wall", "x1")
    assert first.coefficient < -0.9
    assert found.unmoved == ()
    assert found.leading(3) == ()


def test_a_wish_on_which_nothing_bears() -> None:
    def deaf(points: np.ndarray) -> list[Scored]:
        return [Scored(2.0, (), {"deaf": (-2.0,)}) for _ in points]

    found = search(Problem(box([0, 0], [1, 1], [0.5, 0.5]), deaf), 3000, 3)
    assert found.ended == "nothing improves"
    assert found.unmoved == ("deaf",)


def test_the_first_that_meets_all_is_enough_where_nothing_is_preferred() -> None:
    def objective(points: np.ndarray) -> list[Scored]:
        margins = [0.01 - (x[0] - 0.9) ** 2 for x in points]
        return [Scored(max(0.0, -m), (), {"near": (m,)}) for m in margins]

    where = box([0, 0], [1, 1], [0.1, 0.1])
    found = search(Problem(where, objective), 500, 1)
    assert found.ended == "enough"
    assert found.best is not None
    assert found.best.scored.feasible
    more = search(Problem(where, objective), 500, 1, wanted=5)
    assert more.feasible >= 5
    assert len(more.leading(5)) == 5


def test_ends_at_the_budget_and_when_told() -> None:
    sphere = problem(box([-2, -2], [3, 3], [2, 2]), lambda x: x @ x)
    assert (short := search(sphere, 37, 1)).ended == "budget"
    assert len(short.trials) == 37
    told = []
    stopped = search(sphere, 500, 1, told.append, lambda: len(told) >= 3)
    assert stopped.ended == "told"
    assert len(told) == 3
    assert told[-1].evaluations == len(stopped.trials) < 500
    assert stopped.best == told[-1].best
    at_once = search(sphere, 500, 1, None, lambda: True)
    assert (at_once.best, at_once.trials, at_once.ended) == (None, (), "told")
    with pytest.raises(ValueError, match="at least one"):
        search(sphere, 0, 1)


def test_the_start_comes_first_and_the_history_only_betters() -> None:
    found = search(
        problem(box([-2, -2], [3, 3], [2, 2]), lambda x: x @ x, lambda x: 0.5 - x[0]), 300, 1
    )
    assert found.trials[0].point == (2.0, 2.0)
    keys = [(one.total, one.preferences) for one in found.history]
    assert keys == sorted(keys, reverse=True)
    assert found.best is not None
    assert found.history[-1].preferences == found.best.scored.preferences
    assert [t.number for t in found.trials] == list(range(1, len(found.trials) + 1))
    assert len({t.point for t in found.trials}) == len(found.trials)


def test_limits_that_the_best_point_is_at() -> None:
    found = search(
        problem(box([1, -2, -3, 5], [3, 3, -1, 5], [2, 2, -2, 5]), lambda x: x @ x), 400, 1
    )
    assert found.at_limits == (("x1", "least"), ("x3", "most"))


def test_a_generation_has_work_for_every_worker() -> None:
    sizes = []

    def objective(points: np.ndarray) -> list[Scored]:
        sizes.append(len(points))
        return [Scored(1.0 + float(x @ x)) for x in points]

    search(Problem(box([-2, -2], [3, 3], [2, 2]), objective, batch=24), 600, 1)
    assert sizes[1] == 24


def test_a_value_that_cannot_vary_stays() -> None:
    fixed = problem(box([-2, 1], [3, 1], [2, 1]), lambda x: x @ x)
    found = search(fixed, 300, 1)
    assert found.best is not None
    assert found.best.point == pytest.approx((0, 1), abs=1e-3)


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 2**31), st.integers(1, 4), st.booleans())
def test_same_seed_same_table(seed: int, numbers: int, stepped: bool) -> None:
    where = box([-2] * numbers, [3] * numbers, [1] * numbers, [0.25 if stepped else None] * numbers)
    sphere = problem(where, lambda x: x @ x, lambda x: x.sum() - 1)
    one, two = search(sphere, 150, seed), search(replace(sphere), 150, seed)
    assert one == two
