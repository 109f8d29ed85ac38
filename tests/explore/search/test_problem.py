"""Boxes, scores and aims."""

from __future__ import annotations

import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.search.problem import Aim, Scored
from tests.explore.search.problems import box


def test_shares_of_a_span_and_back() -> None:
    where = box([55, 63, 0, 7], [95, 66.2, 3, 7], [60, 64, 1, 7], [None, 0.5, 1, None])
    assert where.span.tolist() == [40, 3, 3, 0]
    assert where.free.tolist() == [True, True, True, False]
    assert where.stepped.tolist() == [False, True, True, False]
    np.testing.assert_allclose(where.unit_steps, [0, 1 / 6, 1 / 3, 0])
    assert where.from_unit(np.ones(4)).tolist() == [95, 66, 3, 7]
    assert where.from_unit(np.full(4, -3.0)).tolist() == [55, 63, 0, 7]
    assert where.to_unit(np.array([75, 64.5, 9, 7])).tolist() == [0.5, 0.5, 1, 0]
    assert where.count == math.inf
    assert box([0, 1], [2, 1.25], [0, 1], [1, 0.1]).count == 9


@given(st.lists(st.floats(0, 1), min_size=3, max_size=3))
def test_allowed_points_stay(unit: list[float]) -> None:
    where = box([55, 63, 0], [95, 66.2, 3], [60, 64, 1], [None, 0.5, 1])
    point = where.from_unit(np.array(unit))
    np.testing.assert_array_equal(where.snap(point), point)
    np.testing.assert_array_equal(where.from_unit(where.to_unit(point)), point)


def test_what_blocks() -> None:
    assert Scored(0.0, (), {"a": (1.0,)}).blocking is None
    assert Scored(3.0, (), {"a": (2.0, -1.0), "b": (-2.0,)}).blocking == "b"
    assert Scored(3.0, (), {"a": (-1.0,)}, {"check": 2.0, "met": 0.0}).blocking == "check"
    assert Scored(3.0, (), {"a": (-1.0,)}, blocked_by="chart").blocking == "chart"
    assert Scored(3.0).blocking is None
    assert math.isnan(Scored(3.0).margin("a"))


def test_misses_count_before_the_preference() -> None:
    aim = Aim(0)
    good, better, missing = Scored(0.0, (2.0,)), Scored(0.0, (1.0,)), Scored(0.1, (0.0,))
    assert sorted([missing, good, better], key=aim.key) == [better, good, missing]
    assert aim.key(Scored(math.nan, (math.nan,))) == (math.inf, math.inf)
    assert Aim().key(good) == (0.0, 0.0)


def test_a_limit_of_another_preference_counts_as_a_wish() -> None:
    aim = Aim(0, (math.inf, 5.0), (1.0, 10.0))
    assert aim.key(Scored(0.0, (3.0, 4.0))) == (0.0, 3.0)
    assert aim.key(Scored(0.0, (3.0, 7.0))) == (pytest.approx(0.2), 3.0)
    assert aim.margins(Scored(0.0, (3.0, 7.0))) == (math.inf, pytest.approx(-0.2))


def test_scores_and_boxes_cross_processes() -> None:
    one = Scored(0.1, (1.0,), {"a": (1.0,)})
    assert pickle.loads(pickle.dumps(one)) == one
    assert pickle.loads(pickle.dumps(box([0], [1], [0]))).names == ("x1",)
