"""Designs of a sweep against scipy's own points, and their order."""

from __future__ import annotations

from itertools import islice

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import qmc

from frame3d.explore.sampling import count_of, designs_of, value_at, values_on
from frame3d.explore.study.study import Sample, Varied

PIVOT = Varied("suspension.points.main_pivot.from_start", 55, 95)
ANGLE = Varied("geometry.head_angle", 63, 66, step=0.5)
TYRE = Varied("build.rear_wheel.tyre", values=("58-622", "61-622", "64-622"))


@pytest.mark.parametrize("count", [64, 100])
def test_sobol_points_are_scipys(count: int) -> None:
    other = Varied("geometry.reach", 400, 500)
    found = np.array(list(designs_of((PIVOT, other), Sample("sobol", count, 7))), float)
    points = qmc.Sobol(2, scramble=True, seed=np.random.default_rng(7)).random_base2(7)[:count]
    np.testing.assert_allclose(found, qmc.scale(points, [55, 400], [95, 500]), atol=1e-6)


def test_sobol_blocks_join_without_a_seam() -> None:
    found = np.array(list(designs_of((PIVOT,), Sample("sobol", 8192, 3))), float)
    points = qmc.Sobol(1, scramble=True, seed=np.random.default_rng(3)).random_base2(13)
    np.testing.assert_allclose(found, qmc.scale(points, 55, 95), atol=1e-6)


def test_latin_hypercube_is_scipys_and_has_one_point_in_each_slice() -> None:
    other = Varied("geometry.reach", 400, 500)
    found = np.array(list(designs_of((PIVOT, other), Sample("latin_hypercube", 50, 2))), float)
    points = qmc.LatinHypercube(2, seed=np.random.default_rng(2)).random(50)
    np.testing.assert_allclose(found, qmc.scale(points, [55, 400], [95, 500]), atol=1e-6)
    slices = np.floor((found[:, 0] - 55) / 40 * 50)
    assert sorted(slices) == list(range(50))


def test_grid_in_order_the_last_value_fastest() -> None:
    grid = list(designs_of((PIVOT, TYRE), Sample("grid", 3)))
    assert grid == [(p, t) for p in (55.0, 75.0, 95.0) for t in TYRE.values]
    assert count_of((PIVOT, TYRE), Sample("grid", 3)) == 9


def test_grid_takes_all_multiples_of_a_step_and_all_of_a_list() -> None:
    assert values_on(ANGLE, 2) == (63, 63.5, 64, 64.5, 65, 65.5, 66)
    assert values_on(Varied("a", 0, 0.35, step=0.1), 2) == (0, 0.1, 0.2, 0.3)
    assert values_on(Varied("a", values=(3.0, 1.0, 3.0)), 9) == (3, 1)
    assert values_on(PIVOT, 1) == (55,)
    assert values_on(Varied("a", 4, 4), 5) == (4,)


def test_a_grid_beyond_memory_begins_at_once() -> None:
    many = [Varied(f"a.{i}", 0, 1) for i in range(12)]
    assert count_of(many, Sample("grid", 100)) == 100**12
    first = list(islice(designs_of(many, Sample("grid", 100)), 2))
    assert first[1][:11] == (0,) * 11


def test_shares_become_steps_and_names() -> None:
    assert [value_at(ANGLE, s) for s in (0, 0.08, 0.09, 1)] == [63, 63, 63.5, 66]
    assert [value_at(TYRE, s) for s in (0, 0.33, 0.34, 0.67, 1)] == [
        "58-622", "58-622", "61-622", "64-622", "64-622",
    ]  # fmt: skip


@pytest.mark.parametrize("kind", ["sobol", "latin_hypercube"])
def test_what_rounding_makes_the_same_comes_once(kind: str) -> None:
    sample = Sample(kind, 512, 1)  # type: ignore[arg-type]
    found = list(designs_of((ANGLE, TYRE), sample))
    assert len(found) == len(set(found)) == count_of((ANGLE, TYRE), sample) == 21
    assert set(found) == set(designs_of((ANGLE, TYRE), Sample("grid", 1)))


@settings(max_examples=20, deadline=None)
@given(st.sampled_from(["sobol", "latin_hypercube"]), st.integers(0, 2**40), st.integers(1, 60))
def test_same_seed_same_table_within_the_limits(kind: str, seed: int, count: int) -> None:
    sample = Sample(kind, count, seed)  # type: ignore[arg-type]
    one = list(designs_of((PIVOT, ANGLE, TYRE), sample))
    assert one == list(designs_of((PIVOT, ANGLE, TYRE), sample))
    assert len(one) <= count
    for pivot, angle, tyre in one:
        assert 55 <= float(pivot) <= 95
        assert (float(angle) - 63) % 0.5 == 0
        assert tyre in TYRE.values
    assert one != list(designs_of((PIVOT, ANGLE, TYRE), Sample(kind, count, seed + 1)))  # type: ignore[arg-type]


def test_a_range_without_limits_is_told() -> None:
    with pytest.raises(ValueError, match="two limits"):
        list(designs_of((Varied("a.b"),), Sample("sobol", 4)))
