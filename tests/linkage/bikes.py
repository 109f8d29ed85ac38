"""Suspensions for tests; all invented."""

from __future__ import annotations

import numpy as np

from frame3d.linkage.mechanism import Mechanism, make
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.structure import structure_of
from frame3d.linkage.trace import trace
from frame3d.parameters import FrameSpec, loads

HEAD = "format: 1\nname: Test\ngeometry: {reach: 455}\n"


def spec_of(section: str, head: str = HEAD) -> FrameSpec:
    """A spec with this suspension section, which is written as the body of a mapping."""
    body = "\n".join("  " + line for line in section.strip("\n").splitlines())
    return loads(f"{head}suspension:\n{body}\n", "bike.yaml")


SWINGARM = """
points:
  main_pivot: [10, 70]
  shock_front: [150, 240]
  shock_rear: [-60, 210]
links:
  frame: [main_pivot, shock_front]
  swingarm: [main_pivot, shock_rear]
axle: {on: swingarm}
shock: {start: shock_front, end: shock_rear, eye_to_eye: 212.132, stroke: 60}
"""
"""A single pivot that drives the shock itself."""
AXLE = (-440.0, 30.0)


def mechanism(
    points: dict[str, complex],
    bodies: dict[str, list[str]],
    axle: str,
    shock: tuple[str, str],
) -> Mechanism:
    """A mechanism out of plain points; where none is the rear axle, it is put on the axle's link."""
    return make(structure_of(bodies, axle, shock), points)


def followed(made: Mechanism, stroke: float, count: int = 101) -> LinkageMotion:
    """The mechanism over its stroke."""
    return LinkageMotion(made, trace(made, np.linspace(0, stroke, count)))


def four_bar(
    crank: complex, coupler: complex, ground: complex, point: complex, shock: complex
) -> Mechanism:
    """A four-bar O2-A-B-O4 with O2 at the origin, driven by a shock between `shock` and A.

    Args:
        crank: A.
        coupler: B.
        ground: O4.
        point: the point of the coupler that is followed, as the axle.
        shock: the fixed end of the shock.
    """
    return mechanism(
        {"o2": 0j, "a": crank, "b": coupler, "o4": ground, "rear_axle": point, "fix": shock},
        {"frame": ["o2", "o4", "fix"], "crank": ["o2", "a"], "coupler": ["a", "b"],
         "rocker": ["o4", "b"]},
        "coupler",
        ("fix", "a"),
    )  # fmt: skip
