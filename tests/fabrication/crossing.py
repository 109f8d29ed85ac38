"""Which texts of a sheet lines or other texts run through."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from shapely.geometry import LineString, Point, Polygon

from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP


def crossed(entities: Iterable[Any], *, through: tuple[str, ...]) -> list[tuple[str, str]]:
    """Pairs of a text and the layer, or the other text, that crosses it.

    A text's box is that of its capitals, 0.15 mm smaller all around. Lines in pieces (centre lines,
    diagonals) may pass under a text, on a patch of blank paper.
    """
    every = list(entities)
    boxes = [(e.dxf.text, _box(e)) for e in every if e.dxftype() == "TEXT"]
    lines = [(e.dxf.layer, _line(e)) for e in every
             if e.dxf.layer not in through and e.dxftype() not in ("TEXT", "SOLID")]  # fmt: skip
    found = [(text, layer) for text, box in boxes for layer, line in lines if line.intersects(box)]
    for i, (text, box) in enumerate(boxes):
        found += [(text, other) for other, against in boxes[:i] if box.intersects(against)]
    return found


def _box(entity: Any) -> Polygon:
    size = entity.dxf.height / CAP
    wide = text_width(entity.dxf.text, size, bold=entity.dxf.style == "BOLD")
    align, p, _ = entity.get_placement()
    left = {"LEFT": 0.0, "CENTER": -wide / 2, "RIGHT": -wide}[align.name] + 0.15
    right, top = left + wide - 0.3, 0.718 * size - 0.15
    turn = math.radians(entity.dxf.rotation)
    cos, sin = math.cos(turn), math.sin(turn)
    corners = ((left, 0.15), (right, 0.15), (right, top), (left, top))
    return Polygon([(p.x + cos * a - sin * b, p.y + sin * a + cos * b) for a, b in corners])


def _line(entity: Any) -> Any:
    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LINE":
        return LineString([(dxf.start.x, dxf.start.y), (dxf.end.x, dxf.end.y)])
    if kind == "CIRCLE":
        return Point(dxf.center.x, dxf.center.y).buffer(dxf.radius).exterior
    if kind == "ARC":
        return LineString([(p.x, p.y) for p in entity.flattening(0.05)])
    points = list(entity.get_points("xy"))
    return LineString([*points, points[0]] if entity.closed else points)
