"""Packs and small files for the workshop pack's tests; all invented."""

from __future__ import annotations

from functools import cache

from frame3d.bike.bike import Bike
from frame3d.fabrication.pack import Maker, Pack
from frame3d.fabrication.tube_facts import TubeFacts
from frame3d.paper.sheet import Sheet
from tests.fabrication.bikes import demo
from tests.formats import suspended

SMALL = """\
format: 1
name: Front triangle
geometry:
  reach: 455
  head_tube_angle: 65.5
  head_tube_length: 115
  effective_seat_tube_angle: 75.5
  seat_tube_length: 430
  chainstay_length: 432
  bb_drop: 62
build:
  fork: {axle_to_crown: 535, measured: straight, offset: 44}
  headset: {upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4}
  front_wheel: {tyre: 61-622}
  rear_wheel: {tyre: 61-622}
  bottom_bracket: {shell: threaded-73}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.2}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 40}, od: 38.1, wall: 0.9}
  top_tube:
    start: {on: seat_tube, below_top: 40}
    end: {on: head_tube, angle: 86}
    od: 31.8
    wall: {butted: [0.8, 0.5, 0.8], lengths: [80, 90], transition: 40}
  brace: {start: {on: down_tube, from_end: 180}, end: {on: top_tube, from_end: 170}, od: 20, wall: 1}
"""


@cache
def pack(name: str) -> tuple[Bike, Pack]:
    layout = suspended.layout() if name == "four links" else demo(name)
    return layout, Maker(layout, "A4", None).make()


@cache
def facts_of_all(name: str) -> tuple[Bike, list[TubeFacts]]:
    """A bike with every tube's figures."""
    layout = suspended.layout() if name == "four links" else demo(name)
    return layout, Maker(layout, "A4", None).facts


def texts(sheet: Sheet) -> list[str]:
    """Every text of a sheet, in drawing order."""
    return [e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT"]
