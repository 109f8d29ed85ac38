"""Plots over the bar angle are the solver's."""

from __future__ import annotations

from frame3d.report.ride_sections.steering_plots import steering_plots
from frame3d.report.texts import texts
from frame3d.ride.steering.of_bike import steering_of
from tests.ride.steering.bikes import FULL, HARDTAIL, NO_RIDER, bike

SAY = texts()


def test_plots_are_the_solvers_at_every_angle() -> None:
    figures = steering_of(bike(FULL))
    drop, falls = steering_plots(figures, SAY)
    own = figures.ridden
    assert drop.x[-1] == 75.0
    for angle, value, torque in zip(
        drop.x, drop.series[0].values, falls.series[0].values, strict=True
    ):
        assert value == own.at(angle).drop
        assert torque == own.at(angle).falling_in_nm
    assert drop.marks == ()  # too close to the stop for its name
    hardtail = steering_of(bike(HARDTAIL))
    assert steering_plots(hardtail, SAY)[0].marks[0][0] == hardtail.ridden.lowest_angle
    assert [plot.key for plot in steering_plots(steering_of(bike(NO_RIDER)), SAY)] == [
        "steers_drop"
    ]


def test_no_plots_of_nothing() -> None:
    assert steering_plots(None, SAY) == ()
