"""Bars of ratios: places on one logarithmic scale, bars that run out of it, named ratios apart."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from frame3d.report.stiffness_sections.ratio_bars import (
    APART,
    EDGE,
    FARTHEST,
    LEAST_SPAN,
    WIDE,
    bars,
    place,
    span_of,
)
from frame3d.stiffness.comparison import ratio, side_by_side
from frame3d.stiffness.load_cases import CASES
from tests.stiffness.test_of_bike import result


def test_equal_ratios_are_equal_ways() -> None:
    span = (0.5, 2.0)
    assert place(1.0, span) == pytest.approx(WIDE / 2)
    assert place(2.0, span) == pytest.approx(WIDE - EDGE)
    assert place(1.25, span) - place(1.0, span) == pytest.approx(
        place(1.0, span) - place(0.8, span)
    )
    assert (place(0.1, span), place(9.0, span)) == (0.0, WIDE)


def test_the_scale_holds_every_band_but_those_far_away() -> None:
    near = side_by_side(("a", "b"), [result("hardtail")] * 2)
    assert near is not None
    assert span_of(near) == (1 / LEAST_SPAN, LEAST_SPAN)
    far = side_by_side(("a", "b"), [result("hardtail"), result("adventure")])
    assert far is not None
    low, high = span_of(far)
    assert high == FARTHEST  # down at the bottom bracket it is nearly four times as stiff
    assert low < 0.7


def test_bar_band_and_words_of_a_row() -> None:
    span = (0.5, 2.0)
    one = ratio(CASES[0], 1.2, alike=False)
    drawn = bars([(3, "L", one, "1.20 stiffer")], span, "label")
    bar = re.search(r'<rect x="([\d.]+)" y="\d+" width="([\d.]+)".*?class="bike-3"', drawn)
    assert bar is not None
    assert float(bar[1]) == pytest.approx(place(1.0, span), abs=0.06)
    assert float(bar[1]) + float(bar[2]) == pytest.approx(place(1.2, span), abs=0.11)
    limits = re.findall(r'x1="([\d.]+)"[^>]*x2="([\d.]+)"[^>]*class="limits"', drawn)
    assert [float(x) for x in limits[0]] == pytest.approx(
        [place(one.low, span), place(one.high, span)], abs=0.06
    )
    assert len(limits) == 3
    assert ">L<" in drawn
    assert ">1.20 stiffer<" in drawn
    beyond = bars([(0, "L", ratio(CASES[0], 0.1, alike=False), "")], span, "label")
    assert beyond.count('class="limits"') == 1  # its ends are out of the picture


def test_named_ratios_keep_apart_and_one_is_always_there() -> None:
    for span in ((0.8, 1.25), (1 / 3, 3.0), (0.8, 2.0)):
        drawn = bars([], span, "label")
        at = sorted(float(x) for x in re.findall(r'<text x="([\d.]+)"', drawn))
        assert min(b - a for a, b in pairwise(at)) >= APART - 0.11
        assert ">1</text>" in drawn
