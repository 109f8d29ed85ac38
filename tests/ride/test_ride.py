"""All topics of the ride together."""

from __future__ import annotations

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.ride.ride import Ride, ride_of
from tests.linkage.demos import CONFIGS


def test_a_bike_that_gives_nothing_has_no_topic_that_fails() -> None:
    ride = ride_of(solve(load(CONFIGS / "minimal.yaml")))
    assert isinstance(ride, Ride)
    assert len(set(ride.left_out)) == len(ride.left_out)
    assert len(set(ride.assumptions)) == len(ride.assumptions)
