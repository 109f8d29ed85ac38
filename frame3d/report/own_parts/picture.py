"""A side view of the bike, pale, with one part of it in colour."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup
from frame3d.report.outline import Loops
from frame3d.report.own_parts.own_part import Lit
from frame3d.report.side import Side

SHAPE: Final = 4 / 3
"""Width of a picture over its height."""
ROOM: Final = 1.24
"""Width or height of a picture over that of the part in it."""
LEAST: Final = 380.0
"""Least width of a picture, so that a small part is seen with what is around it [mm]."""
FINE: Final = 0.15
"""By how much a silhouette may be off, so that it takes few points [mm]."""
PIXELS: Final = 400
"""About how wide pictures are on a screen."""
DOT: Final = 5.0
"""Radius of dots [mm]."""


def picture(side: Side, lit: Lit, label: str) -> Markup:
    """Return the picture as an SVG element. Needs `bike_symbol` on the same page.

    Args:
        side: the bike's side view.
        lit: what is shown in colour.
        label: what the picture is called where it is not seen.
    """
    areas = [silhouette(area) for area in lit.areas]
    reached = [np.asarray(loop) for area in areas for loop in area]
    reached += [np.array(line) for line in lit.lines]
    if lit.dots:
        reached.append(np.array(lit.dots))
    low, high = _window(np.concatenate(reached))
    sheet = SvgDrawing(DOT / 0.18)
    sheet.use(BIKE, (high[0] - low[0]) / PIXELS)
    for i, loops in enumerate(areas):
        sheet.path(loops, "lit" if i == 0 else "lit second", closed=True)
    for line in lit.lines:
        sheet.path([line], "lit-line", closed=False)
    for dot in lit.dots:
        sheet.dot(dot)
    return sheet.svg(low, high, label, "sheet own-view")


def silhouette(solids: Iterable[Loops]) -> list[Array]:
    """Return the outline of solids together, holes as further loops: (n, 2) float each [mm]."""
    from manifold3d import CrossSection, FillRule, OpType

    pieces = [
        CrossSection([np.ascontiguousarray(loop) for loop in solid], FillRule.EvenOdd)
        for solid in solids
    ]
    whole = CrossSection.batch_boolean(pieces, OpType.Add).simplify(FINE)
    return [np.asarray(loop, dtype=np.float64) for loop in whole.to_polygons()]


def _window(points: Array) -> tuple[XZ, XZ]:
    """Return lower rear and upper front corner of a picture of points (n, 2)."""
    low, high = points.min(axis=0), points.max(axis=0)
    middle, size = (low + high) / 2, high - low
    width = max(ROOM * float(size[0]), ROOM * SHAPE * float(size[1]), LEAST)
    half = np.array([width, width / SHAPE]) / 2
    (x0, z0), (x1, z1) = (middle - half).tolist(), (middle + half).tolist()
    return (x0, z0), (x1, z1)
