"""Room over the top tube where the feet stand."""

from __future__ import annotations

import pytest

from frame3d.ride.fit.astride import astride, astride_of, breadth_of
from frame3d.tubes.standover import upper_edge
from tests.ride.fit.samples import FULL, HARDTAIL, bike


def test_the_highest_edge_over_the_feet_counts() -> None:
    """A rising top tube: the front of the place; against the standover of the chart over its rear."""
    demo = bike(HARDTAIL)
    drawn, sag = astride_of(demo)
    assert (drawn.stance, sag.stance) == ("drawn", "sag")
    height = demo.chart["bb_height"]
    ahead = 0.36 * 290
    edge = upper_edge(demo.tubes, ahead)
    assert height is not None
    assert edge is not None
    assert drawn.ahead == pytest.approx(ahead)
    assert drawn.top_tube == pytest.approx(height + edge)
    assert drawn.room == pytest.approx(840 - height - edge)
    standover = demo.chart["standover"]
    assert standover is not None
    assert drawn.top_tube > standover
    # the fork sinks, so the bike stands lower at sag
    assert sag.top_tube < drawn.top_tube


def test_a_finer_search_finds_no_higher_edge() -> None:
    demo = bike(FULL)
    (drawn, _) = astride_of(demo)
    height = demo.chart["bb_height"]
    assert height is not None
    fine = [upper_edge(demo.tubes, drawn.ahead * i / 200) for i in range(201)]
    assert drawn.top_tube == pytest.approx(height + max(e for e in fine if e is not None), abs=0.01)


def test_a_shoes_own_width_counts_first() -> None:
    assert breadth_of(bike(HARDTAIL, "build.shoe={width: 90}")) == 90
    assert breadth_of(bike(HARDTAIL, "build.shoe={}")) == pytest.approx(0.36 * 290)
    assert breadth_of(bike(HARDTAIL, "build.rider.shoe_length=null")) is None


def test_nothing_without_inseam_shoe_or_tube() -> None:
    assert list(astride_of(bike(HARDTAIL, "build.rider.shoe_length=null"))) == []
    assert list(astride_of(bike(HARDTAIL, "build.rider.inseam=null"))) == []
    demo = bike(HARDTAIL)
    assert astride("drawn", [], 310.0, 100.0, 800.0) is None
    others = [tube for tube in demo.tubes if tube.key != "top_tube"]
    assert astride("drawn", others, 310.0, 100.0, 800.0) is None
