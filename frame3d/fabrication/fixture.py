"""The figures to which a frame fixture is set, and the distances to check the frame."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.diagonals import (
    NAMES,
    Diagonal,
    Setting,
    Sideways,
    diagonals_of,
    parts_of,
    settings_of,
    sideways_of,
    spot_of,
    title_of,
)
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.vector import vector
from frame3d.linkage.structure import FRAME
from frame3d.paper import dimension, page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import XY, Sheet
from frame3d.parameters.models.parts import HubSpec
from frame3d.parameters.sizes import standards
from frame3d.tubes.tube import Tube

DATUM = "datum: bottom bracket centre, x forward, z up, as drawn on level ground"
PICTURE = 0.24
"""Height of the picture, as a share of the sheet's height."""


def figures_of(bike: Bike) -> list[tuple[str, str]]:
    """Return the settings in the order of setting up: name, and value with its unit."""
    chart, n = bike.chart, bike.nodes
    rows: list[tuple[str, str]] = []

    def add(name: str, figure: float | None, unit: str = "mm") -> None:
        if figure is not None:
            rows.append((name, f"{figure:z.2f} {unit}" if unit == "mm" else f"{figure:z.2f}°"))

    def place(name: str, node: str) -> None:
        if node in n:
            x, _, z = n[node]
            rows.append((name, _place(x, z)))

    if bike.shell is not None:
        rows.append(("bottom bracket shell, width", f"{bike.shell.width:g} mm"))
        if bike.shell.at != (0.0, 0.0):
            rows.append(("bottom bracket shell, its own axis", _place(*bike.shell.at)))
    add("bottom bracket drop", chart["bb_drop"])
    add("rear axle above the datum", n["rear_axle"][2])
    add("chainstay, straight", chart["chainstay_length"])
    add("chainstay, horizontal", abs(n["rear_axle"][0]))
    hub = bike.spec.build.rear_wheel.hub if bike.spec.build.rear_wheel else None
    if hub is not None:
        size = hub if isinstance(hub, HubSpec) else standards.hub(hub)
        rows.append(("dummy rear axle", f"{size.width:g} wide, {size.axle:g} mm"))
    add("seat tube angle", chart["actual_seat_tube_angle"], "°")
    add("seat tube offset, positive forward", chart["seat_tube_offset"])
    add("seat tube length", chart["seat_tube_length"])
    place("seat tube top, centre", "seat_tube_top")
    add("head tube angle", chart["head_tube_angle"], "°")
    add("head tube length", chart["head_tube_length"])
    place("head tube bottom, centre", "head_tube_bottom")
    low, high = (vector(n[name]) for name in ("head_tube_bottom", "head_tube_top"))
    middle = (low + high) / 2
    rows.append(("head tube middle", _place(middle[0], middle[2])))
    place("head tube top, centre (reach, stack)", "head_tube_top")
    along = (high - low) / np.linalg.norm(high - low)
    foot = low - float(low @ along) * along
    add("head tube axis from the datum, square", float(np.linalg.norm(foot)))
    add("  and from that foot up to the bottom", float(low @ along))
    add("dummy fork, axle to crown along the axis", chart["fork_axle_to_crown"])
    add("dummy fork, offset", chart["fork_offset"])
    add("lower headset stack", chart["lower_headset_stack"])
    place("front axle", "front_axle")
    rows += _along_tubes(bike)
    rows += _pivots(bike)
    return rows


def _place(x: float, z: float) -> str:
    return f"x {x:z.2f}  z {z:z.2f} mm"


def _pivots(bike: Bike) -> list[tuple[str, str]]:
    """Return the pivots of a rear suspension, those of the front frame first: name, value with unit."""
    linkage = bike.linkage
    if linkage is None:
        return []
    links = {
        name: [link for link, points in linkage.bodies.items() if name in points]
        for name in linkage.drawn
        if name not in bike.nodes
    }
    order = sorted(links, key=lambda name: FRAME not in links[name])
    rows = [
        (f"{plain(name)} ({', '.join(plain(link) for link in links[name])})",
         _place(*linkage.drawn[name]))
        for name in order
    ]  # fmt: skip
    return [*rows, ("dummy shock, eye to eye, full length", f"{linkage.eye_to_eye:z.2f} mm")]


def _along_tubes(bike: Bike) -> list[tuple[str, str]]:
    """Return where tubes' axes meet the head tube and the seat tube: name, value with unit."""
    rows = []
    for key, mark in (("head_tube", "head tube's bottom"), ("seat_tube", "seat tube's start")):
        host = next((tube for tube in bike.tubes if tube.key == key), None)
        if host is None:
            continue
        found: list[tuple[float, str]] = []
        for tube in bike.tubes:
            for end in (tube.start, tube.end):
                if end.target == host.name and tube.side != "right":
                    s = float(host.axis.nearest(vector(end.point)[None])[0])
                    found.append((s, plain(tube.key)))
        found.sort()
        rows += [(f"{name} from the {mark}", f"{s:z.2f} mm") for s, name in found]
        rows += [
            (f"{a} to {b}", f"{t - s:z.2f} mm") for (s, a), (t, b) in pairwise(found)
        ]  # fmt: skip
    return rows


def fixture_csv(bike: Bike, marks: Sequence[tuple[str, str]] = ()) -> bytes:
    """Return figures, diagonals and alignment as CSV.

    Args:
        bike: the bike.
        marks: what is measured of features of tubes: name, value with unit.
    """
    rows = [("set", name.strip(), value, "", "", "", "") for name, value in figures_of(bike)]
    rows += [
        ("measure", f"{d.number}: {title_of(bike, d.start)} to {title_of(bike, d.end)}",
         f"{d.length:z.2f} mm",
         f"{d.head_angle:+z.4f}", f"{d.reach:+z.3f}", "" if d.aside is None else f"{d.aside:z.3f}", "")
        for d in diagonals_of(bike)
    ]  # fmt: skip
    rows += [
        ("align", f"{s.what}: {s.where}", s.value(3), "", "", "", "") for s in sideways_of(bike)
    ]
    rows += [
        ("setting" if s.trail is None else "part", s.what, "1 mm", f"{s.head_angle:+z.4f}", "", "",
         "" if s.trail is None else f"{s.trail:+z.3f}")
        for s in (*settings_of(bike), *parts_of(bike))
    ]  # fmt: skip
    rows += [("mark", what, value, "", "", "", "") for what, value in marks]
    head = (
        "kind",
        "what",
        "value",
        "head_angle_deg_per_mm",
        "reach_mm_per_mm",
        "axle_aside_mm_per_mm",
        "trail_mm_per_mm",
    )
    return csv_bytes(head, rows)


def fixture_sheet(bike: Bike, paper: Paper) -> Sheet:
    """Return the sheet: picture above, what to set on the left, what to measure on the right."""
    sheet = Sheet("fixture", f"{bike.spec.title}: fixture sheet", paper.width, paper.height)
    top = page_elements.heading(sheet, "Fixture sheet", bike.spec.title, DATUM, ())
    diagonals = diagonals_of(bike)
    _picture(sheet, bike, diagonals, top - 2.0, PICTURE * sheet.height)
    y = top - PICTURE * sheet.height - 7.0
    floor = page_elements.caution(sheet) + 2.0
    width = sheet.width - 2 * MARGIN
    half = (width - 7.0) / 2
    rows = figures_of(bike)
    step = min(4.7, (y - floor - 6.0) / max(len(rows) + 1, 1))
    size = min(2.65, step * 0.58)
    page_elements.table(
        sheet, MARGIN, y,
        [Column("Set from the datum", half - 34.0), Column("", 34.0, "right")], rows,
        step=step, size=size,
    )  # fmt: skip
    x = MARGIN + half + 7.0
    low = _measures(sheet, x, y, half, bike, diagonals)
    low = _alignment(sheet, x, low - 4.0, half, sideways_of(bike))
    low = _settings(sheet, x, low - 4.0, half, settings_of(bike), parts_of(bike))
    y = low - 4.0
    for line in (
        "head, reach: what 1 mm too much changes, in degrees and mm, with the others of its set right; "
        "1 mm too little does the opposite. 1 and 2 are held with 3, and 4, 5 or 6 stands in place of "
        "3; 7 goes with 8.",
        "aside: how many mm the rear axle stands to one side where left and right differ by 1 mm, "
        "measured to both dropouts.",
        "Measure between centres in the side view, or add what plugs and pins take.",
    ):
        y = page_elements.paragraph(sheet, x, y, line, half, 2.3)
    return sheet


def _measures(
    sheet: Sheet, x: float, y: float, width: float, bike: Bike, rows: Sequence[Diagonal]
) -> float:
    columns = [
        Column("", 5.0), Column("Measure the tacked frame", width - 49.5), Column("mm", 12.0, "right"),
        Column("head °", 11.5, "right"), Column("reach", 10.5, "right"),
        Column("aside", 10.5, "right"),
    ]  # fmt: skip
    cells = [
        (str(d.number), f"{title_of(bike, d.start)} to {title_of(bike, d.end)}", f"{d.length:z.1f}",
         f"{d.head_angle:+z.3f}", f"{d.reach:+z.2f}" if d.reach else "–",
         "–" if d.aside is None else f"{d.aside:z.2f}")
        for d in rows
    ]  # fmt: skip
    return page_elements.table(sheet, x, y, columns, cells, step=4.3, size=2.5)


def _alignment(sheet: Sheet, x: float, y: float, width: float, rows: Sequence[Sideways]) -> float:
    columns = [
        Column("1 mm out, sideways", 40.0), Column("moves", width - 56.0),
        Column("by", 16.0, "right"),
    ]  # fmt: skip
    cells = [(s.what, s.where, s.value(2)) for s in rows]
    return page_elements.table(sheet, x, y, columns, cells, step=4.3, size=2.5)


def _settings(
    sheet: Sheet,
    x: float,
    y: float,
    width: float,
    settings: Sequence[Setting],
    parts: Sequence[Setting],
) -> float:
    columns = [
        Column("1 mm too much in a setting, or in a part later", width - 28.0),
        Column("head °", 13.0, "right"), Column("trail mm", 15.0, "right"),
    ]  # fmt: skip
    cells = [
        (s.what, f"{s.head_angle:+z.3f}", "" if s.trail is None else f"{s.trail:+z.2f}")
        for s in (*settings, *parts)
    ]
    return page_elements.table(sheet, x, y, columns, cells, step=4.3, size=2.5)


def _picture(
    sheet: Sheet, bike: Bike, diagonals: Sequence[Diagonal], top: float, height: float
) -> None:
    """Draw the axes of the side view, the numbered diagonals, and the datum."""
    n = bike.nodes
    points = np.array([(p[0], p[2]) for name, p in n.items() if name in (*NAMES, "front_axle")])
    low, high = points.min(axis=0) - 25.0, points.max(axis=0) + 25.0
    width = sheet.width - 2 * MARGIN
    scale = min((width - 10.0) / (high[0] - low[0]), height / (high[1] - low[1]))
    shift = (
        np.array([MARGIN + (width - scale * (high[0] - low[0])) / 2, top - height]) - scale * low
    )

    def flat(p: Sequence[float]) -> XY:
        return float(shift[0] + scale * p[0]), float(shift[1] + scale * p[-1])

    for tube in bike.tubes:
        if tube.side != "right":
            _axis(sheet, tube, flat, scale)
    if bike.shell is not None and bike.shell.at != (0.0, 0.0):
        sheet.circle(flat(bike.shell.place), 0.5 * scale * bike.shell.od, "OUTLINE")
    for name in ("bottom_bracket", "rear_axle", "front_axle"):
        sheet.circle(flat(n[name]), 1.6 if name == "bottom_bracket" else 1.1, "OUTLINE")
    sheet.line(flat(n["crown_race"]), flat(n["front_axle"]), "PHANTOM")
    if bike.linkage is not None:
        for name, spot in bike.linkage.drawn.items():
            if name not in n:
                sheet.circle(flat(spot), 0.8, "OUTLINE")
    taken: list[XY] = []
    for diagonal in diagonals:
        a, b = flat(spot_of(bike, diagonal.start)), flat(spot_of(bike, diagonal.end))
        sheet.line(a, b, "CUT_INNER")
        spot = _spot(a, b, taken)
        taken.append(spot)
        sheet.fill([(spot[0] - 2, spot[1] - 2), (spot[0] + 2, spot[1] - 2),
                    (spot[0] + 2, spot[1] + 2), (spot[0] - 2, spot[1] + 2)], "PAPER")  # fmt: skip
        sheet.circle(spot, 2.3, "DIMENSION")
        sheet.text((spot[0], spot[1] - 0.95), str(diagonal.number), 2.8, align="centre", bold=True)
    o = flat(n["bottom_bracket"])
    for tip, name in (((o[0] + 14, o[1]), "x"), ((o[0], o[1] + 14), "z")):
        sheet.line(o, tip, "DIMENSION")
        d = (1.0, 0.0) if name == "x" else (0.0, 1.0)
        dimension.arrow(sheet, (tip[0] + 2.4 * d[0], tip[1] + 2.4 * d[1]), d)
        dimension.backed(
            sheet, (tip[0] + (3.8 if name == "x" else 2.2), tip[1] - (0.9 if name == "x" else -0.6)),
            name, size=2.8,
        )  # fmt: skip
    sheet.text((o[0], o[1] - 5.0), "datum", 2.6, align="centre")


def _axis(sheet: Sheet, tube: Tube, flat: object, scale: float) -> None:
    assert callable(flat)
    s = np.linspace(0.0, tube.axis.length, 2 if tube.axis.is_straight else 60)
    layer = "OUTLINE" if tube.key in ("head_tube", "seat_tube") else "STRIP"
    sheet.path([flat(p) for p in tube.axis.points(s)], layer)


def _spot(a: XY, b: XY, taken: Sequence[XY]) -> XY:
    """Return a point on the line a-b that is clear of the labels at `taken`."""
    best, room = a, -1.0
    for share in (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74):
        spot = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        free = min((np.hypot(spot[0] - t[0], spot[1] - t[1]) for t in taken), default=99.0)
        if free > 9.0:
            return spot
        if free > room:
            best, room = spot, float(free)
    return best
