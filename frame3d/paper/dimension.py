"""Dimension lines, arrows and angles on a sheet, in paper millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import XY, Sheet

SIZE = 2.9
"""Size of a dimension's text [mm]."""
GAP = 1.2
"""Gap between a measured point and its extension line [mm]."""
OVER = 1.4
"""Length of extension lines beyond the dimension line [mm]."""
SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78)
"""Positions of the text along a dimension line, best first."""
Spot = tuple[XY, float]
"""Middle of a text's baseline, and its rotation [degrees]."""


@dataclass
class Dimensions:
    """Dimension lines on a sheet. Texts are set last, where as few lines as possible cross them."""

    sheet: Sheet
    _texts: list[tuple[str, list[Spot]]] = field(default_factory=list)
    """Texts still to be set, with their possible places, best first."""

    def aligned(self, a: XY, b: XY, away: float, text: str) -> None:
        """Draw the dimension between two points, parallel to a-b, `away` to the left of a → b [mm]."""
        length = math.dist(a, b)
        left = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
        self._measured(a, b, _plus(a, left, away), _plus(b, left, away), text)

    def horizontal(self, a: XY, b: XY, y: float, text: str) -> None:
        """Draw the horizontal dimension between two points, at height y."""
        self._measured(a, b, (a[0], y), (b[0], y), text)

    def vertical(self, a: XY, b: XY, x: float, text: str) -> None:
        """Draw the vertical dimension between two points, at x."""
        self._measured(a, b, (x, a[1]), (x, b[1]), text)

    def angle(self, centre: XY, radius: float, start: float, end: float, text: str) -> None:
        """Draw an arc anticlockwise between two directions [degrees], with its text outside."""
        self.sheet.arc(centre, radius, start, end, "DIMENSION")
        for at, turn in ((start, 1), (end, -1)):
            tip = _polar(centre, radius, at)
            bent = at + turn * math.degrees(1.2 / radius)
            back = _polar(centre, radius, bent + turn * math.degrees(1.2 / radius))
            arrow(self.sheet, tip, (tip[0] - back[0], tip[1] - back[1]))
        away = radius + 1.6 + text_width(text, SIZE) / 2
        spots = [_polar(centre, away, start + share * (end - start)) for share in SHARES]
        self._texts.append((text, [((x, y - SIZE * 0.36), 0.0) for x, y in spots]))

    def letter(self) -> None:
        """Set all texts. Everything else on the sheet must be drawn before."""
        busy = drawn(self.sheet)
        for text, spots in self._texts:
            half = text_width(text, SIZE) / 2
            best = min(spots, key=lambda spot: _crossings(busy, spot, half))
            backed(self.sheet, best[0], text, turn=best[1])
        self._texts.clear()

    def _measured(self, a: XY, b: XY, p: XY, q: XY, text: str) -> None:
        sheet = self.sheet
        for point, end in ((a, p), (b, q)):
            reach = math.dist(point, end)
            if reach > GAP:
                u = ((end[0] - point[0]) / reach, (end[1] - point[1]) / reach)
                sheet.line(_plus(point, u, GAP), _plus(end, u, OVER), "DIMENSION")
        length = math.dist(p, q)
        along = ((q[0] - p[0]) / length, (q[1] - p[1]) / length)
        turn = math.degrees(math.atan2(along[1], along[0]))
        if turn > 90.5 or turn <= -89.5:  # read from below or from the right
            turn, along, p, q = turn + 180.0, (-along[0], -along[1]), q, p
        turn = (turn + 180.0) % 360.0 - 180.0
        up = (-along[1], along[0])
        wide = text_width(text, SIZE)
        is_inside = length > 7.0
        fits = length >= wide + 2.0
        before = 0.0 if is_inside else 5.0
        after = before if fits else wide + 7.0  # on under its text
        sheet.line(_plus(p, along, -before), _plus(q, along, after), "DIMENSION")
        outward = -1.0 if is_inside else 1.0
        arrow(sheet, p, (outward * along[0], outward * along[1]))
        arrow(sheet, q, (-outward * along[0], -outward * along[1]))
        places = [length * share for share in SHARES] if fits else [length + 6.0 + wide / 2]
        if fits:  # clear of the arrows
            places = [x for x in places if abs(x - length / 2) <= (length - wide) / 2 - 0.9]
        self._texts.append((text, [(_plus(_plus(p, along, x), up, 0.9), turn) for x in places]))


def arrow(sheet: Sheet, tip: XY, along: XY) -> None:
    """Draw a filled arrow head that points along a direction."""
    size = math.hypot(*along)
    u = (along[0] / size, along[1] / size)
    back = _plus(tip, u, -2.4)
    sheet.fill(
        [tip, _plus(back, (-u[1], u[0]), 0.42), _plus(back, (u[1], -u[0]), 0.42)], "DIMENSION"
    )


def backed(sheet: Sheet, at: XY, text: str, *, size: float = SIZE, turn: float = 0.0) -> None:
    """Draw text on a patch of blank paper, centred at a point."""
    half = text_width(text, size) / 2 + 0.5
    u = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    v = (-u[1], u[0])
    corners: Sequence[XY] = [
        _plus(_plus(at, u, x * half), v, y)
        for x, y in ((-1, -0.5), (1, -0.5), (1, size * 0.72 + 0.4), (-1, size * 0.72 + 0.4))
    ]
    sheet.fill(corners, "PAPER")
    sheet.text(at, text, size, align="centre", turn=turn)


def drawn(sheet: Sheet) -> Array:
    """Return points along all full lines, no further apart than the height of a text: (n, 2) [mm]."""
    rows = []
    for entity in sheet.entities():
        if entity.dxf.layer not in ("OUTLINE", "DIMENSION", "STRIP"):
            continue
        kind, dxf = entity.dxftype(), entity.dxf
        if kind == "LINE":
            rows.append(np.array([(dxf.start.x, dxf.start.y), (dxf.end.x, dxf.end.y)]))
        elif kind == "LWPOLYLINE":
            rows.append(np.array(entity.get_points("xy")))
        elif kind in ("ARC", "CIRCLE"):
            rows.append(np.array([(p.x, p.y) for p in entity.flattening(0.05)]))
    dense = []
    for row in rows:
        along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(row, axis=0).T))))
        at = np.linspace(0.0, along[-1], int(along[-1] / 0.3) + 2)
        dense.append(np.column_stack([np.interp(at, along, row[:, i]) for i in (0, 1)]))
    return np.vstack(dense) if dense else np.zeros((0, 2))


def _crossings(busy: Array, spot: Spot, half: float) -> int:
    """Return how many points of lines lie under a text at a place."""
    turn = math.radians(spot[1])
    d = busy - np.array(spot[0])
    x = d[:, 0] * math.cos(turn) + d[:, 1] * math.sin(turn)
    y = d[:, 1] * math.cos(turn) - d[:, 0] * math.sin(turn)
    return int(((abs(x) < half + 0.4) & (y > -0.3) & (y < 0.72 * SIZE + 0.3)).sum())


def _plus(p: XY, u: XY, k: float) -> XY:
    return p[0] + k * u[0], p[1] + k * u[1]


def _polar(centre: XY, radius: float, degrees: float) -> XY:
    turn = math.radians(degrees)
    return centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)
