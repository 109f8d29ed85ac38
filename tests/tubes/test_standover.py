"""Standover over placed tubes: by hand, pitched, where no tube is, and of two tubes the higher one."""

from __future__ import annotations

import math

import pytest

from frame3d.tubes.standover import add_standovers, place_of, reaches_over, upper_edge
from frame3d.tubes.tube import Tube
from tests.frames import bar, context

BACK, AHEAD = (-120.0, 0.0, 380.0), (430.0, 0.0, 600.0)


def tubes(**more: object) -> list[Tube]:
    return list(context({"top_tube": {**bar(31.8, BACK, AHEAD), **more}}).tubes)


@pytest.mark.parametrize("ahead", [0.0, 50.0, -30.0, 155.0])
def test_a_straight_tube_by_hand(ahead: float) -> None:
    """Axis at the place, and half the diameter over the cosine of its slope."""
    slope = 220 / 550
    by_hand = 380 + (ahead + 120) * slope + 15.9 * math.hypot(1, slope)
    assert upper_edge(tubes(), ahead) == pytest.approx(by_hand, abs=1e-9)


def test_a_tube_that_is_pitched() -> None:
    """Nose up by 4°: both ends turn about the bottom bracket, the tube's slope by as much."""
    turn = math.radians(4)
    (px, pz), (qx, qz) = (
        (x * math.cos(turn) - z * math.sin(turn), x * math.sin(turn) + z * math.cos(turn))
        for x, _, z in (BACK, AHEAD)
    )
    slope = (qz - pz) / (qx - px)
    by_hand = pz - px * slope + 15.9 * math.hypot(1, slope)
    assert upper_edge(tubes(), 0.0, 4.0) == pytest.approx(by_hand, abs=1e-9)


def test_a_straight_tube_that_tapers_between_two_places() -> None:
    """Its upper edge is straight from 100 to 400 mm along it: 20 mm over the axis, then down to 15."""
    along = math.hypot(550, 220)
    cos, sin = 550 / along, 220 / along

    def edge(s: float) -> tuple[float, float]:
        out = 20 - 5 * (s - 100) / 300
        return -120 + s * cos - out * sin, 380 + s * sin + out * cos

    (x0, z0), (x1, z1) = edge(100), edge(400)
    taper = {"start": 40.0, "end": 30.0, "after": 100.0, "over": 300.0}
    made = upper_edge(tubes(od=taper), 50.0)
    assert made == pytest.approx(z0 + (50 - x0) / (x1 - x0) * (z1 - z0), abs=1e-9)


def test_where_no_top_tube_passes() -> None:
    assert upper_edge(tubes(), -121.0) is None
    assert upper_edge(tubes(), 431.0) is None
    assert upper_edge([], 0.0) is None
    assert place_of("standover", []) is None
    assert reaches_over(tubes(), -119.0)


def test_at_its_very_ends_it_is_still_the_upper_edge() -> None:
    """The outside ends askew over the axis' ends: the edge counts as if it ran on."""
    slope = 220 / 550
    for x, z in ((-120.0, 380.0), (430.0, 600.0)):
        assert upper_edge(tubes(), x) == pytest.approx(z + 15.9 * math.hypot(1, slope), abs=1e-9)


def test_of_two_top_tubes_the_higher_point_counts() -> None:
    """Side by side at y = ±30 they are as high as one in the middle."""
    pair = bar(20.0, (-120.0, 30.0, 380.0), (430.0, 30.0, 600.0), pair=True)
    both = list(context({"top_tube": pair}).tubes)
    assert len(both) == 2
    slope = 220 / 550
    by_hand = 380 + 120 * slope + 10 * math.hypot(1, slope)
    assert upper_edge(both, 0.0) == pytest.approx(by_hand, abs=1e-6)


def test_what_a_chart_is_told() -> None:
    """What the relations tell stays; what they leave open comes from the tube; else it is None."""
    chart: dict[str, float | None] = {
        "bb_height": 310.0, "standover": 745.0, "standover_mid_tube": None,
    }  # fmt: skip
    add_standovers(chart, tubes())
    assert chart["standover"] == 745.0
    slope = 220 / 550
    assert chart["standover_mid_tube"] == pytest.approx(310 + 490 + 15.9 * math.hypot(1, slope))
    add_standovers(chart, [])
    assert chart["standover"] is chart["standover_mid_tube"] is None
