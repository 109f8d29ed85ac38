"""Bikes with a rear suspension and tubes on its links, each made once a process; all invented."""

from __future__ import annotations

from functools import cache
from textwrap import indent

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import loads
from frame3d.solids import FrameModel, make

FRONT = """\
format: 1
name: Linked
material: 6061-T6
geometry:
  reach: 465
  head_tube_angle: 65
  head_tube_length: 120
  effective_seat_tube_angle: 76.5
  seat_tube_length: 430
  chainstay_length: 437.5
  bb_drop: 36
build:
  fork: {axle_to_crown: 545, measured: straight, offset: 44, travel: 150}
  headset: {lower_stack: 4}
  front_wheel: {tyre: 61-622}
  rear_wheel: {tyre: 61-622, hub: 148x12}
  bottom_bracket: {shell: threaded-73}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.6}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 42}, od: 45, wall: 1.6}
  top_tube:
    {start: {on: seat_tube, below_top: 60}, end: {on: head_tube, above_bottom: 90}, od: 38.1, wall: 1.4}
"""

CHAINSTAY = """
chainstay:
  pair: true
  link: swingarm
  start: {on: main_pivot, y: 36}
  bends: [{along: 80, y: 48, radius: 150}]
  end: {on: rear_dropout, stop_short: 28}
  od: 20
  wall: 2
"""
BRIDGE = """
bridge: {link: swingarm, start: {on: chainstay, side: left, from_start: 60},
  end: {on: chainstay, side: right, from_start: 60}, od: 16, wall: 1.5}
"""
ROCKER_TUBES = (
    CHAINSTAY
    + BRIDGE
    + """
upright:
  pair: true
  link: swingarm
  start: {on: strut_rear, y: 60}
  end: {on: rear_dropout, stop_short: 25}
  od: 18
  wall: 2
"""
)
ROCKER = """
points:
  main_pivot: [12, 70]
  strut_rear: [-371, 132]
  rocker_pivot: [-1, 271]
  rocker_rear: {on: rocker_pivot, forward: -114, above: 10}
  rocker_shock: {on: rocker_pivot, forward: -46, above: 53}
  shock_front: [174, 264]
links:
  frame: [main_pivot, rocker_pivot, shock_front]
  swingarm: [main_pivot, strut_rear]
  strut: [strut_rear, rocker_rear]
  rocker: [rocker_pivot, rocker_rear, rocker_shock]
axle: {on: swingarm}
shock: {start: shock_front, end: rocker_shock, size: 230x65}
solve_for:
  - {point: shock_front, coordinate: x, to_meet: eye_to_eye}
"""
SINGLE = """
points:
  main_pivot: [10, 75]
  shock_rear: [-88, 190]
  shock_front: [105, 260]
links:
  frame: [main_pivot, shock_front]
  swingarm: [main_pivot, shock_rear]
axle: {on: swingarm}
shock: {start: shock_front, end: shock_rear, eye_to_eye: 193, stroke: 40}
solve_for:
  - {point: shock_front, coordinate: x, to_meet: eye_to_eye}
"""
SEATSTAY = """
seatstay:
  pair: true
  link: swingarm
  start: {on: shock_rear, y: 24}
  bends: [{along: 60, y: 45, radius: 100}]
  end: {on: rear_dropout, above: 12, stop_short: 25}
  od: 16
  wall: 1.5
"""
OWN_TUBES = """
beam: {link: swingarm, start: {on: main_pivot}, end: {on: shock_rear}, od: 30, wall: 2}
chainstay:
  pair: true
  link: swingarm
  start: {on: main_pivot, y: 26}
  bends: [{along: 80, y: 48, radius: 150}]
  end: {on: rear_dropout, stop_short: 28}
  od: 20
  wall: 2
"""
OWN = SINGLE.replace("[10, 75]", "[55, 145]").replace("[-88, 190]", "[-120, 190]")
"""The pivot stands clear of the front frame's tubes."""


@cache
def layout(tubes: str, suspension: str, pivots: str = "", front: str = FRONT) -> Bike:
    """A bike of one front frame with other tubes and links behind.

    Args:
        tubes: beside the front frame's, as YAML.
        suspension: the section, as YAML.
        pivots: its ``pivots``, as YAML on one line.
        front: everything else.
    """
    section = suspension + (f"pivots: {pivots}\n" if pivots else "")
    text = front + indent(tubes, "  ") + "suspension:\n" + indent(section, "  ")
    return solve(loads(text, "linked.yaml"))


@cache
def rocker() -> FrameModel:
    """A swingarm that drives a rocker through a strut; rocker and strut are plates."""
    return make(layout(ROCKER_TUBES, ROCKER))


@cache
def own() -> FrameModel:
    """A swingarm that carries the main pivot's housing, with a single tube from there to the shock."""
    pivots = "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}"
    return make(layout(OWN_TUBES, OWN, pivots))


@cache
def through() -> FrameModel:
    """A housing as wide as the seat tube's inside, right through it."""
    section = SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}")
    return make(layout(CHAINSTAY + SEATSTAY, section, "{main_pivot: {od: 32}}"))
