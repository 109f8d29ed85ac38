"""Panels of a template on a page: divided over pages, above each other, and each one drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.fabrication.on_tubes.crosses import crosses_on
from frame3d.fabrication.template import Panel
from frame3d.fabrication.template_name import name_on
from frame3d.geometry.arrays import Array
from frame3d.paper import dimension
from frame3d.paper.page_elements import MARGIN, fitted
from frame3d.paper.sheet import Sheet

FLAP: Final = 6.0
"""Width of the flap beyond the full turn, to glue the template to itself [mm]."""
LABEL: Final = 12.0
"""Height of a panel's two lines of text [mm]."""
OVERLAP: Final = 15.0
"""Overlap of the pieces of a template that is longer than its page [mm]."""


@dataclass(frozen=True)
class Piece:
    """The part of a panel on one page: all of it, or the range `low` to `high` of y [mm]."""

    panel: Panel
    low: float
    high: float
    number: int = 1
    of: int = 1

    @property
    def texts(self) -> tuple[str, str]:
        """The panel's texts; for one of several pieces, with how they go together."""
        title, below = self.panel.texts
        if self.of == 1:
            return title, below
        marks = "lay the crosses of the same name over each other"
        last = self.of if self.panel.place.at == "start" else 1
        return (
            f"{title} · piece {self.number} of {self.of}",
            below if self.number == last else marks,
        )


def grouped(panels: Sequence[Panel], room: float, *, filled: bool = False) -> list[list[Piece]]:
    """Divide panels over pages: all on one if they fit, else one a page, else in pieces.

    Args:
        panels: from the tube's start to its end.
        room: height of a page for panels and their texts [mm].
        filled: whether a page that is not all takes as many panels as it holds.
    """
    if _fit([Piece(panel, *panel.extent) for panel in panels], room):
        return [[Piece(panel, *panel.extent) for panel in panels]]
    pages: list[list[Piece]] = []
    usable = room - LABEL
    for panel in panels:
        low, high = panel.extent
        count = max(1, math.ceil((high - low - OVERLAP) / (usable - OVERLAP) - 1e-9))
        for i in range(count):
            from_y = low + i * (usable - OVERLAP)
            piece = Piece(panel, from_y, min(from_y + usable, high), i + 1, count)
            if filled and pages and _fit([*pages[-1], piece], room):
                pages[-1].append(piece)
            else:
                pages.append([piece])
    return pages


def _fit(pieces: Sequence[Piece], room: float) -> bool:
    """Return whether pieces and their texts fit onto one page."""
    need = sum(piece.high - piece.low for piece in pieces)
    return need + len(pieces) * LABEL + 8.0 * (len(pieces) - 1) <= room


def place(sheet: Sheet, group: Sequence[Piece], top: float, bottom: float, name: str) -> None:
    """Draw panels above each other, the tube's end at the top, with a common middle line."""
    x = (sheet.width - FLAP) / 2
    heights = [piece.high - piece.low + LABEL for piece in group]
    gap = (top - bottom - sum(heights)) / (len(group) + 1)
    gap = min(gap, 26.0)
    y = bottom + (top - bottom - sum(heights) - gap * (len(group) - 1)) / 2
    marks = []
    for piece, height in zip(group, heights, strict=True):
        panel, low, high = piece.panel, piece.low, piece.high
        above = panel.place.at != "end"
        base = y if above else y + LABEL
        draw(sheet, panel, (x, base - low), (low, high))
        name_on(sheet, panel, (x, base - low), (low, high), name)
        text_y = base + (high - low) + 2.6 if above else base - 4.6
        title, below = piece.texts
        wide = sheet.width - 2 * MARGIN
        shown, size = fitted(title, wide, 3.1, bold=True)
        sheet.text((x, text_y + (4.2 if above else 0.0)), shown, size, bold=True, align="centre")
        sheet.text((x, text_y - (0.0 if above else 4.0)), below, 2.7, align="centre")
        marks.append((base, base + high - low, above, panel.flat.centre))
        y += height + gap
    for (_, a, above, one), (b, _, below_label, other) in pairwise(marks):
        if abs(one - other) > 1e-6:
            continue  # their middle lines are not the same
        low_y = a + (LABEL if above else 0.0)
        high_y = b - (0.0 if below_label else LABEL)
        if high_y - low_y > 6.0:
            middle = (low_y + high_y) / 2
            sheet.line((x, low_y), (x, middle - 1.6), "CENTRE")
            sheet.line((x, middle + 1.6), (x, high_y), "CENTRE")
            for dy in (-1.6, 1.6):
                sheet.path(
                    [
                        (x - 3, middle + dy - 0.6),
                        (x - 1, middle + dy + 0.6),
                        (x + 1, middle + dy - 0.6),
                        (x + 3, middle + dy + 0.6),
                    ],
                    "STRIP",
                )


def draw(sheet: Sheet, panel: Panel, at: tuple[float, float], shown: tuple[float, float]) -> None:
    """Draw one panel.

    Args:
        sheet: to draw on.
        panel: the panel.
        at: (x, y) of its middle line and of s = 0 [mm].
        shown: range of the panel's y that the page shows [mm].
    """
    x0, y0 = at
    window = (shown[0] - 1e-6, shown[1] + 1e-6)

    def path(points: Array, layer: str) -> None:
        for piece in clipped(points, *window):
            sheet.path(piece + np.array([x0, y0]), layer)

    edges = ((panel.outer, "CUT"), (panel.inner, "CUT_INNER"), (panel.covered, "PHANTOM"))
    for edge, layer in ((edge, layer) for own, layer in edges for edge in own):
        path(edge, layer)
    rules = [panel.straight] if panel.straight is not None else [panel.low, panel.high]
    for s in rules:
        path(panel.rule(s), "STRIP")
    for turn, layer in (
        (-180.0, "STRIP"),
        (-90.0, "CENTRE"),
        (0.0, "CENTRE"),
        (90.0, "CENTRE"),
        (180.0, "STRIP"),
    ):
        low, high = _column(panel, turn)
        path(panel.flat.at(np.array([turn, turn]), np.array([low, high])), layer)
    _flap(sheet, panel, at, window)
    names = (*panel.lines, panel.lines[0])
    for turn, name in zip((-180.0, -90.0, 0.0, 90.0, 180.0), names, strict=True):
        low, high = _column(panel, turn)
        s = high - 1.6 if panel.place.at != "end" else low + 1.6
        if panel.straight is not None and not window[0] < s < window[1]:
            # On every piece of a tiled one, clear of the marks.
            s = min(max(s, window[0] + OVERLAP + 1.6), window[1] - OVERLAP - 1.6)
        if not low < s < high:
            continue
        (px, py), (qx, qy) = panel.flat.at(np.array([turn, turn]), np.array([s, s + 1.0]))
        if window[0] < py < window[1]:
            lean = math.atan2(
                qy - py, qx - px
            )  # along its line, to the right but at the right seam
            aside = -0.9 if turn > 179 else 2.9
            sheet.text(
                (x0 + px + aside * math.sin(lean), y0 + py - aside * math.cos(lean)),
                name,
                2.5,
                turn=math.degrees(lean),
                align="left" if panel.place.at == "end" else "right",
            )
    _arrow(sheet, panel, at, window)
    crosses_on(sheet, panel, at, window)
    if panel.keep is not None:
        ((px, py),) = panel.flat.at(np.array([panel.keep[0]]), np.array([panel.keep[1]]))
        if window[0] < py < window[1]:
            dimension.backed(sheet, (x0 + px, y0 + py), "TUBE", size=4.0)
    for i, y in enumerate(shown):
        if abs(y - panel.extent[i]) > 1e-6:
            _tile_marks(sheet, panel, at, y if i == 0 else y - OVERLAP)


def _column(panel: Panel, turn: float) -> tuple[float, float]:
    """Return the range of s that a template covers along one generator [mm]."""
    if panel.straight is None:
        return panel.low, panel.high
    s = float(np.interp(turn, panel.spread[:, 0], panel.spread[:, 1], period=360.0))
    return (s, panel.straight) if panel.place.at == "start" else (panel.straight, s)


def _flap(sheet: Sheet, panel: Panel, at: tuple[float, float], window: tuple[float, float]) -> None:
    """Draw the flap beyond the right seam."""
    low, high = _column(panel, 180.0)
    a, b = panel.flat.at(np.array([180.0, 180.0]), np.array([low, high]))
    out = np.array([FLAP, 0.0])
    slope = np.array([0.0, 2.0])
    flap = np.array([a, a + out + slope, b + out - slope, b])
    for piece in clipped(flap, *window):
        sheet.path(piece + np.array(at), "STRIP")
    middle = (a + b + out) / 2
    if window[0] < middle[1] < window[1] and b[1] - a[1] > 14:
        sheet.text(
            (at[0] + middle[0] + 0.8, at[1] + middle[1]), "glue", 2.2, align="centre", turn=90.0
        )


def _arrow(
    sheet: Sheet, panel: Panel, at: tuple[float, float], window: tuple[float, float]
) -> None:
    """Draw an arrow toward the tube's end, beside the middle line."""
    low, high = _column(panel, 45.0)
    x = float(panel.flat.at(np.array([45.0]), np.array([(low + high) / 2]))[0, 0])
    y = high - 9.0 if panel.place.at != "end" else low + 3.0
    if window[0] < y and y + 7 < window[1] and abs(high - low) > 11:
        px, py = at[0] + x, at[1] + y
        sheet.line((px, py), (px, py + 5), "DIMENSION")
        sheet.fill([(px - 0.9, py + 4), (px + 0.9, py + 4), (px, py + 7)], "DIMENSION")


def _tile_marks(sheet: Sheet, panel: Panel, at: tuple[float, float], y: float) -> None:
    """Draw crosses by which pieces of a long template are laid over each other."""
    for side, x in (("A", -panel.width / 2), ("B", panel.width / 2)):
        px, py = at[0] + x, at[1] + y + OVERLAP / 2
        for dx, dy in ((3.0, 0.0), (0.0, 3.0)):
            sheet.line((px - dx, py - dy), (px + dx, py + dy), "CHECK")
        sheet.circle((px, py), 1.6, "CHECK")
        sheet.text(
            (px + (2.2 if side == "A" else -2.2), py + 2.0),
            f"{side} {y:z.0f}",
            2.5,
            bold=True,
            align="left" if side == "A" else "right",
        )


def clipped(points: Array, low: float, high: float) -> list[Array]:
    """Return the pieces of a path between two values of y: (n, 2) -> list of (m, 2)."""
    if points[:, 1].min() >= low and points[:, 1].max() <= high:
        return [points]
    rows: list[list[Array]] = [[]]
    for a, b in pairwise(points):
        shares = sorted(
            {
                0.0,
                1.0,
                *(
                    (edge - a[1]) / (b[1] - a[1])
                    for edge in (low, high)
                    if (a[1] - edge) * (b[1] - edge) < 0
                ),
            }
        )
        for s, t in pairwise(shares):
            p, q = a + s * (b - a), a + t * (b - a)
            if low <= (p[1] + q[1]) / 2 <= high:
                if not rows[-1]:
                    rows[-1].append(p)
                rows[-1].append(q)
            elif rows[-1]:
                rows.append([])
    return [np.array(row) for row in rows if len(row) > 1]
