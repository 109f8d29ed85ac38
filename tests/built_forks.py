"""Bikes with a fork that the shop builds, for tests; invented."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load

FILE: Final = Path(__file__).parents[1] / "configs" / "adventure_rigid.yaml"
ROTOR: Final = "build.front_wheel.rotor=160"
UNICROWN: Final = ("build.fork.built={}",)
RAKED: Final = (
    "build.fork.built={crown: {join: 14, shoulder: 60, spacing: 106}, "
    "blades: {od: {start: {height: 28, width: 20}, end: 14}, angle: 2, "
    "bend: {above_axle: 120, radius: 220}}, dropout: {lead: 6, thickness: 5}}",
)
SEGMENTED: Final = (
    "build.fork.built={crown: {kind: segmented, drop: 8}, brake: {rotor: 160}, material: '4130', "
    "colour: '#335577', blades: {bend: {above_axle: 130, radius: 250}}}",
    ROTOR,
)
BUILT: Final = {"unicrown": UNICROWN, "raked": RAKED, "segmented": SEGMENTED}


def fork_file(*sets: str) -> FrameSpec:
    """The rigid demo's file with overrides."""
    return load(FILE, sets=sets)


@lru_cache(maxsize=8)
def fork_bike(kind: str) -> Bike:
    """The rigid demo with one of the forks of `BUILT`, or as it is for ``bought``."""
    return solve(fork_file(*BUILT.get(kind, ())))
