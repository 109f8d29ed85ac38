"""Crosses and numbers on a marking template, each number where nothing is drawn through it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import CAP, Sheet

if TYPE_CHECKING:
    from frame3d.fabrication.template import Panel

ARM: Final = 4.0
"""From the middle of a cross to its ends [mm]."""
SIZE: Final = 3.4
"""Size of the numbers [mm]."""
AWAY: Final = (2.0, 4.0, 6.0, 9.0, 13.0)
"""Distances between a cross and its number that are tried [mm]."""
NAMES: Final = (4.2, 13.0)
"""Room beside a line for its name: across and along it [mm]."""


def crosses_on(
    sheet: Sheet, panel: Panel, at: tuple[float, float], shown: tuple[float, float]
) -> None:
    """Draw a panel's crosses and numbers.

    Args:
        sheet: to draw on.
        panel: the panel.
        at: (x, y) of its middle line and of s = 0 [mm].
        shown: range of the panel's y that the page shows [mm].
    """
    x0, y0 = at
    seen = [one for one in panel.crosses if shown[0] <= one[2] <= shown[1]]
    taken = [_dense(path) for path in (*panel.outer, *panel.covered)]
    for _, x, y in seen:
        for dx, dy in ((ARM, 0.0), (0.0, ARM)):
            sheet.line((x0 + x - dx, y0 + y - dy), (x0 + x + dx, y0 + y + dy), "DIMENSION")
            taken.append(_dense(np.array([(x - dx, y - dy), (x + dx, y + dy)])))
    if seen:
        taken += _lettered(panel)
    points = np.vstack([*taken, np.zeros((0, 2))])
    half = panel.width / 2
    for number, x, y in seen:
        wide, high = text_width(number, SIZE, bold=True), SIZE * CAP
        for left, low in _spots(wide, high):
            a, b = (x + left - 0.5, x + left + wide + 0.5), (y + low - 0.5, y + low + high + 0.5)
            inside = (points > (a[0], b[0])) & (points < (a[1], b[1]))
            free = not inside.all(axis=1).any() and -half < a[0] and a[1] < half
            if free and shown[0] < b[0] and b[1] < shown[1]:
                break
        else:
            left, low = ARM + 1.0, 1.0
        sheet.text((x0 + x + left, y0 + y + low), number, SIZE, bold=True)
        box = np.array([(x + left, y + low), (x + left + wide, y + low + high)])
        points = np.vstack([points, _dense(box), _dense(box * (1, 0) + (0, y + low + high / 2))])


def _spots(wide: float, high: float) -> list[tuple[float, float]]:
    """Return lower left corners of a number beside a cross, nearest first."""
    found = []
    for away in AWAY:
        right, left = away, -away - wide
        above, below = away, -away - high
        found += [(right, above), (left, above), (right, below), (left, below)]
        found += [(away + ARM, -high / 2), (-away - ARM - wide, -high / 2)]
        found += [(-wide / 2, away + ARM), (-wide / 2, -away - ARM - high)]
    return found


def _dense(path: Array) -> Array:
    """Return points along a path, no more than half a millimetre apart: (n, 2) -> (m, 2)."""
    found = [path[:1]]
    for a, b in pairwise(path):
        count = int(np.ceil(np.linalg.norm(b - a) / 0.5)) + 1
        found.append(a + np.linspace(0.0, 1.0, count)[:, None] * (b - a))
    return np.vstack(found)


def _lettered(panel: Panel) -> list[Array]:
    """Return points where names of lines and the arrow are drawn."""
    wide, long = NAMES
    found = []
    for turn in (-180.0, -90.0, 0.0, 45.0, 90.0, 180.0):
        x, y = panel.flat.at(np.array([turn]), np.array([panel.high]))[0]
        grid = np.meshgrid(np.arange(-wide, wide, 0.5), np.arange(-long, 0.5, 0.5))
        found.append(np.column_stack([x + grid[0].ravel(), y + grid[1].ravel()]))
    return found
