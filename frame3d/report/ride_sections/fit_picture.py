"""The contact points of this very bike, with the distances between them."""

from __future__ import annotations

from typing import Final

from frame3d.report.data import ReportData
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup
from frame3d.report.texts import Texts
from frame3d.ride.fit.contact import Contact

SIZE: Final = 46.0
"""Height of figures on the drawing [mm]."""
_LEVEL: Final = (1.0, 0.0)
_UPRIGHT: Final = (0.0, 1.0)
_FITS: Final = 3.2
"""Shortest dimension that its text fits into, over the text's height."""


def fit_picture(data: ReportData, drawn: Contact, texts: Texts) -> Markup:
    """Return bottom bracket, saddle and grips with their distances. Needs `bike_symbol` on the page."""
    side, sheet = data.side, SvgDrawing(SIZE)
    sheet.use(BIKE, 3.0)
    (x0, z0), (x1, z1) = side.corners
    sheet.line((x0, side.ground), (x1, side.ground), "ground")
    saddle, grips = _saddle(drawn), _grips(drawn)
    points = [p for p in ((0.0, 0.0), saddle, grips) if p is not None]
    sheet.path([points], "triangle", closed=len(points) == len(((0.0, 0.0), saddle, grips)))
    line = max(z for _, z in points) + 2.6 * SIZE
    if grips is not None:
        _from_bottom_bracket(sheet, grips, line, texts)
    if saddle is not None:
        _saddle_from_bottom_bracket(sheet, drawn, saddle, line, texts)
    if saddle is not None and grips is not None:
        _between(sheet, saddle, grips, line + 2.4 * SIZE, texts)
    for point in points:
        sheet.dot(point, 0.3)
    margin = 1.6 * SIZE
    xs, zs = zip(*sheet.reached, strict=True)
    return sheet.svg(
        (min(x0, *xs) - margin, z0 - margin),
        (max(x1, *xs) + margin, max(z1, *zs) + margin),
        texts("fit.label"),
        "sheet fit-view",
    )


def _saddle(drawn: Contact) -> XZ | None:
    if drawn.saddle_setback is None or drawn.saddle_stack is None:
        return None
    return (-drawn.saddle_setback, drawn.saddle_stack)


def _grips(drawn: Contact) -> XZ | None:
    if drawn.grip_reach is None or drawn.grip_stack is None:
        return None
    return (drawn.grip_reach, drawn.grip_stack)


def _from_bottom_bracket(sheet: SvgDrawing, grips: XZ, line: float, texts: Texts) -> None:
    x, z = grips
    sheet.line((0.0, 0.0), (0.0, line), "axis")
    sheet.length((0.0, z), grips, _mm(x, texts), _LEVEL, line - z)
    away = x + 4.0 * SIZE
    sheet.length((0.0, 0.0), (0.0, z), _mm(z, texts), _UPRIGHT, -away)
    sheet.line(grips, (away, z), "ext")


def _saddle_from_bottom_bracket(
    sheet: SvgDrawing, drawn: Contact, saddle: XZ, line: float, texts: Texts
) -> None:
    x, z = saddle
    sheet.line((0.0, 0.0), (0.0, line), "axis")
    sheet.length(saddle, (0.0, z), _mm(-x, texts), _LEVEL, line - z, beside=_beside(x))
    assert drawn.saddle_height is not None
    sheet.length((0.0, 0.0), saddle, _mm(drawn.saddle_height, texts), saddle, 4.2 * SIZE)


def _between(sheet: SvgDrawing, saddle: XZ, grips: XZ, line: float, texts: Texts) -> None:
    level, up = grips[0] - saddle[0], grips[1] - saddle[1]
    sheet.length(saddle, (grips[0], saddle[1]), _mm(level, texts), _LEVEL, line - saddle[1])
    x = grips[0] - 3.2 * SIZE
    sheet.line(saddle, (x, saddle[1]), "axis")
    sheet.line((x, grips[1]), grips, "ext")
    # From the higher to the lower, so that a text which does not fit between stands below both.
    high, low = max(saddle[1], grips[1]), min(saddle[1], grips[1])
    shown = f"{texts.number(up, 0, sign=True)} {texts.unit('mm')}"
    sheet.length((x, high), (x, low), shown, _UPRIGHT, 0.0, beside=_beside(up))


def _beside(span: float) -> float:
    """Return how far beyond its span a text is placed that does not fit in; 0 where it fits."""
    return 0.0 if abs(span) > _FITS * SIZE else 2.4 * SIZE


def _mm(value: float, texts: Texts) -> str:
    return texts.quantity(value, "mm", 0)
