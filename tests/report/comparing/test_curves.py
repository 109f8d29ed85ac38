"""Curves of several bikes: each line is that bike's own, as far as it goes."""

from __future__ import annotations

import math

import pytest

from frame3d.report.comparing.curves import curves
from frame3d.report.curves import rear_plots
from frame3d.report.texts import texts
from tests.report.comparing.samples import sizes, sprung

SAY = texts()


def test_lines_over_the_rear_travel() -> None:
    made = {plot.key: plot for plot in curves(sprung(), SAY)}
    assert {"leverage", "anti_squat", "anti_rise", "bb"} <= made.keys()
    assert "axle" not in made
    for plot in made.values():
        assert [s.name for s in plot.series] == list(sprung().labels)
        assert [s.look for s in plot.series] == [0, 1]
        assert plot.x[-1] == pytest.approx(170.0, abs=0.1)
    short, long = made["leverage"].series
    assert math.isfinite(long.values[-1])
    ends = [math.isfinite(y) for y in short.values]
    assert ends == sorted(ends, reverse=True)
    assert max(x for x, y in zip(made["leverage"].x, short.values, strict=True) if y == y) < 140.1
    moving = sprung().measured[0].travel
    assert moving is not None
    own = next(p for p in rear_plots(moving, SAY) if p.key == "anti_squat")
    middle = own.series[len(own.series) // 2].values
    assert made["anti_squat"].series[0].values[0] == pytest.approx(middle[0])
    assert "dotted" not in made["force"].says


def test_lines_over_the_forks_travel_where_only_forks_are_sprung() -> None:
    made = {plot.key: plot for plot in curves(sizes(), SAY)}
    assert set(made) == {"fork_angles", "fork_trail", "fork_height"}
    for member, series in zip(sizes().members, made["fork_trail"].series, strict=True):
        assert series.values[0] == pytest.approx(member.bike.chart["trail"])
