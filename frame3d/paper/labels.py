"""Labels with leaders, each where the sheet is free."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.paper.dimension import SIZE, arrow, drawn
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP, XY, Sheet

Way = tuple[XY, XY]
"""Where a leader starts, and the direction in which it leaves."""
FAR = (4.0, 7.0, 10.0, 14.0, 19.0, 25.0)
"""Lengths of leaders that are tried, best first [mm]."""
STEP = 0.6
"""Distance of the points that stand for a text [mm]."""


def label(
    sheet: Sheet, ways: Iterable[Way], text: str, box: tuple[float, float, float, float]
) -> None:
    """Draw a text at the end of a leader with an arrow, where neither meets what is drawn.

    The shortest leader that is free is taken, of these the first; where none is, the one that meets
    least.

    Args:
        sheet: with everything else on it.
        ways: where the leader may start and leave.
        text: one line.
        box: least x, least y, largest x, largest y that the text must keep to [mm].
    """
    wide, high = text_width(text, SIZE), SIZE * CAP
    best: tuple[float, XY, XY, XY] | None = None
    every = list(ways)
    taken = _near(np.vstack([drawn(sheet), *_texts(sheet)]), every, FAR[-1] + wide + 2.0)
    for far in FAR:
        for start, u in every:
            tip = (start[0] + far * u[0], start[1] + far * u[1])
            right = u[0] > -0.2
            left = tip[0] + 0.8 if right else tip[0] - 0.8 - wide
            low = tip[1] - high / 2
            if left < box[0] or left + wide > box[2] or low < box[1] or low + high > box[3]:
                continue
            met = _inside(taken, left - 0.6, low - 0.6, left + wide + 0.6, low + high + 0.6)
            cost = 10.0 * met + _beside(taken, start, u, far)
            if best is None or cost < best[0]:
                best = (cost, start, tip, (left, low))
        if best is not None and best[0] == 0.0:
            break
    if best is None:
        return
    _, start, tip, at = best
    sheet.line(start, tip, "DIMENSION")
    arrow(sheet, start, (start[0] - tip[0], start[1] - tip[1]))
    sheet.text(at, text, SIZE)


def around(centre: XY, radius: float, n: int = 24) -> list[Way]:
    """Return ways outward from a circle: at 45 degrees first, then all around."""
    turns = [45.0, 135.0, 315.0, 225.0, *(360.0 / n * i for i in range(n))]
    ways = []
    for turn in turns:
        u = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
        ways.append(((centre[0] + radius * u[0], centre[1] + radius * u[1]), u))
    return ways


def _near(points: Array, ways: Sequence[Way], far: float) -> Array:
    """Return the points that are no further than this from where a leader may start [mm]."""
    starts = np.array([start for start, _ in ways])
    low, high = starts.min(axis=0) - far, starts.max(axis=0) + far
    return np.asarray(points[((points > low) & (points < high)).all(axis=1)])


def _beside(points: Array, start: XY, u: XY, far: float) -> int:
    """Return how many points lie within 0.5 mm of a leader, but for its first 0.8 mm."""
    x, y = (points - np.array(start)).T
    along, off = x * u[0] + y * u[1], x * u[1] - y * u[0]
    return int(((along > 0.8) & (along < far) & (abs(off) < 0.5)).sum())


def _texts(sheet: Sheet) -> list[Array]:
    """Return points all over each text, (n, 2) [mm]."""
    found = []
    for entity in sheet.entities():
        if entity.dxftype() != "TEXT":
            continue
        size = entity.dxf.height / CAP
        wide = text_width(entity.dxf.text, size, bold=entity.dxf.style == "BOLD")
        align, p, _ = entity.get_placement()
        left = {"LEFT": 0.0, "CENTER": -wide / 2, "RIGHT": -wide}[align.name]
        across = np.linspace(left, left + wide, int(wide / STEP) + 2)
        up = np.linspace(-0.15 * size, CAP * size, int(size / STEP) + 2)
        grid = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
        turn = math.radians(entity.dxf.rotation)
        c, s = math.cos(turn), math.sin(turn)
        found.append(grid @ np.array([[c, s], [-s, c]]) + np.array([p.x, p.y]))
    return found


def _inside(points: Array, x0: float, y0: float, x1: float, y1: float) -> int:
    """Return how many points lie in a box."""
    x, y = points[:, 0], points[:, 1]
    return int(((x > x0) & (x < x1) & (y > y0) & (y < y1)).sum())
