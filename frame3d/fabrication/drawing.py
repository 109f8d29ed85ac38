"""The drawing of the frame on A3: from the side, from above and from behind, with its figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.caution import CAUTION
from frame3d.fabrication.on_tubes.balloons import numbered
from frame3d.fabrication.on_tubes.marks import Mark, marks_of
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark, dropout_marks
from frame3d.fabrication.parts_list import Item, items_of
from frame3d.fabrication.silhouette import REAR, SIDE, TOP, visible
from frame3d.fabrication.tube_facts import TubeFacts, plain, section_text, wall_text
from frame3d.geometry.arrays import Array
from frame3d.paper import page_elements
from frame3d.paper.dimension import Dimensions
from frame3d.paper.fonts import wrapped
from frame3d.paper.page_elements import Column
from frame3d.paper.sheet import XY, Sheet
from frame3d.parameters.models.figures import title, unit
from frame3d.solids.bodies import bodies
from frame3d.solids.body import SolidBody
from frame3d.solids.body_meshes import mesh_of_part
from frame3d.solids.features import drill
from frame3d.solids.mesh import Mesh
from frame3d.solids.sweep import Solid
from frame3d.tubes.features.holes import holes

Flat = Callable[[Sequence[float]], XY]
WIDTH, HEIGHT = 420.0, 297.0
"""A3, ISO 216 [mm]."""
EDGE: Final = 8.0
"""Distance from the paper's edge to the drawing's border [mm]."""
SIDEBAR: Final = 106.0
"""Width of the tables and the title block [mm]."""
SCALES: Final = (4, 5, 6, 7, 8, 9, 10, 12, 15, 20)
MARGINS: Final = (40.0, 78.0)
"""Total room beside and between the views, horizontally and vertically [mm]."""
WHEEL: Final = 90.0
"""Length of a wheel's arc shown on either side of its contact point [mm on the bike]."""
OPEN: Final = ("bottom_bracket", "head_tube", "seat_tube")
"""Parts whose bores are visible."""


def outlines(bike: Bike) -> dict[str, Mesh]:
    """Return every part's mesh by name, without the usual vents and invisible bores.

    Raises:
        FrameError: a part cannot be made.
    """
    tubes = {tube.name: tube for tube in bike.tubes}
    cut: dict[str, tuple[Solid, ...]] = {}
    for feature in bike.frame.features:
        own = tuple(drill(hole) for hole in holes(feature, tubes[feature.tube]))
        cut[feature.tube] = (*cut.get(feature.tube, ()), *own)

    def seen(body: SolidBody) -> SolidBody:
        drills = cut.get(body.name, ())
        is_open = body.name in OPEN or bool(drills)
        return replace(body, drills=drills, voids=body.voids if is_open else ())

    return {body.name: mesh_of_part(bike, seen(body), 0.03) for body in bodies(bike)}


def frame_grams(bike: Bike, grams: Mapping[str, float]) -> float:
    """Return the mass of the whole bare frame [g].

    Args:
        bike: the bike.
        grams: masses already known, by name [g]; the others are computed.

    Raises:
        FrameError: a part cannot be made.
    """
    others = (body for body in bodies(bike) if body.name not in grams)
    rest = (mesh_of_part(bike, body, 0.01).volume * body.density * 1e-3 for body in others)
    return sum(grams.values()) + sum(rest)


def drawing_sheet(bike: Bike, facts: Sequence[TubeFacts], grams: Mapping[str, float]) -> Sheet:
    """Return the drawing.

    Raises:
        FrameError: a part cannot be made.
    """
    sheet = Sheet("drawing", f"{bike.spec.title}: drawing", WIDTH, HEIGHT)
    meshes = outlines(bike)
    seen = {name: visible(meshes, view) for name, view in
            (("side", SIDE), ("top", TOP), ("rear", REAR))}  # fmt: skip
    sheet.box(EDGE, EDGE, WIDTH - 2 * EDGE, HEIGHT - 2 * EDGE, "FRAME")
    bar = WIDTH - EDGE - SIDEBAR
    sheet.line((bar, EDGE), (bar, HEIGHT - EDGE), "FRAME")
    marks = marks_of(bike, facts)
    scale = _views(sheet, bike, seen, bar, marks, dropout_marks(bike, marks))
    block = _title_block(sheet, bike, bar, scale, grams)
    low = _chart_table(sheet, bike, bar + 3.0, HEIGHT - EDGE - 2.5)
    low = _tube_table(sheet, facts, grams, bar + 3.0, low - 3.5, block)
    _parts(sheet, items_of(bike, facts), bar + 3.0, low - 3.5, block + 3.0)
    for i, line in enumerate(reversed(wrapped(CAUTION, bar - EDGE - 8.0, 2.5))):
        sheet.text((EDGE + 4.0, EDGE + 2.6 + 3.2 * i), line, 2.5, layer="CAUTION")
    return sheet


def _views(
    sheet: Sheet,
    bike: Bike,
    seen: Mapping[str, list[Array]],
    bar: float,
    marks: Sequence[Mark],
    on_dropouts: Sequence[DropoutMark],
) -> float:
    """Draw the three views in third-angle projection; return the scale."""
    n = bike.nodes
    boxes = {name: _box(lines) for name, lines in seen.items()}
    ground = min(n["rear_contact"][2], n["front_contact"][2])
    left = min(boxes["side"][0][0], n["rear_axle"][0])
    trail = bike.chart["trail"]
    right = max(boxes["side"][1][0], n["front_axle"][0] + max(WHEEL, trail or 0.0))
    top = boxes["side"][1][1]
    deep = boxes["top"][1][1] - boxes["top"][0][1]
    wide = boxes["rear"][1][0] - boxes["rear"][0][0]
    room = (bar - EDGE - MARGINS[0], HEIGHT - 2 * EDGE - MARGINS[1])
    size = (wide + right - left, deep + top - ground)
    scale = next((k for k in SCALES if size[0] / k < room[0] and size[1] / k < room[1]), SCALES[-1])
    spare = (room[0] - size[0] / scale, room[1] - size[1] / scale)
    x_rear = EDGE + 7.0 + spare[0] * 0.3 - boxes["rear"][0][0] / scale
    x_side = EDGE + 7.0 + spare[0] * 0.6 + wide / scale + 27.0 - left / scale
    y_side = EDGE + 35.0 + spare[1] / 3 - ground / scale
    y_top = HEIGHT - EDGE - 8.0 - spare[1] / 3 - boxes["top"][1][1] / scale

    def placed(x: float, y: float) -> Flat:
        return lambda p: (x + p[0] / scale, y + p[1] / scale)

    side, above, behind = placed(x_side, y_side), placed(x_side, y_top), placed(x_rear, y_side)
    for name, flat in (("side", side), ("top", above), ("rear", behind)):
        for line in seen[name]:
            sheet.path([flat(p) for p in line], "OUTLINE")
    sizes = Dimensions(sheet)
    _side(sheet, sizes, bike, side, scale)
    _above(sheet, sizes, bike, above, boxes["top"])
    _behind(sheet, sizes, bike, behind, boxes["rear"])
    numbered(sheet, marks, [(SIDE, side), (TOP, above), (REAR, behind)], on_dropouts)
    sizes.letter()
    _name(sheet, "Side view, drive side", side((left, ground)), -19.5)
    _name(sheet, "View from above", above((boxes["top"][0][0], boxes["top"][0][1])), -7.0)
    _name(sheet, "View from behind", behind((boxes["rear"][0][0], boxes["rear"][0][1])), -19.5)
    return float(scale)


def _box(lines: Sequence[Array]) -> tuple[Array, Array]:
    points = np.vstack(lines)
    return points.min(axis=0), points.max(axis=0)


def _name(sheet: Sheet, text: str, at: XY, down: float) -> None:
    sheet.text((at[0], at[1] + down), text, 3.4, bold=True)


def _side(sheet: Sheet, sizes: Dimensions, bike: Bike, flat3: Flat, scale: float) -> None:
    """Draw the dimensions and angles of the side view."""
    n, chart = bike.nodes, bike.chart
    at = {name: flat3((p[0], p[2])) for name, p in n.items()}
    bb, rear, front = at["bottom_bracket"], at["rear_axle"], at["front_axle"]
    high, low, seat = at["head_tube_top"], at["head_tube_bottom"], at["seat_tube_top"]
    ground = at["rear_contact"][1]

    def figure(name: str) -> str:
        value = chart[name]
        if value is None:
            return ""
        return f"{value:z.1f}°" if unit(name) == "degrees" else f"{value:z.1f}"

    right = front[0] + 16.0
    for hub, radius in ((rear, "rear_wheel_radius"), (front, "front_wheel_radius")):
        _tyre_at_ground(sheet, hub, chart[radius], scale)
    sheet.circle(front, 1.2, "OUTLINE")
    shell = () if bike.shell is None or not any(bike.shell.at) else (flat3(bike.shell.at),)
    for centre, size in ((front, 3.4), (rear, 5.5), (bb, 6.5), *((at, 4.0) for at in shell)):
        _centre_mark(sheet, centre, size)
    sheet.line((rear[0] - 9.0, rear[1]), (front[0] + 5.0, rear[1]), "CENTRE")
    # Steering axis down to the ground, the seat tube's axis up to the head tube's top.
    along = ((high[0] - low[0]), (high[1] - low[1]))
    foot = (low[0] + along[0] * (ground - low[1]) / along[1], ground)
    up = (high[0] + along[0] * 0.5, high[1] + along[1] * 0.5)
    sheet.line(foot, up, "CENTRE")
    sheet.line((rear[0] - 20.0, ground), (max(right, foot[0] + 2.0), ground), "STRIP")
    square = _foot(front, low, high)
    sheet.line(front, square, "PHANTOM")
    seat_low = _foot(bb, seat, _seat_start(bike, flat3))
    d = (seat[0] - seat_low[0], seat[1] - seat_low[1])
    reach = (high[1] - seat_low[1]) / d[1]
    post = (seat_low[0] + d[0] * reach, high[1])
    size = float(np.hypot(*d))
    sheet.line(seat_low, (post[0] + 16.0 * d[0] / size, post[1] + 16.0 * d[1] / size), "CENTRE")
    sheet.line((bb[0], bb[1]), (right, bb[1]), "CENTRE")
    sizes.horizontal(post, high, high[1] + 13.0, figure("effective_top_tube"))
    sizes.horizontal(bb, high, high[1] + 21.0, figure("reach"))
    sizes.vertical((front[0] + 2.0, bb[1]), high, right - 3.0, figure("stack"))
    sizes.aligned(high, low, 11.0, figure("head_tube_length"))
    sizes.aligned(seat_low, seat, 15.0, figure("seat_tube_length"))
    sizes.aligned(rear, bb, -12.0, figure("chainstay_length"))
    sizes.aligned(bb, front, -10.0, figure("front_centre"))
    sizes.aligned(at["crown_race"], square, 18.0, figure("fork_axle_to_crown"))
    drop = (rear[0], bb[1])
    sizes.vertical(rear, drop, rear[0] - 12.0, figure("bb_drop"))
    sheet.line((rear[0] - 14.0, bb[1]), (bb[0], bb[1]), "CENTRE")
    sizes.vertical((bb[0], ground), bb, bb[0] - 9.0, figure("bb_height"))
    contact = (front[0], ground)
    sizes.horizontal(contact, foot, ground - 7.0, figure("trail"))
    sizes.horizontal((rear[0], ground), contact, ground - 14.0, figure("wheelbase"))
    head = float(np.degrees(np.arctan2(along[1], along[0])))
    sizes.angle(foot, 17.0, head, 180.0, figure("head_tube_angle"))
    lean = float(np.degrees(np.arctan2(d[1], d[0])))
    sheet.line(post, (post[0] - 17.0, post[1]), "STRIP")
    sizes.angle(post, 13.0, lean, 180.0, figure("actual_seat_tube_angle"))


def _tyre_at_ground(sheet: Sheet, hub: XY, radius: float | None, scale: float) -> None:
    """The wheel's outside to either side of where it stands; nothing where its radius is not known."""
    if radius is not None:
        half = float(np.degrees(np.arcsin(min(1.0, WHEEL / radius))))
        sheet.arc(hub, radius / scale, 270.0 - half, 270.0 + half, "PHANTOM")


def _seat_start(bike: Bike, flat: Flat) -> XY:
    """Return a second point of the seat tube's axis."""
    angle = bike.chart["actual_seat_tube_angle"]
    x, _, z = bike.nodes["seat_tube_top"]
    turn = np.radians(90.0 if angle is None else angle)
    return flat((x + 300.0 * float(np.cos(turn)), z - 300.0 * float(np.sin(turn))))


def _foot(p: XY, a: XY, b: XY) -> XY:
    """Return the foot of the perpendicular from p on the line a-b."""
    d = (b[0] - a[0], b[1] - a[1])
    share = ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / (d[0] ** 2 + d[1] ** 2)
    return a[0] + share * d[0], a[1] + share * d[1]


def _centre_mark(sheet: Sheet, at: XY, half: float) -> None:
    sheet.line((at[0] - half, at[1]), (at[0] + half, at[1]), "CENTRE")
    sheet.line((at[0], at[1] - half), (at[0], at[1] + half), "CENTRE")


def _above(
    sheet: Sheet, sizes: Dimensions, bike: Bike, flat: Flat, box: tuple[Array, Array]
) -> None:
    low, high = flat((box[0][0] - 25.0, 0.0)), flat((box[1][0] + 25.0, 0.0))
    sheet.line(low, high, "CENTRE")
    if bike.dropouts:
        y = [dropout.axle[1] for dropout in bike.dropouts]
        x = bike.nodes["rear_axle"][0]
        a, b = flat((x, min(y))), flat((x, max(y)))
        sizes.vertical(a, b, a[0] - 12.0, f"{max(y) - min(y):g}")


def _behind(
    sheet: Sheet, sizes: Dimensions, bike: Bike, flat: Flat, box: tuple[Array, Array]
) -> None:
    low, high = flat((0.0, box[0][1] - 25.0)), flat((0.0, box[1][1] + 25.0))
    sheet.line(low, high, "CENTRE")
    if bike.shell is not None:
        right, left = bike.shell.faces
        low_edge = bike.shell.at[1] - bike.shell.od / 2
        a, b = flat((right, low_edge)), flat((left, low_edge))
        sizes.horizontal(a, b, a[1] - 9.0, f"{bike.shell.width:g}")
    head = next((tube for tube in bike.tubes if tube.key == "head_tube"), None)
    if head is not None:
        size = head.section.width[-1]
        z = bike.nodes["head_tube_top"][2]
        a, b = flat((-size / 2, z)), flat((size / 2, z))
        sizes.horizontal(a, b, high[1] + 1.0, f"Ø {size:g}")


def _title_block(
    sheet: Sheet, bike: Bike, x: float, scale: float, grams: Mapping[str, float]
) -> float:
    """Draw the title block in the lower right corner; return y of its upper edge [mm]."""
    width, top = WIDTH - EDGE - x, EDGE + 40.0
    sheet.line((x, top), (x + width, top), "FRAME")
    name, size = page_elements.fitted(bike.spec.title, width - 34.0, 6.5, bold=True)
    lines = [name] if size > 3.6 else wrapped(bike.spec.title, width - 40.0, 3.2)[:2]
    for i, line in enumerate(lines):
        shown, fit = page_elements.fitted(line, width - 34.0, max(size, 3.2), bold=True)
        y = top - (8.4 if len(lines) == 1 else 5.0 + 4.0 * i)
        sheet.text((x + 3.0, y), shown, fit, bold=True)
    sheet.text((x + 3.0, top - 13.2), "Frame drawing", 3.2)
    third = width / 3
    materials = sorted({tube.material for tube in bike.tubes})
    cells = (
        ("Scale", f"1:{scale:g}"), ("Sheet", "A3, mm and degrees"),
        ("Material", ", ".join(materials)), ("Frame, bare", f"{frame_grams(bike, grams):z.0f} g"),
        ("Drawn, date", ""), ("Checked, date", ""),
    )  # fmt: skip
    for i, (name, value) in enumerate(cells):
        left, y = x + (i % 3) * third, top - 17.0 - (i // 3) * 11.5
        sheet.box(left, y - 11.5, third, 11.5, "TABLE")
        sheet.text((left + 1.6, y - 3.4), name, 2.2, layer="CAUTION")
        shown, size = page_elements.fitted(value, third - 3.2, 3.2)
        sheet.text((left + 1.6, y - 9.0), shown, size)
    _third_angle(sheet, (x + width - 20.0, top - 10.0))
    return top


def _third_angle(sheet: Sheet, at: XY) -> None:
    """Draw the symbol of third-angle projection (ISO 5456-2; from memory): circles, then the cone."""
    x, y = at
    sheet.circle((x, y), 1.6, "STRIP")
    sheet.circle((x, y), 3.2, "STRIP")
    sheet.path([(x + 6, y - 1.6), (x + 6, y + 1.6), (x + 13, y + 3.2), (x + 13, y - 3.2)], "STRIP",
               closed=True)  # fmt: skip
    sheet.line((x - 4.4, y), (x + 14.4, y), "CENTRE")
    sheet.line((x, y - 4.4), (x, y + 4.4), "CENTRE")


def _short(text: str) -> str:
    """Return a figure's title for a narrow column."""
    return text if len(text) < 26 else text.replace("bottom bracket", "BB")


def _chart_table(sheet: Sheet, bike: Bike, x: float, top: float) -> float:
    """Draw the chart's figures in two columns; return y of the lower edge [mm]."""
    rows = []
    for name, value in bike.chart.items():
        if value is not None:
            rows.append(
                (
                    _short(title(name)),
                    f"{value:z.2f}°" if unit(name) == "degrees" else f"{value:z.1f}",
                )
            )
    half = (len(rows) + 1) // 2
    width = (SIDEBAR - 9.0) / 2
    low = top
    for i in (0, 1):
        columns = [Column("" if i else "Chart", width - 14.0), Column("mm", 14.0, "right")]
        part = rows[:half] if i == 0 else rows[half:]
        end = page_elements.table(
            sheet, x + i * (width + 3.0), top, columns, part, step=4.7, size=2.6
        )
        low = min(low, end)
    return low


def _tube_table(
    sheet: Sheet,
    facts: Sequence[TubeFacts],
    grams: Mapping[str, float],
    x: float,
    top: float,
    floor: float,
) -> float:
    """Draw the table of tubes; return y of its lower edge [mm].

    With sections, cut lengths and masses; a pair whose sides are alike has one row.
    """
    columns = [
        Column("Tube", 25.0), Column("Outside", 24.0), Column("Wall", 19.0),
        Column("Cut", 12.0, "right"), Column("No.", 8.0, "right"), Column("g each", 12.0, "right"),
    ]  # fmt: skip
    rows: list[tuple[str, ...]] = []
    by_key: dict[str, list[TubeFacts]] = {}
    for one in facts:
        by_key.setdefault(one.tube.key, []).append(one)
    for key, ones in by_key.items():
        first = ones[0]
        rows.append(
            (plain(key), section_text(first.tube), wall_text(first.tube),
             f"{first.long_to_long:z.1f}", str(len(ones)), f"{grams[first.tube.name]:z.0f}")
        )  # fmt: skip
    step = min(4.7, (top - floor - 4.0) / (len(rows) + 1))
    return page_elements.table(sheet, x, top, columns, rows, step=step, size=step * 0.55)


def _parts(sheet: Sheet, items: Sequence[Item], x: float, top: float, floor: float) -> None:
    """Draw as much of the parts list as there is room for."""
    width = SIDEBAR - 6.0
    columns = [Column("Parts", 33.0), Column("", width - 51.0), Column("", 18.0)]
    room = int((top - floor) / 4.7) - 1
    if room < 1:
        return
    rows = [(item.what, item.size, item.standard) for item in items]
    if len(rows) > room:
        rows = [*rows[: room - 1], ("more in the parts list", "", "")]
    page_elements.table(sheet, x, top, columns, rows, step=4.7, size=2.6)
