"""Bikes for the tests of the steering, each solved once a process."""

from functools import cache
from pathlib import Path

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load

CONFIGS = Path(__file__).parents[3] / "configs"
HARDTAIL, FULL, MIXED, RIGID, NO_RIDER = (
    "trail_hardtail_29",
    "trail_full_140",
    "enduro_170_mixed",
    "adventure_rigid",
    "minimal",
)


@cache
def bike(name: str, *sets: str) -> Bike:
    """A demo, with some values of its file set."""
    return solve(load(CONFIGS / f"{name}.yaml", sets))
