"""The saddle against gravity, by vectors of its own."""

from __future__ import annotations

from math import atan, cos, degrees, sin

import pytest

from frame3d.ride.slopes.saddle import saddle_on_climb

SADDLE = complex(-170.0, 730.0)


def test_on_the_level_it_is_the_trades_angle() -> None:
    found = saddle_on_climb(SADDLE, 0.0, 0.0)
    assert found.seat_degrees == pytest.approx(degrees(atan(730 / 170)), abs=1e-12)
    assert found.behind == pytest.approx(170.0, abs=1e-12)


@pytest.mark.parametrize("percent", [10.0, 20.0, 30.0])
def test_a_climb_takes_its_angle_off(percent: float) -> None:
    level, there = saddle_on_climb(SADDLE, 0.0, 0.0), saddle_on_climb(SADDLE, 0.0, percent)
    theta = atan(percent / 100)
    assert there.seat_degrees == pytest.approx(level.seat_degrees - degrees(theta), abs=1e-12)
    # Plumb from the saddle to the height of the bottom bracket: rotation by hand.
    assert there.behind == pytest.approx(170 * cos(theta) + 730 * sin(theta), abs=1e-9)


def test_pitch_counts_like_a_gradient() -> None:
    theta = degrees(atan(0.2))
    pitched, uphill = saddle_on_climb(SADDLE, theta, 0.0), saddle_on_climb(SADDLE, 0.0, 20.0)
    assert pitched.behind == pytest.approx(uphill.behind)
    assert pitched.seat_degrees == pytest.approx(uphill.seat_degrees)
