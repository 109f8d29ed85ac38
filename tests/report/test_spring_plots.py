"""The plots of springs."""

from __future__ import annotations

import pytest

from frame3d.report.drawing.plots import figure
from frame3d.report.ride_sections.spring_plots import shown_curves, spring_plots
from frame3d.report.texts import texts
from frame3d.ride.springs.of_bike import springs_of
from frame3d.ride.springs.reducers import ForceCurve
from tests.ride.springs.bikes import FORK_AIR, bike

SAY = texts("en")


def curves(count: int, fitted: int) -> tuple[ForceCurve, ...]:
    return tuple(ForceCurve(i, i == fitted, (0.0, 1.0), (0.0, 1.0)) for i in range(count))


@pytest.mark.parametrize(
    ("count", "fitted", "shown"),
    [(1, 0, [0]), (3, 1, [0, 1, 2]), (5, 0, [0, 2, 4]), (5, 3, [0, 3, 4]), (6, 5, [0, 3, 5])],
)
def test_three_curves_at_most(count: int, fitted: int, shown: list[int]) -> None:
    assert [c.reducer_count for c in shown_curves(curves(count, fitted))] == shown


def test_a_plot_for_each_spring() -> None:
    air = FORK_AIR.replace("negative", "reducer_cm3: 8, most_reducers: 2, negative")
    rear, fork = spring_plots(springs_of(bike(air)), SAY)
    assert (rear.key, fork.key) == ("springs_rear", "springs_fork")
    assert [s.name for s in rear.series] == [""]
    assert [s.name for s in fork.series] == ["no reducer", "1 reducer", "2 reducers"]
    # Along the fork's motion, which is that of its stanchions.
    assert fork.over[-1] == pytest.approx(140, abs=0.01)
    assert fork.x[-1] < 130
    assert rear.over == rear.x
    assert "Fork: force at the wheel" in figure(fork, SAY)


def test_no_springs_no_plots() -> None:
    assert spring_plots(None, SAY) == ()
