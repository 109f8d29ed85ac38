"""Plots of frequency, dampers and returns."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from frame3d.report.ride_sections.damping_plots import HIT_TIME, damping_plots, shown_returns
from frame3d.report.texts import texts
from frame3d.ride.damping.of_bike import Damping
from tests.ride.damping.bikes import DAMPED, damping

SAY = texts("en")


def test_both_ends() -> None:
    plots = {plot.key: plot for plot in damping_plots(damping(*DAMPED), SAY)}
    assert list(plots) == [
        "return_rear",
        "return_front",
        "frequency",
        "damper_rear",
        "damper_front",
    ]
    assert [s.name for s in plots["frequency"].series] == ["Rear", "Front"]
    assert math.isnan(plots["frequency"].series[0].values[0])
    assert [s.name for s in plots["damper_front"].series] == ["Rebound"]
    assert plots["damper_front"].y_name == "Force, rebound"
    assert plots["damper_rear"].y_name == "Force"
    assert plots["return_rear"].motion == HIT_TIME
    assert "This bike's own" in [s.name for s in plots["return_rear"].series]


def test_returns_count_from_the_rest() -> None:
    """All start as deep as the hit, upward is positive; too little damping shoots over the rest."""
    end = damping().rear
    assert end is not None
    plot = damping_plots(damping(), SAY)[0]
    little, soonest, much = plot.series
    for series in plot.series:
        assert series.values[0] == pytest.approx(end.at_sag.travel - end.hit, abs=0.01)
    over = [max(series.values) for series in (little, soonest, much)]
    assert over[0] > 10
    assert 0 < over[1] < 5
    assert over[2] < 0


def test_one_end() -> None:
    plots = damping_plots(damping(name="trail_hardtail_29"), SAY)
    assert [plot.key for plot in plots] == ["return_front", "frequency"]
    assert [s.name for s in plots[1].series] == [""]
    assert len(plots[1].marks) == 1


def test_own_damper_takes_the_middle() -> None:
    rear, plain = damping(*DAMPED).rear, damping().rear
    assert rear is not None
    assert plain is not None
    assert [one.kind for one in shown_returns(rear)] == ["too_little", "own", "too_much"]
    assert [one.kind for one in shown_returns(plain)] == ["too_little", "quickest", "too_much"]
    assert shown_returns(replace(plain, returns=())) == ()


def test_nothing_to_plot() -> None:
    assert damping_plots(None, SAY) == ()
    assert damping_plots(Damping(None, None, (), ("rear: …",)), SAY) == ()
    rear = damping().rear
    assert rear is not None
    still = Damping(None, replace(rear, returns=()), (), ())
    assert [plot.key for plot in damping_plots(still, SAY)] == ["frequency"]
