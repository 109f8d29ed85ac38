"""Bikes for tests of the report, each gathered once a process; all invented."""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path
from typing import Any

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene
from frame3d.parameters.reading.reader import load, loads
from frame3d.report.data import ReportData, gather
from frame3d.report.markup import Markup
from frame3d.report.meshes import Meshes
from frame3d.report.page import report_page
from frame3d.report.side import Side
from tests.linkage.demos import FOUR_LINK_140

CONFIGS = Path(__file__).parents[2] / "configs"
HARDTAIL = CONFIGS / "trail_hardtail_29.yaml"

_FRONT = """
format: 1
name: Trail four link 140
geometry: {reach: 465, head_tube_angle: 65, head_tube_length: 120, effective_seat_tube_angle: 76.5,
           seat_tube_length: 430, chainstay_length: 437.5, bb_drop: 36}
build:
  fork: {axle_to_crown: 556, measured: straight, offset: 44, travel: 150, sag: 22%, crown: {},
         legs: {}, arch: {}}
  headset: {upper: ZS44/28.6, lower: ZS56/40, lower_stack: 4, upper_stack: 8}
  front_wheel: {tyre: 61-622, hub: 110x15}
  rear_wheel: {tyre: 44-584, hub: 148x12}
  bottom_bracket: {shell: threaded-73}
  crank: {length: 170, q_factor: 176, chainline: 52}
  chainring: {teeth: 32}
  cassette: {cogs: [10, 21, 51]}
  pedal: {}
  seatpost: {diameter: 31.6, saddle_height: 730, insertion: 180, travel: 170}
  saddle: {}
  stem: {length: 45, spacers: 15}
  handlebar: {rise: 25, width: 780}
  rider: {mass_kg: 80, height: 1775, inseam: 840}
tubes:
  head_tube: {od: {start: 62, end: 50}, wall: 4.2}
  seat_tube: {od: 34.9, wall: 1.6}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 42}, od: 45, wall: 1.6}
  top_tube: {start: {on: seat_tube, below_top: 20}, end: {on: head_tube, above_bottom: 90}, od: 38.1,
             wall: 1.4}
clearance: {skip: [saddle_to_rear_tyre, standover_room, fork_to_frame, pedal_to_ground, shock_to_frame]}
suspension:
"""


def indented(section: str) -> str:
    """A section's body, as it stands below its key."""
    return "\n".join("  " + line for line in section.strip("\n").splitlines()) + "\n"


@cache
def four_link_layout() -> Bike:
    """The four-link demo of tests/linkage on a front frame, without tubes on its links."""
    return solve(loads(_FRONT + indented(FOUR_LINK_140), "four_link.yaml"))


@cache
def four_link() -> ReportData:
    """The same, checked and meshed."""
    return gather(four_link_layout())


@cache
def hardtail() -> ReportData:
    """The demo hardtail."""
    return gather(solve(load(HARDTAIL)))


@cache
def hardtail_page() -> bytes:
    """Its page."""
    return report_page(hardtail())


@cache
def failing() -> ReportData:
    """The demo hardtail with more asked of its fork than it gives."""
    return gather(solve(load(HARDTAIL, sets=["clearance.front_tyre_to_fork=9.5"])))


@cache
def hardtail_bike() -> Bike:
    """The demo hardtail, solved only."""
    return solve(load(HARDTAIL))


@cache
def hardtail_side() -> Side:
    """Its side view."""
    return Side(hardtail_bike(), bodies_of(hardtail_bike()))


@cache
def minimal_bike() -> Bike:
    """The demo with a chart and hardly more."""
    return solve(load(CONFIGS / "minimal.yaml"))


def bare(bike: Bike, **more: Any) -> ReportData:
    """A bike's data with nothing checked and nothing meshed, but for what is given."""
    made = bodies_of(bike)
    data: dict[str, Any] = {
        "bike": bike,
        "built": None,
        "swaps": (),
        "scene": Scene(bike, 1e-3, make=lambda _: made),
        "report": Report((), ()),
        "meshes": Meshes((), {}, {}, None, b""),
        "tracks": {},
        "travelled": None,
        "fork_charts": (),
    }
    return ReportData(**(data | more))


def words(made: Markup | None) -> str:
    """The text of markup, one space between words."""
    assert made is not None
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", made)).split())


def rows(made: Markup | None) -> list[list[str]]:
    """The texts of a table's body and foot, by rows and cells."""
    assert made is not None
    found = re.findall(r"<tr[^>]*>(.*?)</tr>", made.partition("</thead>")[2] or made, re.DOTALL)
    return [
        [words(Markup(cell)) for cell in re.findall(r"<t[hd][ >].*?</t[hd]>", row, re.DOTALL)]
        for row in found
    ]
