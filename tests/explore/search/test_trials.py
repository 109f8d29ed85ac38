"""Points are tried once, in order, within a budget."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.search.problem import Aim, Problem, Scored
from frame3d.explore.search.trials import Ended, Trials
from tests.explore.search.problems import box


def test_each_point_once_and_in_the_order_asked() -> None:
    seen: list[list[float]] = []

    def objective(points: np.ndarray) -> list[Scored]:
        seen.extend(points.tolist())
        return [Scored(0.0, (float(x[0]),)) for x in points]

    trials = Trials(Problem(box([0], [4], [0], [1]), objective, ("a",)), 4)
    found = trials.at(np.array([[1.0], [0.26], [0.24], [1.0]]))
    assert [t.point for t in found] == [(4.0,), (1.0,), (1.0,), (4.0,)]
    assert seen == [[4.0], [1.0]]
    assert (trials.count, trials.left, trials.feasible) == (2, 2, 2)
    assert trials.best(Aim(0)).number == 2
    assert trials.spread(0) == 3
    assert trials.spread(None) == 0
    with pytest.raises(Ended) as ended:
        trials.at(np.linspace(0, 1, 5)[:, np.newaxis])
    assert ended.value.why == "budget"
    assert seen == [[4.0], [1.0], [0.0], [2.0]]  # what fits is still tried
    assert trials.at(np.array([[0.5]]))[0].number == 4  # what is known can still be asked
    assert [(b.evaluations, b.preferences) for b in trials.history] == [
        (1, (4,)),
        (2, (1,)),
        (3, (0,)),
    ]
