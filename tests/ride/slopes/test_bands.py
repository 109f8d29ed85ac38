"""Bands from the places where a rider's centre of mass may be."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest

from frame3d.ride.slopes.bands import ALONG, UP, band, places
from frame3d.ride.slopes.statics import balance, gradient_at


def test_places_are_along_up_and_by_the_other_tables() -> None:
    found = places(100 + 900j, [92 + 877j, 90 + 878j])
    assert found[0] == 100 + 900j
    assert set(found[1:3] - found[0]) == {ALONG, -ALONG}
    assert set(found[3:5] - found[0]) == {1j * UP, -1j * UP}
    assert list(found[5:]) == [92 + 877j, 90 + 878j]


def test_ends_are_the_root_of_the_sum_of_squares() -> None:
    # Three sources of 3, 4 and 12: 3² + 4² + 12² = 13².
    values = np.array([50.0, 53.0, 47.0, 46.0, 54.0, 62.0, 38.0])
    found = band(values)
    assert (found.low, found.middle, found.high) == (37.0, 50.0, 63.0)
    assert found.half == 13.0


def test_tables_that_only_lower_a_figure_widen_one_side() -> None:
    found = band(np.array([50.0, 53.0, 47.0, 54.0, 46.0, 38.0, 45.0]))
    assert found.low == 50.0 - 13.0
    assert found.high == 50.0 + hypot(3, 4)


def test_a_band_ends_at_its_limits() -> None:
    found = band(np.array([1.0, 4.0, -2.0, 1.0, 1.0]), 0.0, 3.0)
    assert (found.low, found.middle, found.high) == (0.0, 1.0, 3.0)
    assert band(np.array([-5.0, -4.0, -6.0, -5.0, -5.0]), 0.0).middle == 0.0


def test_lift_of_a_worked_bike() -> None:
    # Derived for wheelbase 1200, centre 460 ahead and 1080 high: 30 mm along alone make 2.78 points, 50
    # mm up 1.9 (42.59 % · 50 / 1130 and / 1030), together 3.3 to 3.5.
    at = places(460 + 1080j, [])
    found = band(100 * gradient_at(balance(at.real, at.imag, 1200.0)))
    along, lower, higher = 100 * 30 / 1080, 100 * 460 / 1030, 100 * 460 / 1130
    assert found.high == pytest.approx(found.middle + sqrt(along**2 + (lower - found.middle) ** 2))
    assert found.low == pytest.approx(found.middle - sqrt(along**2 + (found.middle - higher) ** 2))
    assert 3.2 < found.half < 3.6
