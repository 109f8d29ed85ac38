"""Bikes whose looks are tested: demos, and one with sizes far from the usual."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from frame3d import load, solve
from frame3d.bike.bike import Bike
from frame3d.bodies import Bodies, Body, bodies_of
from frame3d.bodies.placement import Placement

CONFIGS = Path(__file__).parents[2] / "configs"
HARDTAIL, COIL, DROPS = "trail_hardtail_29", "enduro_170_mixed", "adventure_rigid"
ODD = "odd"
"""The rigid demo with sizes from the ends of what a file may say."""
SIZES = (
    "build.front_wheel={tyre: 28-622, hub: 100x12, rotor: 140, rim: {depth: 60, inner_width: 22}}",
    "build.rear_wheel={tyre: 100-559, hub: {width: 197, axle: 12}, growth: 3, flex: 3}",
    "build.saddle={length: 180, width: 90, height: 30, forward: -30}",
    "build.seatpost={diameter: 27.2, saddle_height: 700, insertion: 120, travel: 0}",
    "build.stem={length: 150, angle: 30, spacers: 60, clamp_height: 25}",
    "build.handlebar={width: 500, rise: 90, forward: -90, levers: {span: 60, reach: 40, thickness: 12}}",
    "build.shoe={width: 150, heel_width: 40, ball: 140, toe_height: 110, heel_height: 30}",
    "build.crank={length: 100, q_factor: 250, chainline: 60, thickness: 30, boss: 20}",
    "build.fork.legs={upper: 50, lower: 12, spacing: 200}",
    "build.fork.crown={height: 80, width: 260, back_width: 50}",
)


@cache
def bike(name: str) -> tuple[Bike, Bodies]:
    """A demo, solved, with its bodies."""
    file = CONFIGS / f"{DROPS if name == ODD else name}.yaml"
    solved = solve(load(file, sets=SIZES if name == ODD else ()))
    return solved, bodies_of(solved)


def parts(name: str) -> tuple[dict[str, Body], Placement]:
    """A demo's bodies by name, and its places."""
    solved, carried = bike(name)
    return {body.name: body for body in carried.bodies}, Placement(solved)
