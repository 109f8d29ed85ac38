"""Linkages for these tests: all that the demos and starters have, and joints one upon another."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from frame3d.bike.solve import solve
from frame3d.explore.linkages.program import Program, program_of
from frame3d.geometry.arrays import Complex
from frame3d.linkage import Linkage
from frame3d.linkage.mechanism import Mechanism
from frame3d.parameters import load, loads
from frame3d.parameters.starters.starter import SUSPENSIONS, suspended
from tests.linkage.bikes import mechanism

CONFIGS = Path(__file__).parents[3] / "configs"
DEMOS = ("trail_full_140", "enduro_170_mixed", "families/trail_full")
NAMED = (*DEMOS, *(kind for kind in SUSPENSIONS if kind != "hardtail"))


@cache
def linkage_of(name: str) -> Linkage:
    """The rear suspension of a demo or starter."""
    spec = load(CONFIGS / f"{name}.yaml") if name in DEMOS else loads(suspended(name))
    linkage = solve(spec).linkage
    assert linkage is not None
    return linkage


def program_for(linkage: Linkage) -> Program:
    """Its topology, which must have a closed form."""
    found = program_of(linkage.mechanism, linkage.brake_link, list(linkage.bodies.values()))
    assert found is not None
    return found


def moved_points(program: Program, linkage: Linkage, by: float, count: int) -> Complex:
    """Positions of its points, (n, p), all but the bottom bracket moved by up to so much [mm]."""
    drawn = np.array([complex(*linkage.drawn[name]) for name in program.points])
    random = np.random.default_rng(7)
    shape = (count, len(drawn))
    out: Complex = drawn + random.uniform(-by, by, shape) + 1j * random.uniform(-by, by, shape)
    out[:, program.points.index("bottom_bracket")] = 0
    return out


def six_bar() -> Mechanism:
    """A crank that the shock turns, a four-bar on it, and a dyad on the coupler's point."""
    a = 40 * np.exp(1j * np.radians(100))
    points = {
        "bottom_bracket": 0j, "o4": 100 + 0j, "o6": 210 - 10j, "fix": 150 + 120j,
        "a": a, "b": 95 + 79j, "c": 60 + 140j, "d": 205 + 90j, "rear_axle": 240 + 70j,
    }  # fmt: skip
    bodies = {
        "frame": ["bottom_bracket", "o4", "o6", "fix"],
        "crank": ["bottom_bracket", "a"],
        "coupler": ["a", "b", "c"],
        "rocker": ["o4", "b"],
        "strut": ["c", "d"],
        "arm": ["d", "o6"],
    }
    return mechanism(points, bodies, "arm", ("fix", "a"))
