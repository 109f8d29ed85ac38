"""Numbers of marks on the drawing: a circle beside each feature, in the view that shows it best."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Any, Final

import numpy as np

from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark
from frame3d.fabrication.silhouette import View
from frame3d.geometry.arrays import Array
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP, XY, Sheet
from frame3d.parameters.models.junctions import Side

Flat = Callable[[Sequence[float]], XY]
SIZE: Final = 2.6
"""Size of the numbers [mm]."""
RADIUS: Final = 2.2
"""Least radius of a circle [mm]."""
AWAY: Final = (7.0, 9.0, 11.0, 14.0, 18.0, 23.0, 29.0)
"""Distances from a mark that are tried [mm]."""
FACING: Final = -0.35
"""A mark is shown in the first view toward which its direction points by more than this (a cosine)."""


def numbered(
    sheet: Sheet,
    marks: Sequence[Mark],
    views: Sequence[tuple[View, Flat]],
    on_dropouts: Sequence[DropoutMark] = (),
) -> None:
    """Draw the numbers of all marks, one circle for a row; of a pair's those on the right one.

    Args:
        sheet: with the views and dimension lines drawn.
        marks: the marks on tubes.
        views: each view, and the place on paper of its points; best first.
        on_dropouts: those on dropouts.
    """
    spots = [
        _Spot(m.number, (m.feature.name, m.tube.name), m.feature.side, m.spot.foot, m.spot.out)
        for m in marks
    ]
    spots += [
        _Spot(m.number, (m.kind + m.name * (m.block is None), m.dropout.name), m.dropout.side,
              m.at, m.out)
        for m in on_dropouts
    ]  # fmt: skip
    right = {one.number for one in spots if one.side == "right"}
    shown = [one for one in spots if one.side != "left" or one.number not in right]
    taken = points_of(sheet)
    for _, row in groupby(shown, key=lambda one: one.row):
        own = list(row)
        first = own[0]
        hidden = 1 if first.side == "left" and len(views) > 1 else 0  # by the right stay
        view, flat = next(
            (
                pair
                for pair in views[hidden:]
                if float(pair[0].flat(first.out[None])[0, 2]) > FACING
            ),
            views[hidden],
        )
        at = [flat(view.flat(one.at[None])[0, :2].tolist()) for one in own]
        numbers = [one.number for one in own]
        text = str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}"
        taken = np.vstack([taken, *_balloon(sheet, at, text, taken)])


@dataclass(frozen=True)
class _Spot:
    """A mark, as it is numbered on the drawing."""

    number: int
    row: tuple[str, str]
    """The same for all of a row."""
    side: Side | None
    at: Array
    """(3,) [mm]"""
    out: Array
    """Unit direction from which it is seen, (3,)."""


def _balloon(sheet: Sheet, at: Sequence[XY], text: str, taken: Array) -> list[Array]:
    """Draw a row's circle with a line to each of its marks; return points on what was drawn."""
    middle = (sum(p[0] for p in at) / len(at), sum(p[1] for p in at) / len(at))
    radius = max(RADIUS, text_width(text, SIZE, bold=True) / 2 + 0.9)
    centre = _free(middle, radius, taken)
    sheet.circle(centre, radius, "DIMENSION")
    base = (centre[0], centre[1] - SIZE * CAP / 2)
    sheet.text(base, text, SIZE, align="centre", bold=True)
    grid = np.linspace(-radius, radius, 9)
    drawn = [np.stack(np.meshgrid(centre[0] + grid, centre[1] + grid), axis=-1).reshape(-1, 2)]
    for p in at:
        length = math.dist(p, centre)
        share = radius / length
        start = (centre[0] + share * (p[0] - centre[0]), centre[1] + share * (p[1] - centre[1]))
        sheet.line(start, p, "DIMENSION")
        drawn.append(_between(start, p))
    return drawn


def _free(at: XY, radius: float, taken: Array) -> XY:
    """Return the nearest place for a circle with nothing in it; else the emptiest."""
    best, fewest = (at[0] + AWAY[0], at[1] + AWAY[0]), math.inf
    for away in AWAY:
        for turn in np.radians(np.arange(45.0, 405.0, 15.0)):
            spot = (at[0] + away * float(np.cos(turn)), at[1] + away * float(np.sin(turn)))
            inside = np.hypot(taken[:, 0] - spot[0], taken[:, 1] - spot[1]) < radius + 0.6
            count = int(inside.sum())
            if count == 0:
                return spot
            if count < fewest:
                best, fewest = spot, count
    return best


def points_of(sheet: Sheet) -> Array:
    """Return points on all lines and in all texts that are drawn on a sheet: (n, 2) [mm]."""
    found = [np.zeros((0, 2))]
    for entity in sheet.entities():
        found += _points(entity)
    return np.vstack(found)


def _points(entity: Any) -> list[Array]:
    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LINE":
        return [_between((dxf.start.x, dxf.start.y), (dxf.end.x, dxf.end.y))]
    if kind in ("CIRCLE", "ARC"):
        return [np.array([(p.x, p.y) for p in entity.flattening(0.02)])]
    if kind == "LWPOLYLINE":
        path = [(x, y) for x, y in entity.get_points("xy")]
        if entity.closed:
            path.append(path[0])
        return [_between(a, b) for a, b in pairwise(path)]
    if kind == "TEXT":
        _, p, _ = entity.get_placement()
        size = dxf.height / CAP
        wide = text_width(dxf.text, size, bold=dxf.style == "BOLD")
        turn = math.radians(dxf.rotation)
        along = np.array([math.cos(turn), math.sin(turn)])
        up = np.array([-along[1], along[0]])
        first = {1: -wide / 2, 2: -wide}.get(dxf.halign, 0.0)
        steps = first + np.arange(0.0, wide + 1.0, 1.0)
        return [(p.x, p.y) + steps[:, None] * along + h * up for h in (0.0, size * CAP)]
    return []


def _between(a: XY, b: XY) -> Array:
    count = int(math.dist(a, b)) + 2
    share = np.linspace(0.0, 1.0, count)[:, None]
    return np.asarray((1 - share) * np.array(a) + share * np.array(b))
