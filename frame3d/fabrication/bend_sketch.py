"""Small sketches of bent tubes, with the numbers of their bends, for the bend table.

::

                 (1) 14.8°, R 120
                  .---------------.            in the plane in which the tube is widest
      start  ----'                 '---- (2)   below it, if it leaves that plane, square to it
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import vector
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import XY, Sheet
from frame3d.tubes.tube import Tube

HEIGHT: Final = 54.0
"""Height of a sketch with its title [mm]."""
SCALES: Final = (2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20)
BESIDE: Final = 13.0
"""Room to the left of a tube, for the word start [mm]."""
FLAT: Final = 2.0
"""How far a tube may leave its plane before it is shown from the other side too [mm]."""
BALLOON: Final = 2.1
"""Radius of the circle around a bend's number [mm]."""
LIFT: Final = 3.4
"""From a tube's side to the middle of a number [mm]."""
CLEAR: Final = 11.5
"""Room for numbers above and below a view [mm]."""


def bent_tubes(tubes: Sequence[Tube]) -> list[Tube]:
    """Return the tubes to sketch: every bent one, of a pair the left alone."""
    left = {tube.key for tube in tubes if tube.side == "left"}
    return [
        tube
        for tube in tubes
        if any(isinstance(piece, Arc) for piece in tube.axis.pieces)
        and not (tube.side == "right" and tube.key in left)
    ]


def sketch(sheet: Sheet, tube: Tube, left: float, top: float, width: float) -> None:
    """Draw a bent tube into a field of `HEIGHT` below `top` [mm]."""
    s = np.linspace(0.0, tube.axis.length, 241)
    points = tube.axis.points(s)
    middle = points.mean(axis=0)
    directions = np.linalg.svd(points - middle, full_matrices=False)[2]
    along = directions[0] * (1.0 if (points[-1] - points[0]) @ directions[0] > 0 else -1.0)
    up = directions[1] * (1.0 if directions[1][2] + 0.5 * directions[1][1] > 0 else -1.0)
    views = [np.column_stack([along, up])]
    across = np.cross(along, up)
    if np.ptp((points - middle) @ across) > FLAT:
        views.append(np.column_stack([along, across]))
    flat = [(points - middle) @ view for view in views]
    half = np.maximum(*tube.section.radii_at(s))
    room = HEIGHT - 9.0 - CLEAR * len(views)
    high = sum(float(np.ptp(q[:, 1])) + 2 * float(half.max()) for q in flat)
    wide = float(np.ptp(flat[0][:, 0]))
    scale = next(
        (k for k in SCALES if wide / k < width - BESIDE - 5.0 and high / k < room), SCALES[-1]
    )
    name = plain(tube.name)
    if tube.side == "left":
        name = f"{plain(tube.key)}, left; the right one is its mirror image"
    sheet.text((left, top - 4.0), f"{name}, 1:{scale:g}", 2.9, bold=True)
    y = top - 7.0
    for view, q in zip(views, flat, strict=True):
        y -= CLEAR / 2
        own = (float(np.ptp(q[:, 1])) + 2 * float(half.max())) / scale
        origin = np.array([
            left + BESIDE - float(q[:, 0].min()) / scale,
            y - float(half.max() + q[:, 1].max()) / scale,
        ])  # fmt: skip
        _view(sheet, q / scale + origin, half / scale)
        _numbers(sheet, tube, view, (middle, origin, scale))
        y -= own + CLEAR / 2


def _view(sheet: Sheet, line: Array, half: Array) -> None:
    """Draw a tube about its axis, (n, 2) and (n,) on paper [mm]."""
    direction = np.gradient(line, axis=0)
    direction /= np.linalg.norm(direction, axis=1)[:, None]
    normal = np.column_stack([-direction[:, 1], direction[:, 0]])
    sides = [line + sign * half[:, None] * normal for sign in (1.0, -1.0)]
    for side in sides:
        sheet.path(side, "OUTLINE")
    for at in (0, -1):
        sheet.line(_xy(sides[0][at]), _xy(sides[1][at]), "OUTLINE")
    sheet.path(line, "CENTRE")
    start = line[0] - direction[0] * 1.6
    wide = text_width("start", 2.4)
    sheet.text((float(start[0]) - wide, float(start[1]) - 0.8), "start", 2.4)


def _numbers(sheet: Sheet, tube: Tube, view: Array, place: tuple[Array, Array, float]) -> None:
    """Draw ticks at each bend's begin and end, and its number outside of it."""
    middle, origin, scale = place
    number = 0
    for at, piece in zip(tube.axis.starts, tube.axis.pieces, strict=False):
        if not isinstance(piece, Arc):
            continue
        number += 1
        s = np.array([float(at), float(at) + piece.length / 2, float(at) + piece.length])
        points = (tube.axis.points(s) - middle) @ view / scale + origin
        half = np.maximum(*tube.section.radii_at(s)) / scale
        tangent = (np.array([tube.axis.tangent(min(x, tube.axis.length - 1e-6)) for x in s])) @ view
        tangent /= np.maximum(np.linalg.norm(tangent, axis=1), 1e-9)[:, None]
        normal = np.column_stack([-tangent[:, 1], tangent[:, 0]])
        for i in (0, 2):
            reach = (half[i] + 1.2) * normal[i]
            sheet.line(_xy(points[i] - reach), _xy(points[i] + reach), "STRIP")
        centre = (vector(piece.centre) - middle) @ view / scale + origin
        outward = -1.0 if (centre - points[1]) @ normal[1] > 0 else 1.0
        spot = points[1] + outward * (half[1] + LIFT) * normal[1]
        sheet.circle(_xy(spot), BALLOON, "DIMENSION")
        sheet.text((float(spot[0]), float(spot[1]) - 0.85), str(number), 2.4, align="centre",
                   bold=True)  # fmt: skip


def _xy(p: Array) -> XY:
    return float(p[0]), float(p[1])
