"""The sheet of a fork that the shop builds: what to set, what to measure, and a picture of it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.built_fork.layout import ForkLayout, hub_of, layout_of
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import vector
from frame3d.paper import page_elements
from frame3d.paper.dimension import Dimensions
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import XY, Sheet
from frame3d.parameters.models.forks.built import BuiltForkSpec
from frame3d.tubes.hardware import RACE_SEAT
from frame3d.tubes.tube import Tube

DATUM = "datum: steering axis at the crown race; down from it, forward and left of it"
PICTURE = 0.4
"""Height of the picture, as a share of the sheet's height."""


def figures_of(bike: Bike) -> list[tuple[str, str, str]]:
    """Return what to set and to measure of a built fork: kind, name, and value with its unit."""
    layout = layout_of(bike.spec, bike.nodes, bike.chart)
    built, fork, hub = _built(bike), bike.fork, hub_of(bike.spec)
    assert fork is not None
    drop, offset = float(layout.axle[0]), float(layout.axle[2])
    rows: list[tuple[str, str, str]] = []

    def mm(kind: str, name: str, value: float) -> None:
        rows.append((kind, name, f"{value:z.2f} mm"))

    mm("set", "axle below the crown race, along the steering axis", drop)
    mm("set", "axle ahead of the steering axis (offset)", offset)
    rows.append(("set", "dummy axle", f"{hub.width:g} wide, {hub.axle:g} mm"))
    mm("set", "steerer below the crown race", layout.below)
    mm("set", "steerer above the crown race", layout.steerer)
    rows.append(
        ("set", "crown race's seat", f"{layout.seat:g} mm, {built.steerer.race_seat.height:g} high")
    )
    blades, joined = "blades", "blades' axes meet the steerer's, below the crown race"
    if built.crown.kind == "segmented":
        joined = "segments' axes meet the steerer's, below the crown race"
    mm("set", joined, layout.join)
    mm("set", f"{blades}' axes apart at the crown", 2 * float(layout.top[1]))
    where = (
        "their shoulder's corner" if built.crown.kind == "unicrown" else "the segments' axes there"
    )
    mm("set", f"{where}, below the crown race", float(layout.top[0]))
    rows.append(("set", "blades forward of the steering axis below it", f"{layout.lean:z.2f}°"))
    if layout.bend is not None:
        x, y, z = (float(v) for v in layout.bend)
        mm("set", "corner of the blades' bend, below the crown race", x)
        mm("set", "  ahead of the steering axis", z)
        mm("set", "  blades' axes apart there", 2 * y)
    mm("set", "blades' axes apart beside the axle", 2 * float(layout.foot[1]))
    mm("set", "blades cut square before the axle", built.blades.stop_short)
    if built.dropout.lead:
        mm("set", "axle ahead of the blades' line", built.dropout.lead)
    mm("measure", "axle to crown, straight", math.hypot(drop, offset))
    mm("measure", "axle to crown, along the steering axis", drop)
    mm("measure", "offset (rake), square to the steering axis", offset)
    mm("measure", "between the dropouts' inner faces", hub.width)
    face = math.hypot(drop, offset, hub.width / 2)
    mm("measure", "crown race's centre to either dropout's inner face at the axle", face)
    tip = math.hypot(drop + layout.steerer, offset, hub.width / 2)
    mm("measure", "steerer's upper end, centre, to either of them", tip)
    for tube, down, behind in _posts(bike, fork):
        mm("measure", f"{plain(tube.name)}'s face, below the crown race", down)
        mm("measure", "  behind the steering axis, negative ahead of it", behind)
    aside = drop / hub.width
    rows.append(
        ("out", "1 mm between left and right to the crown race: axle turned by",
         f"{math.degrees(math.atan(1.0 / hub.width)):z.3f}°")
    )  # fmt: skip
    rows.append(("out", "  and the wheel's top aside under the crown by about", f"{aside:z.2f} mm"))
    return rows


def _built(bike: Bike) -> BuiltForkSpec:
    assert bike.spec.build.fork is not None
    assert bike.spec.build.fork.built is not None
    return bike.spec.build.fork.built


def _own(bike: Bike, points: Array) -> Array:
    """Return points in the fork's axes: down, left and forward of the crown race, (n, 3) [mm]."""
    turn = math.radians(bike.chart["head_tube_angle"] or 0.0)
    away = points - vector(bike.nodes["crown_race"])
    down = np.array([math.cos(turn), 0.0, -math.sin(turn)])
    ahead = np.array([math.sin(turn), 0.0, math.cos(turn)])
    return np.column_stack([away @ down, away[:, 1], away @ ahead])


def _posts(bike: Bike, fork: Bike) -> list[tuple[Tube, float, float]]:
    """Return the brake's posts, and how far their faces are down and behind [mm]."""
    found = []
    for tube in fork.tubes:
        if tube.key.startswith("fork_post"):
            x, _, z = _own(bike, vector(tube.axis.end)[None])[0]
            found.append((tube, float(x), float(-z)))
    return found


def fork_csv(bike: Bike) -> bytes:
    """Return the figures as CSV."""
    rows = [(kind, name.strip(), value) for kind, name, value in figures_of(bike)]
    return csv_bytes(("kind", "what", "value"), rows)


def fork_sheet(bike: Bike, paper: Paper) -> Sheet:
    """Return the sheet: side and front view above, what to set and what to measure below."""
    fork = bike.fork
    assert fork is not None
    sheet = Sheet("fork", f"{bike.spec.title}: fork", paper.width, paper.height)
    grams = fork.frame.masses.total
    top = page_elements.heading(
        sheet, "Fork sheet", bike.spec.title, DATUM, (f"{grams:z.0f} g in all",)
    )
    height = PICTURE * sheet.height
    _picture(sheet, bike, fork, top - 6.0, height)
    y = top - height - 20.0
    floor = page_elements.caution(sheet) + 2.0
    half = (sheet.width - 2 * MARGIN - 7.0) / 2
    rows = figures_of(bike)
    sides = [[(n, v) for k, n, v in rows if k in kinds] for kinds in (("set",), ("measure", "out"))]
    titles = ("Set from the crown race", "Measure the tacked fork; what is out")
    step = min(5.2, (y - floor - 4.0) / (max(map(len, sides)) + 1))
    for i, (title, side) in enumerate(zip(titles, sides, strict=True)):
        columns = [Column(title, half - 27.0), Column("", 27.0, "right")]
        page_elements.table(
            sheet, MARGIN + i * (half + 7.0), y, columns, side, step=step, size=min(2.5, step * 0.5)
        )
    return sheet


def _picture(sheet: Sheet, bike: Bike, fork: Bike, top: float, height: float) -> None:
    """Draw the side view on the left and the front view on the right, down is down."""
    layout = layout_of(bike.spec, bike.nodes, bike.chart)
    radius = max(plate.outline.bounds[3] for plate in fork.plates)
    low, high = -layout.steerer, float(layout.axle[0]) + radius
    scale = height / (high - low)
    middle = (0.27 * sheet.width, 0.7 * sheet.width)

    def flat(column: int, x: float, down: float) -> XY:
        return middle[column] + scale * x, top - scale * (down - low)

    for tube in fork.tubes:
        s: Array = np.linspace(tube.start.long_point, tube.axis.length, 120)
        own = _own(bike, tube.axis.points(s))
        for column, axis, radii in (
            (0, 2, tube.section.height_at(s) / 2),
            (1, 1, tube.section.width_at(s) / 2),
        ):
            if tube.side == "right" and column == 0:
                continue
            _outlined(sheet, [flat(column, a, b) for a, b in _edge(own[:, [axis, 0]], radii)])
    for plate in fork.plates:
        edge = plate.outline.outer.points(0.1)
        own = _own(bike, plate.plane.place(np.column_stack([edge, np.zeros(len(edge))])))
        if plate.side == "left":
            _outlined(sheet, [flat(0, float(p[2]), float(p[0])) for p in own])
        y, half = float(own[0, 1]), plate.thickness / 2
        ends = float(own[:, 0].min()), float(own[:, 0].max())
        _outlined(sheet, [flat(1, y - half, ends[0]), flat(1, y + half, ends[0]),
                          flat(1, y + half, ends[1]), flat(1, y - half, ends[1])])  # fmt: skip
    _dimensioned(sheet, bike, layout, flat, scale)


def _edge(points: Array, radii: Array) -> list[XY]:
    """Return the outline of a bar along points (n, 2) with radii (n,) [mm]."""
    ways = np.gradient(points, axis=0)
    size = np.linalg.norm(ways, axis=1, keepdims=True)
    ways = np.divide(ways, size, out=np.zeros_like(ways), where=size > 1e-9)
    aside = np.column_stack([-ways[:, 1], ways[:, 0]]) * radii[:, None]
    if float(size.max()) < 1e-3:  # seen along its axis
        turn = np.linspace(0.0, 2 * math.pi, 60, endpoint=False)
        rim = points[0] + radii[0] * np.column_stack([np.cos(turn), np.sin(turn)])
        return [(float(x), float(y)) for x, y in rim]
    rim = np.vstack([points + aside, (points - aside)[::-1]])
    return [(float(x), float(y)) for x, y in rim]


def _outlined(sheet: Sheet, points: Sequence[XY]) -> None:
    sheet.path([*points, points[0]], "OUTLINE")


def _dimensioned(sheet: Sheet, bike: Bike, layout: ForkLayout, flat: object, scale: float) -> None:
    assert callable(flat)
    drop, offset = float(layout.axle[0]), float(layout.axle[2])
    width = hub_of(bike.spec).width
    far = 60.0
    lines = Dimensions(sheet)
    race, axle = flat(0, 0.0, 0.0), flat(0, offset, drop)
    sheet.line(flat(0, 0.0, -layout.steerer - 3.0 / scale), flat(0, 0.0, drop + 30.0), "CENTRE")
    sheet.circle(axle, 1.0, "OUTLINE")
    lines.vertical(race, axle, flat(0, offset + far, 0.0)[0], f"{drop:z.1f}")
    lines.horizontal(flat(0, 0.0, drop), axle, flat(0, 0.0, drop + 45.0)[1], f"{offset:z.1f}")
    lines.aligned(axle, race, 24.0 * scale / 0.3, f"{math.hypot(drop, offset):z.1f} straight")
    lines.vertical(
        flat(0, 0.0, -layout.steerer), race, flat(0, -far, 0.0)[0], f"{layout.steerer:z.1f}"
    )
    left, right = flat(1, width / 2, drop), flat(1, -width / 2, drop)
    lines.horizontal(right, left, flat(1, 0.0, drop + 45.0)[1], f"{width:g}")
    top = float(layout.top[1])
    a, b = flat(1, -top, float(layout.top[0])), flat(1, top, float(layout.top[0]))
    lines.horizontal(a, b, flat(1, 0.0, float(layout.top[0]) + 70.0)[1], f"{2 * top:z.1f}")
    sheet.line(flat(1, 0.0, -layout.steerer - 3.0 / scale), flat(1, 0.0, drop + 30.0), "CENTRE")
    lines.letter()


def fork_tubes(bike: Bike) -> tuple[Tube, ...]:
    """Return the tubes of a built fork that are cut, so not its race seat; none where it is bought."""
    if bike.fork is None:
        return ()
    return tuple(tube for tube in bike.fork.tubes if tube.key != RACE_SEAT)
