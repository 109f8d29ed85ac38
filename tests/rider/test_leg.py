"""The knee by the law of cosines, its rate, and the hip from a knee angle."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.rider.leg import distance_at, flexion, flexion_rate, hip_over
from frame3d.rider.segments import lengths_of

LEG = replace(lengths_of(1800), thigh=441.0, shank=442.8)


@pytest.mark.parametrize(("apart", "knee"), [(800, 50.3045), (850, 31.7939), (870, 20.2767)])
def test_law_of_cosines(apart: float, knee: float) -> None:
    """Derived: thigh 441, shank 442.8 mm, hip to ankle 800, 850, 870 mm."""
    assert flexion(LEG, apart) == pytest.approx(knee, abs=5e-5)


def test_a_straight_leg_and_beyond() -> None:
    assert flexion(LEG, LEG.leg) == pytest.approx(0, abs=1e-5)
    assert flexion(LEG, LEG.leg + 0.01) is None
    assert flexion(LEG, 1.0) is None
    assert flexion_rate(LEG, LEG.leg) is None
    assert flexion_rate(LEG, LEG.leg + 1) is None


def test_a_right_angle() -> None:
    """Pythagoras."""
    leg = replace(LEG, thigh=300.0, shank=400.0)
    assert flexion(leg, 500) == pytest.approx(90)
    assert distance_at(leg, 90) == pytest.approx(500)


@given(st.floats(0.1, 170))
def test_there_and_back(knee: float) -> None:
    assert flexion(LEG, distance_at(LEG, knee)) == pytest.approx(knee, abs=1e-6)


@given(st.floats(5, 150))
def test_rate_is_the_slope(knee: float) -> None:
    """Against a central difference."""
    at, h = distance_at(LEG, knee), 1e-3
    below, above = flexion(LEG, at - h), flexion(LEG, at + h)
    assert below is not None
    assert above is not None
    assert above < below
    assert flexion_rate(LEG, at) == pytest.approx((above - below) / (2 * h), rel=1e-4)


@given(st.floats(-200, 200), st.floats(5, 90))
def test_the_hip_is_as_far_as_the_knee_says(aside: float, knee: float) -> None:
    saddle, ankle = complex(-180 + aside, 700), -100 - 60j
    apart = distance_at(LEG, knee)
    height = hip_over(saddle, ankle, apart)
    assert height is not None
    assert abs(saddle + 1j * height - ankle) == pytest.approx(apart)


def test_no_hip_where_the_saddle_is_too_far_aside() -> None:
    assert hip_over(-1000 + 700j, 0j, 900) is None
