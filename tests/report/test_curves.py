"""Curves: their values are the analysis', as a hand would compute them from its own numbers."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.report.curves import fork_plots, rear_plots
from frame3d.report.drawing.plots import Plot
from frame3d.report.texts import texts
from tests.report.samples import four_link_layout


@cache
def moving() -> TravelAnalysis:
    return over_travel(four_link_layout(), 21)


def plots() -> dict[str, Plot]:
    return {plot.key: plot for plot in rear_plots(moving(), texts())}


def test_every_curve_runs_over_the_travel_with_a_title_and_an_explanation() -> None:
    found = plots()
    assert {"leverage", "force", "rate", "anti_squat", "anti_rise", "axle", "bb"} <= set(found)
    for key, plot in found.items():
        assert plot.title
        assert plot.says
        assert plot.motion == "rear"
        assert all(len(series.values) == 21 for series in plot.series)
        along = plot.over if key == "axle" else plot.x
        assert along is not None
        assert (along[0], along[-1]) == pytest.approx((0.0, 140.0), abs=0.1)


def test_the_force_is_the_work_that_its_area_says() -> None:
    """Force and rate of the wheel are curve and slope; leverage is travel over stroke."""
    found = plots()
    x = np.array(found["force"].x)
    force, rate = (np.array(found[key].series[0].values) for key in ("force", "rate"))
    slope = np.gradient(force, x)[4:-2]
    assert rate[4:-2] == pytest.approx(slope, rel=0.02)
    leverage = np.array(found["leverage"].series[0].values)
    linkage = four_link_layout().linkage
    assert linkage is not None
    stroke = np.trapezoid(1 / leverage, x)
    assert stroke == pytest.approx(linkage.full_stroke, rel=1e-3)
    assert found["force"].from_zero


def test_the_axles_path_starts_at_nothing_and_keeps_its_shape() -> None:
    axle = plots()["axle"]
    assert (axle.x[0], axle.series[0].values[0]) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert axle.same_scale
    assert axle.series[0].values[-1] == pytest.approx(140, abs=0.1)  # travel is measured upright


def test_three_gears_are_drawn_the_hardest_middle_and_easiest() -> None:
    analysis = moving()
    gears = list(analysis.curves.gears.values())
    assert [gear.cog for gear in gears] == [10, 21, 51]
    many = {
        f"32/{cog}": replace(gears[0], cog=cog) for cog in (51, 12, 10, 14, 24, 18, 28)
    }  # in no order
    curves = replace(analysis.curves, gears=many)
    found = {p.key: p for p in rear_plots(replace(analysis, curves=curves), texts())}
    names = [series.name for series in found["anti_squat"].series]
    assert [name.split("/")[-1] for name in names] == [
        texts()("curve.gear", ring=32, cog=cog).split("/")[-1] for cog in (10, 18, 51)
    ]
    none = replace(analysis, curves=replace(analysis.curves, gears={}))
    assert "anti_squat" not in {p.key for p in rear_plots(none, texts())}


def test_sag_is_marked_where_it_is() -> None:
    sag = moving().sag
    assert sag is not None
    (mark,) = plots()["leverage"].marks
    assert mark[0] == sag.travel


CHARTS = [
    (x, {"head_tube_angle": 65 + x / 100, "effective_seat_tube_angle": 75.0, "trail": 110 - x,
         "wheel_flop": None, "bb_height": 310 - 0.4 * x})
    for x in (0.0, 50.0, 100.0)
]  # fmt: skip


def test_figures_over_the_forks_travel() -> None:
    angles, trail, height = fork_plots(CHARTS, 25.0, texts())
    assert (angles.key, angles.x, angles.y_unit) == ("fork_angles", (0.0, 50.0, 100.0), "degrees")
    assert angles.series[0].values == (65.0, 65.5, 66.0)
    assert trail.series[0].values == (110.0, 60.0, 10.0)
    assert np.isnan(trail.series[1].values).all()  # a figure that the chart has not
    assert [series.name for series in height.series] == [""]  # its axis names it
    assert {plot.marks[0][0] for plot in (angles, trail, height)} == {25.0}
    assert fork_plots(CHARTS, None, texts())[0].marks == ()
    assert fork_plots(CHARTS[:1], 25.0, texts()) == ()
