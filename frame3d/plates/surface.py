"""Where a plane meets the outside of a tube, as a line, an arc, or a polygon within 0.01 mm."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path, Vertex
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.straight_lines import Outside

CLOSE = 0.01
"""How far the edge of a plate may be from the tube's surface, between its vertices [mm]."""
HALVINGS = 50
SUNK = 2.5
"""How deep a plate's rough edge reaches into a tube that it stands on [mm]."""

FURTHER = 1.3
"""How many times as far an arc has to go as a line, to be taken."""


@dataclass(frozen=True, slots=True)
class Edges:
    """A plate's edge at one height above its plane, anticlockwise, in two ways."""

    fitted: Path
    """Up to the tubes' surfaces there."""
    rough: Path
    """The same, but `SUNK` into the tubes."""


def heights(body: Outside, starts: Array, way: Array) -> Array | None:
    """Return how far along a direction points inside a body are from its surface: (n,) [mm].

    Args:
        body: a tube or shell, which is taken to continue past its ends.
        starts: (n, 3), inside [mm].
        way: (3,) unit direction, or one for each, (n, 3).

    Returns:
        None where a point is not inside.
    """
    if float(level(body, starts)[0].max()) >= 0:
        return None
    low = np.zeros(len(starts))
    high = np.full(len(starts), 2.0 * max(*body.section.height, *body.section.width))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        outside = level(body, starts + middle[:, None] * way)[0] > 0
        high = np.where(outside, middle, high)
        low = np.where(outside, low, middle)
    return low


def fitted(points: Array) -> list[Vertex]:
    """Return points (n, 2) of a smooth curve as vertices, the last one left out.

    From the start on, each line or arc goes as far as it is near enough to all points under it; an arc
    has to go well further than a line to be taken.
    """
    found: list[Vertex] = []
    i, last = 0, len(points) - 1
    while i < last:
        line = _furthest(points, i, _is_line)
        arc = _furthest(points, i, _is_arc)
        take_arc = arc - i > FURTHER * (line - i)
        end = arc if take_arc else line
        bulge = _bulge(points[i], points[(i + end) // 2], points[end]) if take_arc else 0.0
        found.append((float(points[i, 0]), float(points[i, 1]), bulge))
        i = end
    return found


def _furthest(points: Array, start: int, fits: Callable[[Array], bool]) -> int:
    """Return the last point up to which a stretch of the curve fits, at least the next one."""
    low, high = start + 1, len(points) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if fits(points[start : middle + 1]):
            low = middle
        else:
            high = middle - 1
    return low


def _is_line(points: Array) -> bool:
    return bool(_off_line(points).max() <= CLOSE)


def _is_arc(points: Array) -> bool:
    bulge = _bulge(points[0], points[(len(points) - 1) // 2], points[-1])
    return abs(bulge) > 1e-9 and bool(_off_arc(points, bulge).max() <= CLOSE)


def _off_line(points: Array) -> Array:
    """Return the distance of points from the line through the first and the last: (n,)."""
    chord = points[-1] - points[0]
    length = float(np.hypot(*chord))
    off = points - points[0]
    return np.asarray(np.abs(off[:, 0] * chord[1] - off[:, 1] * chord[0]) / max(length, 1e-12))


def _bulge(start: Array, middle: Array, end: Array) -> float:
    """Return the bulge of the arc through three points."""
    a, b = middle - start, end - middle
    turn = math.atan2(float(a[0] * b[1] - a[1] * b[0]), float(a @ b))
    # The chords to a point of an arc turn by half the arc's angle, wherever on it the point is.
    return math.tan(turn / 2)


def _off_arc(points: Array, bulge: float) -> Array:
    """Return the distance of points from the circle of an arc from the first to the last: (n,)."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    share = (1 - bulge**2) / (4 * bulge)
    centre = np.array([(x0 + x1) / 2 - (y1 - y0) * share, (y0 + y1) / 2 + (x1 - x0) * share])
    radius = float(np.hypot(*(points[0] - centre)))
    return np.asarray(np.abs(np.hypot(*(points - centre).T) - radius))
