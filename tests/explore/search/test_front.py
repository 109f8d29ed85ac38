"""Trade-offs against fronts in closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.explore.search.driver import search
from frame3d.explore.search.front import balanced, front_of, hypervolume, nondominated
from frame3d.explore.search.problem import Problem, Scored
from frame3d.explore.search.trials import Trial
from tests.explore.search.problems import box

_ROWS = st.lists(
    st.lists(st.integers(0, 6).map(float), min_size=3, max_size=3), min_size=1, max_size=12
)


def test_nondominated_by_hand() -> None:
    rows = np.array([[2.0, 2], [1, 3], [2, 2], [3, 1], [3, 2], [1, 4]])
    assert nondominated(rows).tolist() == [True, True, False, True, False, False]


@given(_ROWS)
def test_nondominated_by_definition(rows: list[list[float]]) -> None:
    values = np.array(rows)
    kept = nondominated(values)
    for row, keep in zip(values, kept, strict=True):
        better = np.all(values <= row, axis=1) & np.any(values < row, axis=1)
        assert not (keep and better.any())
        assert any(np.array_equal(row, other) for other in values[kept]) == (not better.any())


def test_hypervolume_by_hand() -> None:
    assert hypervolume(np.array([[1.0, 2], [2, 1]]), np.array([3.0, 3])) == 3
    assert hypervolume(np.array([[0.0, 0, 0], [1, 1, 1]]), np.array([2.0, 3, 4])) == 24
    assert hypervolume(np.array([[4.0, 0]]), np.array([3.0, 3])) == 0
    assert hypervolume(np.array([[1.0], [2]]), np.array([3.0])) == 2


@settings(max_examples=30)
@given(_ROWS)
def test_hypervolume_counts_unit_cubes(rows: list[list[float]]) -> None:
    """Of whole numbers it is the number of unit cubes that some row dominates."""
    values = np.array(rows)
    corners = np.stack(np.meshgrid(*[np.arange(6.0)] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    counted = sum(bool(np.any(np.all(values <= corner, axis=1))) for corner in corners)
    assert hypervolume(values, np.full(3, 6.0)) == pytest.approx(counted)


def _parabolas(points: np.ndarray) -> list[Scored]:
    """Squares of the distances from two points, 1 apart."""
    away = np.zeros(points.shape[1])
    away[0] = 1.0
    return [Scored(0.0, (float(x @ x), float((x - away) @ (x - away)))) for x in points]


@pytest.mark.parametrize("numbers", [2, 5])
def test_two_parabolas(numbers: int) -> None:
    """Points between the two: f₂ = (1 − √f₁)², and the volume up to (1, 1) is
    1 − ∫₀¹ (1 − √t)² dt = 5/6 (derived).
    """
    where = box([-1] * numbers, [2] * numbers, [1.5] * numbers)
    found = search(Problem(where, _parabolas, ("near one", "near other")), 4000, 1, points=9)
    values = np.array([t.scored.preferences for t in found.front])
    assert len(values) >= 9
    excess = np.sqrt(values[:, 0]) + np.sqrt(values[:, 1]) - 1  # 0 on the front
    assert np.all(excess > -1e-9)
    assert np.median(excess) < 2e-3
    volume = hypervolume(values, np.ones(2))
    assert 0.97 * 5 / 6 < volume < 5 / 6
    assert values[:, 0].min() < 1e-4
    assert values[:, 1].min() < 1e-4
    assert found.best is not None
    assert found.best.point[0] == pytest.approx(0.5, abs=0.06)  # as near to one as to the other
    assert found.leading(3)[0] == found.best


def test_a_front_that_is_not_convex_under_a_wish() -> None:
    """f₁ = x, f₂ = 1 − x² bulges outward, so no weighted sum finds its middle (derived: a weighted sum
    of the two is least at an end); the wish cuts x ≤ 0.8 off and keeps y, which worsens both, above
    0.1.
    """

    def objective(points: np.ndarray) -> list[Scored]:
        scores = []
        for x, y in points:
            sides = (0.8 - x, y - 0.1)
            scores.append(
                Scored(
                    sum(max(0.0, -s) for s in sides),
                    (float(x + y), float(1 - x * x + y)),
                    {"wish": sides},
                )
            )
        return scores

    found = search(Problem(box([0, 0], [1, 1], [0.9, 0.9]), objective, ("a", "b")), 4000, 2)
    values = np.array([t.scored.preferences for t in found.front])
    excess = values[:, 1] - 0.1 - (1 - (values[:, 0] - 0.1) ** 2)
    middle = (values[:, 0] > 0.3) & (values[:, 0] < 0.7)
    assert np.count_nonzero(middle & (excess < 5e-3)) >= 3
    assert values[:, 0].max() == pytest.approx(0.9, abs=2e-3)


def test_three_preferences() -> None:
    """Squares of the distances from a triangle's corners: best are the points in the triangle."""
    corners = np.array([[0.0, 0], [1, 0], [0, 1]])

    def objective(points: np.ndarray) -> list[Scored]:
        return [Scored(0.0, tuple(((x - corners) ** 2).sum(axis=1).tolist())) for x in points]

    found = search(Problem(box([-1, -1], [2, 2], [2, 2]), objective, ("a", "b", "c")), 4000, 1)
    places = np.array([t.point for t in found.front])
    inside = (places.min(axis=1) > -0.02) & (places.sum(axis=1) < 1.02)
    assert np.mean(inside) > 0.9
    assert len(found.front) > 30


def test_what_cannot_be_met_has_no_front() -> None:
    def objective(points: np.ndarray) -> list[Scored]:
        return [Scored(1.0 + x[0], (x[0], 1 - x[0]), {}, {"wall": 1.0}) for x in points]

    found = search(Problem(box([0], [1], [0.5]), objective, ("a", "b")), 600, 1)
    assert found.front == ()
    assert found.feasible == 0
    assert found.best is not None
    assert found.best.scored.total == pytest.approx(1.0, abs=1e-2)


def test_front_leaves_out_what_misses_or_is_unknown() -> None:
    trials = [
        Trial(1, (1.0,), Scored(0.0, (1.0, 2.0))),
        Trial(2, (2.0,), Scored(0.5, (0.0, 0.0))),
        Trial(3, (3.0,), Scored(0.0, (0.0, math.inf))),
        Trial(4, (4.0,), Scored(0.0, (0.5, 3.0))),
    ]
    assert [t.number for t in front_of(trials)] == [4, 1]
    assert balanced(()) is None
    assert front_of(trials[1:3]) == ()
