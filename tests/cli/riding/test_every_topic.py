"""All topics of the ride on a terminal."""

from __future__ import annotations

from frame3d.cli.riding.every_topic import ridden
from frame3d.ride.ride import Ride


def test_nothing_is_said_of_a_bike_that_gives_nothing() -> None:
    assert ridden(Ride(fit=None, slopes=None, springs=None, damping=None, steering=None), 100) == ""
