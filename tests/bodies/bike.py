"""A bike that gives every part, and a way to change it; invented."""

from __future__ import annotations

from functools import cache

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import Bodies, Body, bodies_of
from frame3d.bodies.placement import Placement
from frame3d.parameters.reading.reader import loads

TEXT = """\
format: 1
name: All parts
geometry:
  reach: 455
  head_tube_angle: 65.5
  head_tube_length: 115
  effective_seat_tube_angle: 75.5
  seat_tube_length: 430
  chainstay_length: 432
  bb_drop: 62
build:
  fork:
    {axle_to_crown: 531, measured: straight, offset: 44, travel: 130, sag: 25%,
     crown: {height: 42}, legs: {}, knobs: {}, arch: {}}
  headset: {upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4, upper_stack: 8}
  front_wheel: {tyre: 61-622, hub: 110x15, rotor: 180}
  rear_wheel: {tyre: 61-622, hub: 148x12, rotor: 160}
  bottom_bracket: {shell: threaded-73}
  crank: {length: 170, q_factor: 172, chainline: 52}
  chainring: {teeth: 32, guard: 150}
  cassette: {cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 50]}
  pedal: {}
  rear_brake: {}
  seatpost: {diameter: 31.6, saddle_height: 720, insertion: 150, travel: 150}
  saddle: {}
  stem: {length: 45, angle: 6, spacers: 10}
  handlebar: {rise: 20, forward: -25, width: 780, levers: {}}
  bottles: [{on: down_tube, from_start: 300}]
  rider: {mass_kg: 80, height: 1765, inseam: 830, shoe_length: 290}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.2}
  down_tube:
    {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 36}, od: 38.1, wall: 0.8}
  top_tube:
    {start: {on: seat_tube, below_top: 40}, end: {on: head_tube, below_top: 33}, od: 31.8, wall: 0.8}
  chainstay:
    pair: true
    start: {on: bottom_bracket, y: 25}
    bends: [{along: 110, y: 46, radius: 180}]
    end: {on: rear_dropout, forward: 26, above: -3, y: 77.5}
    od: {start: {height: 28, width: 14}, end: 16}
    wall: 1.0
"""


def text(*changes: tuple[str, str]) -> str:
    """The file with pieces of its text exchanged; each has to be there."""
    out = TEXT
    for old, new in changes:
        assert old in out, old
        out = out.replace(old, new)
    return out


@cache
def layout(*changes: tuple[str, str]) -> Bike:
    """The bike, solved."""
    return solve(loads(text(*changes), "bike.yaml"))


@cache
def bodies(*changes: tuple[str, str]) -> Bodies:
    """Its parts."""
    return bodies_of(layout(*changes))


def body(name: str, *changes: tuple[str, str]) -> Body:
    """One of its parts."""
    return bodies(*changes).body(name)


def place(*changes: tuple[str, str]) -> Placement:
    """Where its parts sit."""
    return Placement(layout(*changes))
