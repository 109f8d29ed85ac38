"""Surfaces for looks: turned, lofted, cut from plate, rods and bars; each closed, normals outward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from frame3d.bodies.shapes import Box, box
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import cross
from frame3d.looks.surfaces import (
    NO_EDGES,
    SHARP,
    Surface,
    joined,
    quads,
    shape_surface,
    turned,
    unit_rows,
)

Profile = Sequence[tuple[float, float]]
FINE: Final = np.cos(np.radians(SHARP))


def revolved(profile: Profile, facets: int, *, lines: bool = True) -> Surface:
    """Return a profile of (radius, y) turned about y: smooth where it bends a little, sharp elsewhere.

    Args:
        profile: anticlockwise (up on the outside); from axis to axis, or closed where it starts off it.
        facets: around.
        lines: whether its sharp circles are drawn as lines.
    """
    corners = np.asarray(profile, dtype=np.float64)
    is_closed = corners[0, 0] > 0
    after = np.roll(corners, -1, axis=0) if is_closed else corners[1:]
    steps = after - corners[: len(after)]
    out = unit_rows(np.stack([steps[:, 1], -steps[:, 0]], axis=1))
    before = np.roll(out, 1, axis=0)
    sharp = np.einsum("ij,ij->i", out, before) < FINE
    if not is_closed:
        sharp[0] = True
    starts = np.flatnonzero(sharp)
    if len(starts) == 0:
        smooth = unit_rows(out + before)
        return turned(_and_first(corners), _and_first(smooth), facets)
    pieces = []
    for start, end in zip(starts, [*starts[1:], starts[0] + len(out)], strict=True):
        run = np.arange(start, end) % len(out)
        points = np.vstack([corners[run], after[run[-1:]]])
        normals = np.vstack([out[run[:1]], unit_rows(out[run[1:]] + out[run[:-1]]), out[run[-1:]]])
        surface = turned(points, normals, facets)
        if lines and points[0, 0] > 0:
            i = np.arange(facets)
            surface = replace(surface, edges=np.stack([i, (i + 1) % facets], axis=1))
        pieces.append(surface)
    return joined(pieces)


def lofted(rings: Array, *, lines: bool = False) -> Surface:
    """Return rings of points (n, m, 3) joined one to the next, closed by flat ends.

    Args:
        rings: all run the same way round; the first and last are seen whole from their middles.
        lines: whether the rims of its ends are drawn as lines.
    """
    count, around = rings.shape[:2]
    along = np.gradient(rings, axis=0)
    side = np.roll(rings, -1, axis=1) - np.roll(rings, 1, axis=1)
    normals = unit_rows(cross(side.reshape(-1, 3), along.reshape(-1, 3)))
    i = np.arange(around)
    points, normal, corners = [rings.reshape(-1, 3)], [normals], [quads(count, around)]
    for ring, way in ((rings[0], -1.0), (rings[-1], 1.0)):
        start = sum(len(p) for p in points)
        area = cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
        points += [ring, ring.mean(axis=0, keepdims=True)]
        normal.append(np.broadcast_to(way * unit_rows(area[None]), (around + 1, 3)))
        about = np.stack([i, (i + 1) % around, np.full(around, around)], axis=1)
        corners.append(start + (about if way > 0 else about[:, ::-1]))
    rim = np.stack([i, (i + 1) % around], axis=1)
    edges = np.vstack([rim, rim + (count - 1) * around]) if lines else NO_EDGES
    return _outward(
        Surface(np.concatenate(points), np.concatenate(normal), np.concatenate(corners), edges)
    )


def plate(
    outer: Array, low: float, high: float, inner: Array | None = None, *, lines: bool = True
) -> Surface:
    """Return a flat plate between two y, of an outline of (x, z) points, with sharp edges.

    Args:
        outer: (m, 2), seen whole from its middle where there is no hole.
        low: y of one face [mm].
        high: y of the other [mm].
        inner: outline of its hole, with as many points.
        lines: whether its edges are drawn as lines.
    """
    after = np.roll(outer, -1, axis=0)
    if float((outer[:, 0] * after[:, 1] - outer[:, 1] * after[:, 0]).sum()) < 0:
        outer, inner = outer[::-1], None if inner is None else inner[::-1]
    count = len(outer)
    within = np.broadcast_to(outer.mean(axis=0), outer.shape) if inner is None else inner
    points: list[Array] = []
    normals: list[Array] = []
    corners = []
    ring = quads(2, count)
    for y, way in ((low, -1.0), (high, 1.0)):
        corners.append(sum(map(len, points)) + (ring[:, ::-1] if way > 0 else ring))
        points += [_raised(within, y), _raised(outer, y)]
        normals.append(np.tile([0.0, way, 0.0], (2 * count, 1)))
    i = np.arange(count)
    for outline, way in ((outer, 1.0), *(() if inner is None else ((inner, -1.0),))):
        start = sum(map(len, points))
        step = np.roll(outline, -1, axis=0) - outline
        out = way * unit_rows(np.stack([step[:, 1], 0 * step[:, 0], -step[:, 0]], axis=1))
        low_edge, high_edge = _raised(outline, low), _raised(outline, high)
        # Each side has its own four points, so that its edges are sharp.
        points += [
            low_edge, np.roll(low_edge, -1, axis=0), high_edge, np.roll(high_edge, -1, axis=0)
        ]  # fmt: skip
        normals.append(np.tile(out, (4, 1)))
        a, b, c, d = (start + k * count + i for k in range(4))
        sides = np.concatenate([np.stack([a, c, d], axis=1), np.stack([a, d, b], axis=1)])
        corners.append(sides[:, ::-1] if way > 0 else sides)
    rim = np.stack([i, (i + 1) % count], axis=1)
    edges = np.vstack([rim + count, rim + 3 * count]) if lines else NO_EDGES
    return _outward(
        Surface(np.concatenate(points), np.concatenate(normals), np.concatenate(corners), edges)
    )


def rod(
    a: Sequence[float] | Array,
    b: Sequence[float] | Array,
    radius: float,
    end: float | None = None,
    facets: int = 12,
    *,
    lines: bool = False,
) -> Surface:
    """Return a round bar from a to b, tapering where `end` is given."""
    return bent(np.array([a, b]), np.array([radius, radius if end is None else end]), facets, lines)


def bent(points: Array, radii: Array | float, facets: int, lines: bool = False) -> Surface:
    """Return a round bar along points (n, 3), of a radius at each."""
    return lofted(_rings(points, np.broadcast_to(radii, len(points)), facets), lines=lines)


def ovals(
    centres: Array, wide: Array, high: Array, facets: int, square: float = 2.0, flat: float = 0.0
) -> Array:
    """Return rings across x about centres (n, 3): (n, facets, 3).

    Args:
        centres: of each.
        wide: half widths, along y.
        high: half heights, along z.
        facets: around.
        square: exponent; 2 for ellipses, more for fuller corners.
        flat: how far the underside is flattened, as a share of the half height.
    """
    turn = 2 * np.pi * np.arange(facets) / facets
    c, s = np.cos(turn), np.sin(turn)
    y = np.sign(c) * np.abs(c) ** (2 / square)
    z = np.maximum(np.sign(s) * np.abs(s) ** (2 / square), flat - 1.0)
    rings = np.repeat(centres[:, None], facets, axis=1)
    rings[:, :, 1] += np.asarray(wide)[:, None] * y
    rings[:, :, 2] += np.asarray(high)[:, None] * z
    return rings


def pressed(points: Array, boxes: Sequence[tuple[Sequence[float], Box]]) -> Array:
    """Return points with those outside all of some rounded boxes moved onto the nearest one's surface.

    Args:
        points: (..., 3).
        boxes: each with its centre.
    """
    found, least = points, np.full(points.shape[:-1], np.inf)
    for centre, box_ in boxes:
        own = points - np.asarray(centre)
        near = np.clip(own, -np.array(box_.core), box_.core)
        away = own - near
        far = np.linalg.norm(away, axis=-1)
        share = np.minimum(1.0, box_.rounding / np.maximum(far, 1e-9))
        there = np.asarray(centre) + near + share[..., None] * away
        by = np.maximum(far - box_.rounding, 0.0)
        found = np.where((by < least)[..., None], there, found)
        least = np.minimum(by, least)
    return found


def block(
    size: tuple[float, float, float], centre: Sequence[float], rounding: float = 0.0
) -> Surface:
    """Return a box about a centre."""
    rounding = min(rounding, *(0.499 * side for side in size))
    return shifted(shape_surface(box(*size, rounding)), centre)


def shifted(surface: Surface, by: Sequence[float]) -> Surface:
    """Return a surface elsewhere."""
    return replace(surface, points=surface.points + np.asarray(by))


def mirrored(surface: Surface) -> Surface:
    """Return a surface's mirror image on the other side of y = 0."""
    other = np.array([1.0, -1.0, 1.0])
    return Surface(
        surface.points * other, surface.normals * other, surface.corners[:, ::-1], surface.edges
    )


def circle(radius: float, facets: int) -> Array:
    """Return points around the origin: (facets, 2)."""
    turn = 2 * np.pi * np.arange(facets) / facets
    return radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)


def _rings(points: Array, radii: Array, facets: int) -> Array:
    """Return circles across a line of points, which turn as little as they can: (n, facets, 3)."""
    steps = unit_rows(np.diff(points, axis=0))
    ways = unit_rows(np.vstack([steps[:1], steps[1:] + steps[:-1], steps[-1:]]))
    first = np.eye(3)[int(np.abs(ways[0]).argmin())]
    turn = 2 * np.pi * np.arange(facets) / facets
    rings = []
    for point, way, radius in zip(points, ways, radii, strict=True):
        first = first - (first @ way) * way
        first = first / np.linalg.norm(first)
        second = cross(way, first)
        rings.append(
            point + radius * (np.cos(turn)[:, None] * first + np.sin(turn)[:, None] * second)
        )
    return np.array(rings)


def _raised(outline: Array, y: float) -> Array:
    return np.stack([outline[:, 0], np.full(len(outline), y), outline[:, 1]], axis=1)


def _and_first(rows: Array) -> Array:
    return np.vstack([rows, rows[:1]])


def _outward(surface: Surface) -> Surface:
    """Return a closed surface with its outside outside, whichever way it was made."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    if float(np.einsum("ij,ij->", a, cross(b, c))) < 0:
        surface = replace(surface, corners=surface.corners[:, ::-1])
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    along = np.einsum("ij,ij->i", cross(b - a, c - a), surface.normals[surface.corners[:, 0]])
    return replace(surface, normals=-surface.normals) if along.sum() < 0 else surface
