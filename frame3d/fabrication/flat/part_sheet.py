"""A flat part with its dimensions: holes from the datum, spacing, fits, radii, thickness."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from frame3d.fabrication.flat.cut_files import notes_of
from frame3d.fabrication.flat.parts import SheetPart, letters
from frame3d.geometry.closed_path import Edge, Path
from frame3d.geometry.outline import Hole, Outline
from frame3d.paper import page_elements
from frame3d.paper.dimension import Dimensions
from frame3d.paper.fonts import wrapped
from frame3d.paper.labels import Way, around, label
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import XY, Sheet
from frame3d.parameters.sizes import fits

CHECKS: Final = 54.0
"""Height of check square and ruler with the holes' table [mm]."""
BELOW: Final = 7.0
"""Distance of dimension lines [mm]."""
AROUND: Final = 16.0
"""Room for labels beside a part [mm]."""
ABOVE: Final = 9.0
"""Room for labels above it [mm]."""
SCALES: Final = (2, 5, 10, 20)
"""Scales 1:n that are tried where 1:1 is too large for the paper and A3."""
ROWS: Final = 6
"""Most holes in the table beside the ruler."""
SPACED: Final = 3
"""Most holes whose spacing is all drawn; more are in the table from the datum alone."""
DRAWN: Final = 5
"""Most places whose distance from the datum is drawn in x or y; of more the table alone tells."""
SHORTEST: Final = 10.0
"""Least distance that is drawn, on the paper [mm]."""
A3: Final = (420.0, 297.0)
"""Width and height of A3 [mm]."""
FITS: Final = (
    f"Hole limits in mm: {fits.STANDING}. Fits of bores in links are common practice, no source."
)


@dataclass(frozen=True)
class View:
    """Where a part is on its sheet."""

    origin: XY
    scale: int

    def __call__(self, p: XY) -> XY:
        """Return where a place of the part is on the sheet [mm]."""
        return self.origin[0] + p[0] / self.scale, self.origin[1] + p[1] / self.scale


def part_sheets(part: SheetPart, bike: str, paper: Paper) -> list[Sheet]:
    """Return a part's sheets: the drawing, and tables where the drawing does not say all.

    Args:
        part: with its outline from its datum.
        bike: the bike's name.
        paper: turned to landscape; A3 is taken where 1:1 needs it.
    """
    tables = _tables(part)
    pages = 2 if tables else 1
    sheets = [_drawing(part, bike, paper, pages)]
    if tables:
        sheets.append(_table_page(part, bike, paper, tables))
    return sheets


def _drawing(part: SheetPart, bike: str, paper: Paper, pages: int) -> Sheet:
    low_x, low_y, high_x, high_y = part.outline.bounds
    notes = [*part.remarks, *notes_of(part)]
    if any(fits.limits_text(hole.diameter, hole.fit) for hole in part.outline.holes):
        notes.append(FITS)
    wide, tall = (paper.height, paper.width), (paper.width, paper.height)
    sizes = [(1, wide), (1, tall), (1, A3), *((n, wide) for n in SCALES)]
    for scale, (width, height) in sizes:
        columns, rows = _marks(part.outline, scale)
        left = AROUND + BELOW * (len(rows) + 1)
        below = 6.0 + BELOW * (len(columns) + 1)
        lines = [piece for one in notes for piece in wrapped(one, width - 2 * MARGIN, 2.4)]
        foot = MARGIN + 8.0 + 3.4 * len(lines) + CHECKS
        room = (width - 2 * MARGIN, height - MARGIN - 13.4 - foot)
        need = (left + (high_x - low_x) / scale + AROUND + 12.0,
                below + (high_y - low_y) / scale + ABOVE)  # fmt: skip
        if need[0] <= room[0] and need[1] <= room[1]:
            break
    sheet = Sheet(part.name, f"{bike}: {part.title}", width, height)
    full = "drawn 1:1" if scale == 1 else f"drawn 1:{scale}, so not to be traced"
    top = page_elements.heading(
        sheet,
        part.title,
        bike,
        f"{full} · datum: {part.datum}",
        (
            f"{part.thickness:g} mm {part.material}",
            f"{part.quantity}, {part.grams:.0f} g each",
            f"sheet 1 of {pages}",
        ),
    )
    y = page_elements.caution(sheet) + 1.2
    for line in reversed(lines):
        sheet.text((MARGIN, y), line, 2.4)
        y += 3.4
    y += 1.0
    page_elements.checks(sheet, MARGIN, y)
    if part.outline.holes:
        _hole_table(sheet, part, MARGIN + 56.0, y + 50.0, sheet.width - 2 * MARGIN - 56.0)
    floor = y + CHECKS - 2.0
    slack = (room[0] - need[0]) / 2
    x0 = MARGIN + slack + left - low_x / scale
    y0 = floor + below + max(top - floor - need[1], 0.0) / 2 - low_y / scale
    view = View((x0, y0), scale)
    _draw(sheet, part.outline, view)
    _dimension(sheet, part.outline, view, columns, rows)
    _label(sheet, part.outline, view, (MARGIN, floor, sheet.width - MARGIN, top - 1.0))
    return sheet


def _marks(outline: Outline, scale: int) -> tuple[list[float], list[float]]:
    """Return the x and y of holes away from the datum that are drawn, the nearest first [mm]."""
    found = []
    for i in (0, 1):
        values = sorted({round(h.at[i], 3) for h in outline.holes}, key=abs)
        found.append([v for v in values if abs(v) >= SHORTEST * scale])
    return (found[0], found[1]) if max(map(len, found)) <= DRAWN else ([], [])


def _draw(sheet: Sheet, outline: Outline, view: View) -> None:
    """Draw the part's lines, centre crosses and the datum's axes."""
    draw_path(sheet, outline.outer, view, view.scale, "OUTLINE")
    for slot in outline.slots:
        draw_path(sheet, slot.path, view, view.scale, "OUTLINE")
    for pocket in outline.pockets:
        draw_path(
            sheet, pocket.path, view, view.scale, "STRIP" if pocket.face == "front" else "CUT_INNER"
        )
    for hole in outline.holes:
        at, r = view(hole.at), hole.diameter / 2 / view.scale
        sheet.circle(at, r, "OUTLINE")
        for u, v in ((r + 2.0, 0.0), (0.0, r + 2.0)):
            sheet.line((at[0] - u, at[1] - v), (at[0] + u, at[1] + v), "CENTRE")


def draw_path(sheet: Sheet, path: Path, view: Callable[[XY], XY], scale: float, layer: str) -> None:
    """Draw a closed path as lines and arcs.

    Args:
        sheet: to draw on.
        path: in mm.
        view: where places of it are on the sheet.
        scale: its size to that on the sheet.
        layer: of the sheet.
    """
    for edge in path.edges:
        if edge.is_arc:
            first, last = (math.degrees(turn) for turn in edge.angles)
            sheet.arc(view(edge.centre), edge.radius / scale, first, last, layer)
        else:
            sheet.line(view(edge.start), view(edge.end), layer)


def _dimension(
    sheet: Sheet, outline: Outline, view: View, columns: Sequence[float], rows: Sequence[float]
) -> None:
    """Draw distances from the datum below and at the left, the whole outside of them, and spacing."""
    sizes = Dimensions(sheet)
    low_x, low_y, high_x, high_y = outline.bounds
    low, high = view((low_x, low_y)), view((high_x, high_y))
    holes = outline.holes
    y = low[1] - 6.0
    for x in columns:
        lowest = min((h for h in holes if round(h.x, 3) == x), key=lambda h: h.y)
        sizes.horizontal(view((0.0, holes[0].y)), view((x, lowest.y)), y, f"{abs(x):.2f}")
        y -= BELOW
    sizes.horizontal(view(_touch(outline, 0)), view(_touch(outline, 2)), y, f"{high_x - low_x:.2f}")
    x_line = low[0] - 6.0
    for v in rows:
        first = min((h for h in holes if round(h.y, 3) == v), key=lambda h: h.x)
        sizes.vertical(view((holes[0].x, 0.0)), view((first.x, v)), x_line, f"{abs(v):.2f}")
        x_line -= BELOW
    sizes.vertical(
        view(_touch(outline, 1)), view(_touch(outline, 3)), high[0] + 8.0, f"{high_y - low_y:.2f}"
    )
    if 2 < len(holes) <= SPACED:
        for a, b in combinations(holes, 2):
            if abs(a.y - b.y) > 0.005 and abs(a.x - b.x) > 0.005:
                far = math.dist(a.at, b.at)
                sizes.aligned(view(a.at), view(b.at), 0.0, f"{far:.2f}")
    sizes.letter()


def _touch(outline: Outline, side: int) -> XY:
    """Return where the edge touches its box: side 0 left, 1 below, 2 right, 3 above [mm]."""
    edge = outline.bounds[side]
    axis = side % 2
    places = [edge_.start for edge_ in outline.outer.edges]
    for arc in outline.outer.edges:
        if arc.is_arc:
            (x, y), r = arc.centre, arc.radius
            places += [p for p in ((x - r, y), (x + r, y), (x, y - r), (x, y + r))
                       if arc.distance(p) < 1e-6]  # fmt: skip
    return min(places, key=lambda p: (abs(p[axis] - edge) > 1e-6, p[1 - axis]))


def _label(
    sheet: Sheet, outline: Outline, view: View, box: tuple[float, float, float, float]
) -> None:
    """Label holes, slots, pockets and radii where the sheet is free."""
    for letter, hole in zip(letters(outline), outline.holes, strict=True):
        ways = around(view(hole.at), hole.diameter / 2 / view.scale)
        label(sheet, ways, f"{letter}  {diameter_text(hole)}", box)
    for i, slot in enumerate(outline.slots):
        ways = _outward(slot.path.edges, view)
        label(sheet, ways, f"S{i + 1}  {slot.length:g} × {slot.width:g}", box)
    for i, pocket in enumerate(outline.pockets):
        text = f"P{i + 1}  {pocket.depth:g} deep, {pocket.face}"
        label(sheet, _outward(pocket.path.edges, view), text, box)
    by_radius: dict[float, list[Edge]] = {}
    for edge in outline.outer.edges:
        if edge.is_arc:
            by_radius.setdefault(round(edge.radius, 2), []).append(edge)
    for radius, edges in by_radius.items():
        more = f" ({len(edges)}×)" if len(edges) > 1 else ""
        label(sheet, _outward(edges, view), f"R {radius:g}{more}", box)


def _outward(edges: Sequence[Edge], view: View) -> list[Way]:
    """Return ways away from the inside of anticlockwise edges, the longest edge first."""
    ways = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        for edge in sorted(edges, key=lambda one: -one.length):
            at = edge.at(share)
            if edge.is_arc:
                sign = math.copysign(1.0, edge.bulge) / edge.radius
                u = ((at[0] - edge.centre[0]) * sign, (at[1] - edge.centre[1]) * sign)
            else:
                u = ((edge.end[1] - edge.start[1]) / edge.chord,
                     (edge.start[0] - edge.end[0]) / edge.chord)  # fmt: skip
            ways.append((view(at), u))
    return ways


def diameter_text(hole: Hole) -> str:
    """Return a hole's diameter with fit or thread: ``Ø 26 N7``, ``M6 (Ø 5)``."""
    size = f"Ø {hole.diameter:g}"
    if hole.thread:
        return f"{hole.thread} ({size})"
    return f"{size} {hole.fit}".rstrip()


Head = Sequence[tuple[str, float, str]]
"""Title, width [mm] and alignment of each column."""
Row = tuple[str, ...]
Table = tuple[str, Head, list[Row]]
"""Title, columns, rows."""
HOLES: Final[Head] = (
    ("Hole", 16.0, "left"), ("x", 19.0, "right"), ("y", 19.0, "right"), ("from A", 19.0, "right"),
    ("Diameter, fit", 30.0, "left"), ("Limits", 32.0, "left"), ("For", 68.0, "left"),
)  # fmt: skip


def _hole_rows(part: SheetPart) -> list[Row]:
    holes = part.outline.holes
    return [
        (
            letter,
            f"{hole.x:z.2f}",
            f"{hole.y:z.2f}",
            f"{math.dist(hole.at, holes[0].at):z.2f}",
            diameter_text(hole),
            fits.limits_text(hole.diameter, hole.fit),
            hole.note,
        )
        for letter, hole in zip(letters(part.outline), holes, strict=True)
    ]


def _hole_table(sheet: Sheet, part: SheetPart, x: float, top: float, width: float) -> None:
    """Draw the holes' table above the ruler, or say where it is."""
    rows = _hole_rows(part)
    if len(rows) > ROWS:
        sheet.text((x, top - 4.0), f"{len(rows)} holes: see the table on sheet 2.", 2.7)
        return
    scale = width / sum(wide for _, wide, _ in HOLES)
    columns = [Column(title, wide * scale, align) for title, wide, align in HOLES]
    page_elements.table(sheet, x, top, columns, rows)


EDGE: Final[Head] = (
    ("", 14.0, "left"), ("x", 22.0, "right"), ("y", 22.0, "right"), ("then", 26.0, "left"),
    ("centre x", 22.0, "right"), ("centre y", 22.0, "right"),
)  # fmt: skip
SLOTS: Final[Head] = (
    ("Slot", 14.0, "left"), ("x", 22.0, "right"), ("y", 22.0, "right"), ("length", 22.0, "right"),
    ("width", 22.0, "right"), ("angle °", 22.0, "right"), ("For", 70.0, "left"),
)  # fmt: skip


def _tables(part: SheetPart) -> list[Table]:
    """Return the tables that the drawing has no room for."""
    outline = part.outline
    found: list[Table] = []
    if len(outline.holes) > ROWS:
        found.append(("Holes", HOLES, _hole_rows(part)))
    if outline.slots:
        rows: list[Row] = [
            (f"S{i + 1}", f"{s.x:z.2f}", f"{s.y:z.2f}", f"{s.length:.2f}", f"{s.width:.2f}",
             f"{s.angle:z.2f}", s.note)
            for i, s in enumerate(outline.slots)
        ]  # fmt: skip
        found.append(("Slots, from their middles; length over all", SLOTS, rows))
    if not _is_told(outline):
        found.append(("Edge, anticlockwise", EDGE, _edge_rows(outline.outer)))
    for i, pocket in enumerate(outline.pockets):
        title = f"Pocket P{i + 1}, {pocket.depth:g} mm deep in the {pocket.face} face"
        found.append((title, EDGE, _edge_rows(pocket.path)))
    return found


def _is_told(outline: Outline) -> bool:
    """Return whether holes and radii tell the edge: arcs about holes, and lines that touch them."""
    centres = [edge.centre for edge in outline.outer.edges if edge.is_arc]
    about = [any(math.dist(c, hole.at) < 1e-6 for hole in outline.holes) for c in centres]
    return bool(about) and all(about) and _is_smooth(outline.outer)


def _is_smooth(path: Path) -> bool:
    """Return whether a path has no corner."""
    edges = path.edges
    return all(
        math.dist(_heading(a, 1.0), _heading(b, 0.0)) < 1e-6
        for a, b in zip(edges, (*edges[1:], edges[0]), strict=True)
    )


def _heading(edge: Edge, share: float) -> XY:
    """Return the unit tangent of an edge at its start (0) or end (1)."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    along = math.atan2(y1 - y0, x1 - x0) + edge.sweep * (share - 0.5)
    return math.cos(along), math.sin(along)


def _edge_rows(path: Path) -> list[Row]:
    rows: list[Row] = []
    for i, edge in enumerate(path.edges):
        x, y = edge.start
        then, cx, cy = "line", "", ""
        if edge.is_arc:
            turn = "left" if edge.bulge > 0 else "right"
            then = f"R {edge.radius:.2f} {turn}"
            cx, cy = (f"{v:z.2f}" for v in edge.centre)
        rows.append((str(i + 1), f"{x:z.2f}", f"{y:z.2f}", then, cx, cy))
    return rows


def _table_page(part: SheetPart, bike: str, paper: Paper, tables: Sequence[Table]) -> Sheet:
    """Return a sheet with tables, as tall as they need (no less than the paper)."""
    step = 4.6
    need = sum(12.0 + step * (len(rows) + 1) for _, _, rows in tables) + 50.0
    sheet = Sheet(
        f"{part.name}_tables", f"{bike}: {part.title}, tables", paper.width, max(paper.height, need)
    )
    top = page_elements.heading(
        sheet, part.title, bike, f"mm from the datum: {part.datum}",
        (f"{part.thickness:g} mm {part.material}", part.quantity, "sheet 2 of 2"),
    )  # fmt: skip
    y = top - 4.0
    for title, head, rows in tables:
        sheet.text((MARGIN, y - 3.0), title, 3.1, bold=True)
        scale = min(1.0, (sheet.width - 2 * MARGIN) / sum(wide for _, wide, _ in head))
        columns = [Column(name, wide * scale, align) for name, wide, align in head]
        y = page_elements.table(sheet, MARGIN, y - 5.0, columns, rows, step=step) - 7.0
    page_elements.caution(sheet)
    return sheet
