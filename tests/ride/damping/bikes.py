"""Demo bikes with dampers and tyre pressures of tests, solved once a process; all invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load
from frame3d.ride.damping.of_bike import Damping, damping_of

CONFIGS = Path(__file__).parents[3] / "configs"
SHOCK, FORK = "suspension.shock.damper", "build.fork.damper"
DAMPED = (
    f"{SHOCK}.filmed_return={{start: 40, end: 15, seconds: 0.06}}",
    f"{SHOCK}.rebound_fast_n_s_m=2500",
    f"{SHOCK}.compression_n_s_m=2500",
    f"{SHOCK}.compression_fast_n_s_m=800",
    f"{SHOCK}.fast_from=0.3",
    f"{FORK}.rebound_n_s_m=900",
    "build.front_wheel.pressure_bar=1.5",
    "build.rear_wheel.pressure_bar=1.7",
)


@cache
def bike(*sets: str, name: str = "trail_full_140") -> Bike:
    """A demo with values set."""
    return solve(load(CONFIGS / f"{name}.yaml", sets=sets))


@cache
def damping(*sets: str, name: str = "trail_full_140") -> Damping:
    """What is said of its damping."""
    found = damping_of(bike(*sets, name=name))
    assert found is not None
    return found
