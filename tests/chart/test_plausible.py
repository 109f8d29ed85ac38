"""Plausible ranges, and starts spread over them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.chart.diagnosis import all_variables, start_values
from frame3d.chart.plausible import implausible, plausible_range, spread
from frame3d.chart.relations import chart_relations

NAMES = all_variables(chart_relations(saddle=True))


def test_ranges_are_those_of_the_file_and_of_bicycles() -> None:
    assert plausible_range("reach") == (50, 800)
    assert plausible_range("head_tube_angle") == (45, 90)
    assert plausible_range("saddle_height") == (300, 1100)


@pytest.mark.parametrize(
    ("name", "value", "is_out"),
    [
        ("reach", 800.0, False),
        ("reach", 801.0, True),
        ("head_tube_angle", math.radians(90), False),
        ("head_tube_angle", math.radians(44), True),
        ("rear_axle_setback", -1.0, True),
    ],
)
def test_what_is_out_of_range(name: str, value: float, is_out: bool) -> None:
    assert implausible({name: value}) == ([name] if is_out else [])


@pytest.mark.parametrize("name", NAMES)
def test_starts_fill_the_range(name: str) -> None:
    starts = spread(name, start_values([name], 64)[name], NAMES.index(name))
    assert all(implausible({name: float(value)}) == [] for value in starts)
    assert starts[0] == pytest.approx(start_values([name])[name][0])
    low, high = plausible_range(name)
    reach = np.ptp(np.degrees(starts) if "angle" in name else starts)
    assert reach > 0.7 * (high - low)
