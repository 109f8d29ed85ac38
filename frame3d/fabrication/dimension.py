"""Dimension: dimension lines, arrows and angles on a sheet, in paper millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.fabrication.sheet import XY, Sheet, text_width

SIZE = 2.9
"""Of a dimension's text [mm]."""
GAP = 1.2
"""Between what is measured and its extension line [mm]."""
OVER = 1.4
"""By which extension lines run past the dimension line [mm]."""


def aligned(sheet: Sheet, a: XY, b: XY, away: float, text: str) -> None:
    """Between two points along their line, moved `away` to the left of a → b [mm]."""
    length = math.dist(a, b)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    left = (-along[1], along[0])
    _measured(sheet, a, b, _plus(a, left, away), _plus(b, left, away), text)


def horizontal(sheet: Sheet, a: XY, b: XY, y: float, text: str) -> None:
    """Between two points in x, at a height."""
    _measured(sheet, a, b, (a[0], y), (b[0], y), text)


def vertical(sheet: Sheet, a: XY, b: XY, x: float, text: str) -> None:
    """Between two points in y, beside them."""
    _measured(sheet, a, b, (x, a[1]), (x, b[1]), text)


def angle(sheet: Sheet, centre: XY, radius: float, start: float, end: float, text: str) -> None:
    """An arc anticlockwise between two directions [degrees], its text outside of the middle."""
    sheet.arc(centre, radius, start, end, "DIMENSION")
    for at, turn in ((start, 1), (end, -1)):
        tip = _polar(centre, radius, at)
        bent = at + turn * math.degrees(1.2 / radius)
        back = _polar(centre, radius, bent + turn * math.degrees(1.2 / radius))
        arrow(sheet, tip, (tip[0] - back[0], tip[1] - back[1]))
    middle = (start + end) / 2
    spot = _polar(centre, radius + 1.6 + text_width(text, SIZE) / 2, middle)
    backed(sheet, (spot[0], spot[1] - SIZE * 0.36), text)


def arrow(sheet: Sheet, tip: XY, along: XY) -> None:
    """A filled arrow head that points along a direction."""
    size = math.hypot(*along)
    u = (along[0] / size, along[1] / size)
    back = _plus(tip, u, -2.4)
    sheet.fill(
        [tip, _plus(back, (-u[1], u[0]), 0.42), _plus(back, (u[1], -u[0]), 0.42)], "DIMENSION"
    )


def backed(sheet: Sheet, at: XY, text: str, *, size: float = SIZE, turn: float = 0.0) -> None:
    """Text in the middle of a patch of blank paper."""
    half = text_width(text, size) / 2 + 0.5
    u = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    v = (-u[1], u[0])
    corners: Sequence[XY] = [
        _plus(_plus(at, u, x * half), v, y)
        for x, y in ((-1, -0.5), (1, -0.5), (1, size * 0.72 + 0.4), (-1, size * 0.72 + 0.4))
    ]
    sheet.fill(corners, "PAPER")
    sheet.text(at, text, size, align="centre", turn=turn)


def _measured(sheet: Sheet, a: XY, b: XY, p: XY, q: XY, text: str) -> None:
    for point, end in ((a, p), (b, q)):
        reach = math.dist(point, end)
        if reach > GAP:
            u = ((end[0] - point[0]) / reach, (end[1] - point[1]) / reach)
            sheet.line(_plus(point, u, GAP), _plus(end, u, OVER), "DIMENSION")
    length = math.dist(p, q)
    along = ((q[0] - p[0]) / length, (q[1] - p[1]) / length)
    turn = math.degrees(math.atan2(along[1], along[0]))
    if turn > 90.5 or turn <= -89.5:
        turn += 180.0
    turn = (turn + 180.0) % 360.0 - 180.0
    up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
    wide = text_width(text, SIZE)
    if length > 7.0:
        sheet.line(p, q, "DIMENSION")
        arrow(sheet, p, (-along[0], -along[1]))
        arrow(sheet, q, along)
    else:  # arrows from outside
        sheet.line(_plus(p, along, -5.0), _plus(q, along, 5.0), "DIMENSION")
        arrow(sheet, p, along)
        arrow(sheet, q, (-along[0], -along[1]))
    middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
    if length < wide + 2.0:
        forward = 1.0 if turn == math.degrees(math.atan2(along[1], along[0])) else -1.0
        middle = _plus(middle, along, forward * (length / 2 + 6.0 + wide / 2))
    at = _plus(middle, up, 0.9)
    backed(sheet, at, text, turn=turn)


def _plus(p: XY, u: XY, k: float) -> XY:
    return p[0] + k * u[0], p[1] + k * u[1]


def _polar(centre: XY, radius: float, degrees: float) -> XY:
    turn = math.radians(degrees)
    return centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)
