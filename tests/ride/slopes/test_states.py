"""All states of a bike, solved together, against each one alone."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.ride.slopes.dynamic import front_carries, held, rear_lifts, settle, steady
from frame3d.ride.slopes.loaded_bike import LoadedBike, loaded_bike, rider_places
from frame3d.ride.slopes.states import GRADIENTS, PUSH, STOPS, States, states_of
from tests.linkage.demos import CONFIGS


@pytest.fixture(scope="module")
def loaded() -> LoadedBike:
    bike = solve(load(CONFIGS / "trail_full_140.yaml"))
    return loaded_bike(bike, rider_places(bike))


@pytest.fixture(scope="module")
def states(loaded: LoadedBike) -> dict[str, States]:
    return states_of(loaded)


def test_each_posture_is_as_if_solved_alone(loaded: LoadedBike, states: dict[str, States]) -> None:
    assert list(states) == list(loaded.postures)
    for name, own in states.items():
        lumps, count = loaded.postures[name], len(loaded.postures[name].frame)
        assert own.found
        alone = settle(loaded.climbing, lumps, steady(np.full(count, 0.25)))
        there = own.gradients[GRADIENTS.index(25)]
        assert there.rear_travel == pytest.approx(alone.rear_travel, abs=1e-6)
        assert there.fork_travel == pytest.approx(alone.fork_travel, abs=1e-6)
        for limit, law in (
            (own.light, front_carries(0.1)),
            (own.lifts, front_carries(0.0)),
            (own.light_pushing, front_carries(0.1, PUSH)),
            (own.lifts_pushing, front_carries(0.0, PUSH)),
        ):
            same = settle(loaded.climbing, lumps, law).acting.gradient
            assert limit.acting.gradient == pytest.approx(same, abs=1e-8)
        down = rear_lifts(np.full(count, -0.2))
        still, diving = own.stops[STOPS.index(-20)]
        assert diving is not None
        dive = settle(loaded.braking, lumps, down).acting.slowing_g
        assert diving.acting.slowing_g == pytest.approx(dive, abs=1e-8)
        level = own.level
        rest = held(loaded.braking, lumps, down, level.stroke, level.fork_travel)
        assert still.acting.slowing_g == pytest.approx(rest.acting.slowing_g, abs=1e-12)


def test_a_rigid_bike_does_not_dive() -> None:
    bike = solve(load(CONFIGS / "adventure_rigid.yaml"))
    for own in states_of(loaded_bike(bike, rider_places(bike))).values():
        assert own.found
        assert all(diving is None for _, diving in own.stops)
