"""Where a plane meets the outside of a tube, as a line, an arc, or a polygon within 0.01 mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path, Vertex
from frame3d.tubes.cuts.mitre import Outside, level

CLOSE = 0.01
"""How far the edge of a plate may be from the tube's surface, between its vertices [mm]."""
HALVINGS = 50
SUNK = 2.5
"""How deep a plate's rough edge reaches into a tube that it stands on [mm]."""


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

    One line or one arc where that is near enough to all of them; else as few of them as are.
    """
    start, middle, end = (points[i] for i in (0, len(points) // 2, -1))
    if _off_line(points).max() <= CLOSE:
        return [(float(start[0]), float(start[1]), 0.0)]
    bulge = _bulge(start, middle, end)
    if abs(bulge) > 1e-9 and _off_arc(points, bulge).max() <= CLOSE:
        return [(float(start[0]), float(start[1]), bulge)]
    worst = int(np.argmax(_off_line(points)))
    worst = min(max(worst, 1), len(points) - 2)
    return [*_lines(points[: worst + 1]), *_lines(points[worst:])]


def _lines(points: Array) -> list[Vertex]:
    off = _off_line(points)
    if len(points) < 3 or off.max() <= CLOSE:
        return [(float(points[0, 0]), float(points[0, 1]), 0.0)]
    worst = int(np.argmax(off))
    return [*_lines(points[: worst + 1]), *_lines(points[worst:])]


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
