"""The commented starter files of ``frame3d new FILE``."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.names import wrong_with

_TEXT: Final = """\
# yaml-language-server: $schema=frame3d.schema.json
# A bike for frame3d. Everything is in millimetres and degrees. x points forward, y to the rider's
# left, z up, all from the centre of the bottom bracket. Lines that start with # are notes.
#
#   frame3d solve FILE    the geometry chart: every figure, whichever you gave
#   frame3d build FILE    the frame as a CAD model, with all tubes mitred
#   frame3d schema        prints frame3d.schema.json; beside this file it lets an editor complete
#                         and check what you type
#
# This file describes geometry and nothing else. It says nothing about strength: a frame carries a
# person, so have it designed, built and tested by qualified people, to the standard that applies.

format: 1
name: {name}
material: "4130"               # or 6061-T6, Ti-3Al-2.5V ... or {{name: ..., density_g_cm3: ...}}
colour: "#4a6b57"              # in quotes: an unquoted # starts a note

# What the chart of the bike is to say. Give any set of figures that settles the bike; frame3d
# works out the rest and tells you which are missing or contradict each other. For instance take
# chainstay_length out and give wheelbase, or bb_height in place of bb_drop, or trail in place of
# the fork's offset.
geometry:
  reach: 455                   # bottom bracket to the top of the head tube, horizontally
  head_tube_angle: 65.5
  head_tube_length: 115
  effective_seat_tube_angle: 75.5
  seat_tube_length: 430        # bottom bracket to the tube's top, along the tube
  chainstay_length: 445        # bottom bracket to the rear axle, straight
  bb_drop: 62                  # bottom bracket below the rear axle

# The parts that the frame has to fit. Names of standard sizes are known; where yours is not, give
# millimetres, e.g. hub: {{width: 148, axle: 12}}.
build:
  fork:
    axle_to_crown: 535         # unloaded, from the maker's data
    measured: straight         # straight from axle to crown race, or along_axis: ask the maker
    offset: 44
    travel: 130
    sag: 25%
    # Outlines, for clearances; {{}} takes usual sizes. Knobs stand highest and turn under the down tube.
    crown: {{height: 22, back_width: 84}}
    legs: {{}}
    knobs: {{height: 14, diameter: 28}}
    arch: {{}}
  # The bar may spin all the way round in a fall, and is checked so. Where a headset has a stop, say so:
  # stop: 75; where the frame has a bumper that the fork meets: bumper: {{on: down_tube, stop: 75}}.
  headset: {{upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4, upper_stack: 8}}
  front_wheel: {{tyre: 61-622, hub: 110x15}}      # tyre: width and bead seat, from the sidewall
  rear_wheel: {{tyre: 61-622, hub: 148x12}}
  bottom_bracket: {{shell: threaded-73}}
  dropout: {{thickness: 7, boss: 30}}             # flat plates that hold the rear axle
  crank: {{length: 170, q_factor: 172, chainline: 52}}
  chainring: {{teeth: 32}}
  seatpost: {{diameter: 31.6, saddle_height: 720}}
  stem: {{length: 45, spacers: 10}}
  handlebar: {{rise: 20, forward: -25, width: 780}}
  rider: {{mass_kg: 80, height: 1765, inseam: 840, shoe_length: 290}}
  bike_mass_kg: 14

# The tubes. A tube runs from its start to its end, and says for both what they sit on: another
# tube (with a distance along it, or an angle), bottom_bracket, rear_dropout, an axle, or a free
# point. Ends on tubes and shells are mitred. Head tube and seat tube follow the chart; their start
# is the bottom and their end is the top. Add tubes under names of your own: gussets, braces, racks.
tubes:
  head_tube:
    od: {{start: 62, end: 50}}   # tapers from bottom to top; must leave metal around the headset
    # Thick where the cups sit: each needs a straight seat over its whole depth, in spite of the taper.
    wall: {{butted: [3.2, 2.4, 4.2], lengths: [26, 30], transition: 20}}

  seat_tube:
    od: 34.9
    # Butted: 1.2 mm for the first 250 mm, 50 mm of taper, then 1.65 mm around the seatpost.
    wall: {{butted: [1.2, 1.65], lengths: [250], transition: 50}}

  down_tube:
    start: {{on: bottom_bracket}}
    bends: [{{along: 650, rise: 30, radius: 200}}]   # over the fork's knobs, wherever the bar spins to
    end: {{on: head_tube, above_bottom: 50}}
    od: 38.1
    # Butted at both ends: thick for 90 mm at the start and for 120 mm at the end.
    wall: {{butted: [0.9, 0.6, 0.9], lengths: [90, 120], transition: 50}}

  top_tube:
    start: {{on: seat_tube, below_top: 50}}
    end: {{on: head_tube, below_top: 26}}         # or angle: 89, between the two axes
    od: 31.8
    wall: 0.8

  chainstay:
    pair: true                                  # left as written, right as its mirror image
    start: {{on: bottom_bracket, y: 25}}          # y: how far to the side
    bends: [{{along: 110, y: 46.4, radius: 180}}]   # corners of the axis, rounded by their radius
    end: {{on: rear_dropout, forward: 26, above: -3, y: 77.5}}
    od: {{start: {{height: 28, width: 14}}, end: 16}}   # oval at the bottom bracket, round behind
    wall: 1.0

  seatstay:
    pair: true
    start: {{on: seat_tube, below_top: 70, y: 9}}
    bends: [{{along: 105, y: 46, radius: 120}}]
    end: {{on: rear_dropout, forward: 8, above: 26, y: 77.5}}
    od: 16
    wall: 0.8

  seatstay_bridge:
    start: {{on: seatstay, side: left, from_start: 35}}
    end: {{on: seatstay, side: right, from_start: 35}}
    od: 12
    wall: 0.9

  chainstay_bridge:
    start: {{on: chainstay, side: left, from_start: 45}}
    end: {{on: chainstay, side: right, from_start: 45}}
    od: 14
    wall: 0.9
"""

SUSPENSIONS: Final = {
    "single-pivot": "120 mm, a swingarm that drives an air shock itself",
    "single-pivot-rocker": "170 mm, mixed wheels, a swingarm that drives a coil through a rocker",
    "four-bar": "140 mm, four links with the axle on the rear one, an air shock",
}
"""Kinds of ``frame3d new --suspension`` -> a short description of the starter."""

_NAME: Final = "name: My bike\n"
_HEAD: Final = """\
# yaml-language-server: $schema=frame3d.schema.json
# A bike with rear suspension for frame3d:
# {what}.
#
# Everything is in millimetres and degrees. x points forward, y to the rider's left, z up, all from
# the centre of the bottom bracket. Lines that start with # are notes.
#
#   frame3d solve FILE --travel              chart, leverage, anti-squat, sag, spring over the travel
#   frame3d check FILE                       clearances over rear travel, fork travel and steering
#   frame3d build FILE --at rear=50%         the frame as a CAD model, at any travel
#   frame3d schema                           prints frame3d.schema.json, for your editor
#
# This file describes geometry and nothing else. It says nothing about strength: a frame carries a
# person, so have it designed, built and tested by qualified people, to the standard that applies.

"""


def starter(name: str, suspension: str | None = None) -> str:
    """Return a complete, commented bike under that name, as YAML text.

    It loads, solves, passes its checks and builds as it is. A `name` that a bike cannot have becomes
    "My bike".

    Args:
        name: of the bike.
        suspension: one of `SUSPENSIONS`; a hardtail if not given.

    Raises:
        SpecError: no such suspension.
    """
    called = _quoted("My bike" if wrong_with(name) else name)
    if suspension is None:
        return _TEXT.format(name=called)
    if suspension not in SUSPENSIONS:
        raise SpecError(
            Fault(
                "not-allowed",
                "",
                f"there is no starter {suspension!r}",
                "one of " + "; ".join(f"{kind} ({what})" for kind, what in SUSPENSIONS.items()),
                SourceLocation(f"--suspension {suspension}"),
            )
        )
    body = suspended(suspension).replace(_NAME, f"name: {called}\n", 1)
    return _HEAD.format(what=SUSPENSIONS[suspension]) + body


def suspended(kind: str) -> str:
    """Return the packaged starter of one of `SUSPENSIONS` from ``format:`` on, named My bike."""
    file = files("frame3d.parameters.starters") / f"{kind.replace('-', '_')}.yaml"
    return file.read_text(encoding="utf-8")


def _quoted(name: str) -> str:
    """Return a YAML scalar that reads back as `name`."""
    plain = name[:1].isalpha() and all(c.isalnum() or c in " -_+." for c in name)
    words = {"true", "false", "null", "yes", "no", "on", "off", "y", "n"}
    if plain and name.strip() == name and name.lower() not in words:
        return name
    return '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"'
