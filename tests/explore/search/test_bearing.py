"""Which values bear on what blocks."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import pearsonr

from frame3d.explore.search.bearing import Bearing, bearings, gains, unmoved
from frame3d.explore.search.problem import Problem, Scored
from frame3d.explore.search.trials import Trial
from tests.explore.search.problems import box


def _trials(count: int, together: bool = False) -> list[Trial]:
    points = np.random.default_rng(1).random((count, 3))
    if together:  # the second follows the first
        points[:, 1] = points[:, 0] + 0.1 * points[:, 1]
    return [
        Trial(i + 1, tuple(map(float, x)), Scored(1.0, (), {"gap": (np.exp(2 * x[0]) - 0.2 * x[2],)}, {"check": x[2]}))
        for i, x in enumerate(points)
    ]  # fmt: skip


@pytest.mark.parametrize("together", [False, True])
def test_by_regression(together: bool) -> None:
    """The gap grows with a and hardly with c; where b follows a, b does not get a's credit."""
    trials = _trials(200, together)
    found = bearings(trials, trials[0], np.ones(3), ("a", "b", "c"), ("gap", "check", "unknown"))
    gap = {one.name: one.coefficient for one in found if one.label == "gap"}
    assert next(iter(gap)) == "a"
    assert gap["a"] > 0.75
    assert abs(gap["b"]) < 0.15
    assert -0.3 < gap["c"] < 0
    check = [one for one in found if one.label == "check"]
    assert check[0].name == "c"
    assert check[0].coefficient == pytest.approx(-1, abs=0.1)  # a miss grows: more does not help
    assert {one.label for one in found} == {"gap", "check"}


def test_of_one_value_it_explains_the_correlation_squared() -> None:
    """With one value the share explained is the square of the correlation (textbook); within the tails."""
    x = np.linspace(0, 1, 60)
    y = x + 0.5 * np.random.default_rng(3).random(60)
    trials = [
        Trial(i + 1, (float(a),), Scored(1.0, (), {"w": (float(b),)}))
        for i, (a, b) in enumerate(zip(x, y, strict=True))
    ]
    (found,) = bearings(trials, trials[0], np.ones(1), ("a",), ("w",))
    assert found.coefficient == 1
    assert found.explained == pytest.approx(
        pearsonr(x, np.clip(y, *np.quantile(y, [0.05, 0.95]))).statistic ** 2, abs=1e-3
    )


def test_too_few_points_say_nothing() -> None:
    trials = _trials(9)
    assert bearings(trials, trials[0], np.ones(3), ("a", "b", "c"), ("gap",)) == ()


def test_where_nothing_bears() -> None:
    found = [
        Bearing("x", "a", 0.6, 0.05),
        Bearing("y", "a", -0.6, 0.9),
        Bearing("x", "b", 0.4, 0.05),
    ]
    missed = Scored(2.0, (), {"x": (-1.0,), "y": (-1.0,)})
    assert unmoved(found, missed) == ("x",)
    assert unmoved(found, Scored(1.0, (), {"x": (0.5,), "y": (-1.0,)})) == ()
    assert unmoved(found, Scored(9.0)) == ("x",)


def test_of_a_band_to_the_side_that_is_missed() -> None:
    """Points fall on both sides of the band; from below it, more helps, from above, less."""
    trials = [
        Trial(i + 1, (float(x),), Scored(1.0, (), {"band": (float(x) - 0.4, 0.6 - float(x))}))
        for i, x in enumerate(np.linspace(0, 1, 40))
    ]
    for around, sign in ((trials[0], 1), (trials[-1], -1)):
        (found,) = bearings(trials, around, np.ones(1), ("a",), ("band",))
        assert found.coefficient == sign
        assert found.explained > 0.99


def test_what_else_should_vary() -> None:
    """Of a wider box, the values whose change lessens the misses, by how much; none that cannot move."""
    tried: list[int] = []

    def objective(points: np.ndarray) -> list[Scored]:
        tried.append(len(points))
        return [
            Scored(9.0, (), {"gap": (x[0] - 8,)}, {"check": abs(x[1] - 1) / 10, "met": 0.0})
            for x in points
        ]

    where = box([0, 0, 0, 5], [10, 4, 1, 5], [0, 0, 0, 5], [None, 1, None, None])
    at = (5.0, 3.0, 0.5, 5.0)
    labels = ("gap", "check", "met", "unknown")
    first, second = gains(Problem(where, objective), at, labels, step=0.05)
    assert (first.label, first.name, first.change) == ("gap", "x1", 0.5)
    assert (first.gain, first.share) == (pytest.approx(0.5), pytest.approx(1 / 6))
    assert (second.label, second.name, second.change) == ("check", "x2", -1.0)
    assert (second.gain, second.share) == (pytest.approx(0.1), pytest.approx(0.5))
    assert tried == [1, 3, 1]  # the point, every value up, what made it worse down


def test_a_step_that_mends_a_fault_mends_all_of_it() -> None:
    """Beyond 0.3 there is a bike at all: the fault is gone, and the total says that it came further."""

    def objective(points: np.ndarray) -> list[Scored]:
        return [
            Scored(1e4, (), {}, {"gap": 2.0}) if x[0] > 0.3 else Scored(2e4, (), {}, {"impossible": 100.0})
            for x in points
        ]  # fmt: skip

    (found,) = gains(Problem(box([0], [1], [0]), objective), (0.2,), ("impossible",), step=0.2)
    assert (found.change, found.share) == (pytest.approx(0.2), 1.0)
    assert gains(Problem(box([0], [1], [0]), objective), (0.1,), ("impossible",), step=0.1) == ()
