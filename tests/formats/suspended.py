"""A bike with four links behind that gives every part that moves, made once a process; invented."""

from __future__ import annotations

from functools import cache
from textwrap import indent

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import Bodies, bodies_of
from frame3d.bodies.body import Body
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.placement import Placement
from frame3d.formats.assembly import assembly_glb, mating_bodies
from frame3d.formats.standing import link_motions, part_mount
from frame3d.formats.step import step
from frame3d.parameters.reading.reader import loads
from frame3d.solids import FrameModel, make
from tests.formats.gltf import Gltf
from tests.linkage.demos import FOUR_LINK_140

TEXT = """\
format: 1
name: Four links
geometry:
  reach: 465
  head_tube_angle: 65
  head_tube_length: 120
  effective_seat_tube_angle: 76.5
  seat_tube_length: 430
  chainstay_length: 437.5
  bb_drop: 36
build:
  fork: {axle_to_crown: 545, measured: straight, offset: 44, travel: 150, sag: 22%,
         crown: {}, legs: {}, arch: {}}
  headset: {upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4}
  front_wheel: {tyre: 61-622, hub: 110x15}
  rear_wheel: {tyre: 61-622, hub: 148x12, rotor: 180}
  rear_brake: {angle: 22, length: 58, depth: 34, outer: 14}
  bottom_bracket: {shell: threaded-73}
  crank: {length: 170, q_factor: 176, chainline: 52}
  chainring: {teeth: 32}
  cassette: {cogs: [10, 18, 28, 51]}
  pedal: {}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.6}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 42}, od: 45, wall: 1.6}
  top_tube:
    {start: {on: seat_tube, below_top: 60}, end: {on: head_tube, above_bottom: 90}, od: 38.1, wall: 1.4}
  chainstay:
    pair: true
    link: chainstay_link
    start: {on: main_pivot, y: 30}
    bends: [{along: 70, y: 48, radius: 150}]
    end: {on: rear_pivot, y: 74, stop_short: 20}
    od: 20
    wall: 2
  seatstay:
    pair: true
    link: seatstay_link
    start: {on: rocker_rear, y: 48, stop_short: 15}
    end: {on: rear_dropout, forward: 2, above: 38}
    od: 18
    wall: 2
suspension:
""" + indent(FOUR_LINK_140, "  ")

POSE = Pose(rear=70.0, fork=40.0, steer=20.0, crank=30.0)
"""Half the rear travel, and everything else somewhere."""


@cache
def layout() -> Bike:
    """The bike, solved."""
    return solve(loads(TEXT, "four.yaml"))


@cache
def model() -> FrameModel:
    """Its frame."""
    return make(layout())


@cache
def bodies() -> Bodies:
    """Its parts."""
    return bodies_of(layout())


@cache
def glb(pose: Pose = POSE) -> Gltf:
    """Frame and parts at a pose."""
    return Gltf(assembly_glb(model(), bodies(), pose))


def files_at_pose() -> dict[str, bytes]:
    """Files of the bike at the pose: what moves in STEP and in GLB, animations among it."""
    moved = step(model(), link_motions(layout(), POSE))
    return {"step at pose": moved, "glb at pose": assembly_glb(model(), bodies(), POSE)}


@cache
def mounts() -> dict[str, Mount]:
    """What every drawn part is fixed to, by name."""
    place = Placement(layout())
    out = {part.name: part_mount(place, part) for part in model().parts}
    return out | {body.name: body.mount for body in mating_bodies(bodies())}


def body(name: str) -> Body:
    """One of the parts."""
    return bodies().body(name)
