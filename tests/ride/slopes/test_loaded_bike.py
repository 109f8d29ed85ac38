"""A bike's masses and springs, ready for slopes."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.bike.solve import solve
from frame3d.bike.weight import weigh
from frame3d.linkage import Air
from frame3d.parameters import load
from frame3d.ride.slopes.loaded_bike import LoadedBike, loaded_bike, rider_places
from tests.linkage.demos import CONFIGS


@cache
def _bike(name: str) -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml"))


def _loaded(bike: Bike) -> LoadedBike:
    return loaded_bike(bike, rider_places(bike))


@pytest.mark.parametrize("name", ["trail_full_140", "trail_hardtail_29", "adventure_rigid"])
def test_lumps_are_the_whole_bike_and_its_rider(name: str) -> None:
    bike = _bike(name)
    masses, places = mass_model(bike), rider_places(bike)
    assert bike.spec.build.rider is not None
    kg = bike.spec.build.rider.mass_kg
    for posture, lumps in _loaded(bike).postures.items():
        assert lumps.total_kg == pytest.approx(kg + masses.total_kg, abs=1e-9)
        moment = (
            lumps.frame_kg * lumps.frame + lumps.rear_kg * lumps.rear + lumps.front_kg * lumps.front
        )
        whole = kg * places[posture] + masses.total_kg * complex(*masses.centre)
        assert moment == pytest.approx(whole, abs=1e-6)


def test_places_are_turned_back_from_the_sag_into_the_frames_axes() -> None:
    bike = _bike("trail_full_140")
    assert bike.sagged is not None
    assert bike.sagged.rider is not None
    assert bike.sagged.rider.seated is not None
    x, _, z = bike.sagged.rider.seated.centre_of_mass
    there = rider_places(bike)["seated"][0]
    # As far from the bottom bracket, and turned by the pitch.
    assert abs(there) == pytest.approx(np.hypot(x, z))
    turned = np.degrees(np.angle(complex(x, z) / there))
    assert turned == pytest.approx(bike.sagged.pitch, abs=1e-9)


def test_springs_of_climbs_are_at_rest_and_those_of_stops_ridden() -> None:
    loaded = _loaded(_bike("trail_full_140"))
    for still, ridden in (
        (loaded.climbing.rear_spring, loaded.braking.rear_spring),
        (loaded.climbing.fork_spring, loaded.braking.fork_spring),
    ):
        assert isinstance(still, Air)
        assert isinstance(ridden, Air)
        assert {chamber.exponent for chamber in still.chambers} == {1.0}
        assert all(chamber.exponent > 1 for chamber in ridden.chambers)
    assert _loaded(_bike("adventure_rigid")).braking.fork_spring is None


def test_a_height_that_the_file_gives_moves_the_rider_there() -> None:
    bike = _bike("trail_full_140")
    assert bike.spec.suspension is not None
    suspension = bike.spec.suspension.model_copy(update={"centre_of_mass_height": 1000.0})
    given = replace(bike, spec=bike.spec.model_copy(update={"suspension": suspension}))
    before, after = _loaded(bike), _loaded(given)
    moved = after.postures["seated"].frame[0] - before.postures["seated"].frame[0]
    higher = 1000.0 - (weigh(bike).centre[1] - bike.nodes["rear_contact"][2])
    lumps = after.postures["seated"]
    assert moved.imag * lumps.frame_kg / lumps.total_kg == pytest.approx(higher, abs=1e-6)
    assert moved.real == pytest.approx(0.0, abs=1e-6)
    assert any("centre_of_mass_height" in line for line in after.assumptions)


def test_a_bike_that_nobody_rides_has_no_places() -> None:
    assert rider_places(_bike("minimal")) == {}
