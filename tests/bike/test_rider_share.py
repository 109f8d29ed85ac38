"""Loads of the wheels under riders of other masses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.rider_share import load_under, rear_share_of_rider
from frame3d.bike.solve import solve
from frame3d.bike.weight import weigh
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE


def test_the_load_under_another_rider_is_that_of_the_bike_that_carries_them(bike: Bike) -> None:
    """Against weighing the same bike with the other rider's mass in the file."""
    weight = weigh(bike)
    assert weight.mass_kg is not None
    own = weight.mass_kg * 9.80665 * weight.rear_share
    share = rear_share_of_rider(bike, weight)
    for kg in (55, 110):
        text = (MINIMAL + SINGLE).replace("rider: {mass_kg: 80", f"rider: {{mass_kg: {kg}")
        other = weigh(solve(loads(text)))
        assert other.mass_kg is not None
        wanted = other.mass_kg * 9.80665 * other.rear_share
        assert load_under(own, 80, kg, share) == pytest.approx(wanted, abs=1e-6)


def test_a_given_share_or_no_posture_is_that_of_rider_and_bicycle(bike: Bike) -> None:
    weight = weigh(bike)
    assert rear_share_of_rider(bike, weight) != pytest.approx(weight.rear_share, abs=1e-3)
    assert rear_share_of_rider(replace(bike, rider=None), weight) == weight.rear_share
    given = solve(loads(MINIMAL + SINGLE.replace("  sag: 30%", "  rear_share: 66%\n  sag: 30%")))
    assert rear_share_of_rider(given, weigh(given)) == pytest.approx(0.66)
