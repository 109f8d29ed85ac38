"""Volume that a small hole takes from a hollow body, by integration along lines through the hole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import cross, vector
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.tube import Bore, Tube

Depth = Callable[[Array], Array]
"""Function (n, 3) points -> (n,) how far inside a body they lie, negative outside [mm]."""
RINGS, SPOKES = 3, 8
"""Lines through a hole: rings, and lines on each."""
SLOT_COLUMNS, SLOT_ROWS = 12, 6
"""Lines through a slot: columns along its length at least, and lines in each."""
STEP = 0.5
"""Step along the lines [mm]; where they enter and leave is interpolated."""


def drilled(
    hole: Hole, body: Outside, bores: Sequence[Bore], cutters: Sequence[Depth]
) -> tuple[float, Array]:
    """Return volume [mm³] and first moment (3,) [mm⁴] of a body's metal within a hole.

    Args:
        hole: the drilling.
        body: its axis and section. A tube's metal reaches to its long points where those lie past the
            axis' ends; any other's ends with the axis.
        bores: wider parts of its inside.
        cutters: depth in each body that cuts its metal.
    """
    points, area = lines(hole)
    shape = points.shape[:2]
    flat = points.reshape(-1, 3)
    outside, inside = _wall(body, bores, flat)
    gone = np.max([inside, *(cutter(flat) for cutter in cutters)], axis=0)
    step = hole.axis.length / (shape[1] - 1)
    metal = _within(outside.reshape(shape)) - _within(np.minimum(outside, gone).reshape(shape))
    middle = (points[:, 1:] + points[:, :-1]) / 2
    taken = area[:, None] * step * metal
    return float(taken.sum()), np.asarray(np.einsum("ij,ijk->k", taken, middle))


def lines(hole: Hole, rings: int = RINGS, spokes: int = SPOKES) -> tuple[Array, Array]:
    """Return points along lines through a hole (lines, n, 3), and the area that each stands for.

    Args:
        hole: the hole; a slot has columns of lines instead of rings.
        rings: of lines through a drilling.
        spokes: lines on each.
    """
    across, area = _round_lines(hole, rings, spokes) if hole.is_round else _slot_lines(hole)
    n = max(2, int(np.ceil(hole.axis.length / STEP)) + 1)
    along = hole.axis.points(np.linspace(0.0, hole.axis.length, n))
    return across[:, None] + along[None], area


def _round_lines(hole: Hole, rings: int, spokes: int) -> tuple[Array, Array]:
    """Return where lines through a drilling lie beside its axis (lines, 3), and their areas."""
    up, across = hole.axis.frame(0.0)
    radius = hole.diameter / 2 * np.sqrt((np.arange(rings) + 0.5) / rings)
    turn = np.arange(spokes) * (2 * np.pi / spokes)
    r, t = (g.ravel() for g in np.meshgrid(radius, turn))
    aside = (r * np.cos(t))[:, None] * up + (r * np.sin(t))[:, None] * across
    return aside, np.full(len(aside), np.pi / 4 * hole.diameter**2 / len(aside))


def _slot_lines(hole: Hole) -> tuple[Array, Array]:
    """Return the same for a slot: columns across its length, each of its own height."""
    along = vector(hole.along)
    across = cross(hole.axis.tangent(0.0), along)
    radius, straight = hole.diameter / 2, hole.length / 2 - hole.diameter / 2
    count = max(SLOT_COLUMNS, int(np.ceil(hole.length / STEP)))
    edges = np.linspace(-hole.length / 2, hole.length / 2, count + 1)
    u = (edges[1:] + edges[:-1]) / 2
    high = np.sqrt(np.maximum(radius**2 - np.maximum(np.abs(u) - straight, 0.0) ** 2, 0.0))
    share = (np.arange(SLOT_ROWS) + 0.5) / SLOT_ROWS * 2 - 1
    aside = (u[:, None, None] * along + (high[:, None] * share)[:, :, None] * across).reshape(-1, 3)
    area = np.repeat(2 * high * (hole.length / count) / SLOT_ROWS, SLOT_ROWS)
    whole = np.pi * radius**2 + 2 * straight * hole.diameter
    return aside, area * whole / area.sum()


def _wall(body: Outside, bores: Sequence[Bore], points: Array) -> tuple[Array, Array]:
    """Return how far points lie inside a body's outside, and inside its bore: two (n,) [mm]."""
    axis, section = body.axis, body.section
    s, _ = axis.approach(points)
    centre, up, across = axis.frames(s)
    d = points - centre
    u, v = np.sum(d * up, axis=1), np.sum(d * across, axis=1)
    side = -section.level(u, v, s)
    low, high = _metal(body)
    outside = np.minimum(side, np.minimum(s - low, high - s))
    inside = np.full(len(points), -np.inf)
    if not section.is_solid:
        inside = -section.level(u, v, s, 1.0)
    for bore in bores:
        within = s <= bore.depth if bore.at == "start" else s >= axis.length - bore.depth
        inside = np.where(within, np.maximum(inside, bore.diameter / 2 - np.hypot(u, v)), inside)
    return outside, inside


def _metal(body: Outside) -> tuple[float, float]:
    """Return least and most s of a body's metal [mm]."""
    low, high = 0.0, body.axis.length
    if isinstance(body, Tube):
        low, high = min(low, body.start.long_point), max(high, high - body.end.long_point)
    return low, high


def _within(field: Array) -> Array:
    """Return the fraction of each step in which a field is positive: (m, n) -> (m, n - 1)."""
    f, g = field[:, :-1], field[:, 1:]
    most = np.maximum(f, 0.0) + np.maximum(g, 0.0)
    size = np.maximum(np.abs(f) + np.abs(g), 1e-300)
    return np.asarray(np.where(np.isfinite(size), most / size, 0.0))
