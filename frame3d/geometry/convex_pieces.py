"""Divide what a closed path encloses into convex polygons, which hold all of it.

An arc that bulges outward is replaced by lines that touch it, one that bulges inward by its chords, so
the polygons never leave anything out and stand out by no more than asked.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import XY, Path

FLAT = 1e-9
"""Sine of a corner's turn, below which it is none."""
Piece = tuple[XY, ...]
"""Corners of a convex polygon, anticlockwise [mm]."""


def convex_pieces(path: Path, within: float) -> tuple[Piece, ...]:
    """Return convex polygons that together hold what is inside of an anticlockwise path.

    Args:
        path: does not cross itself.
        within: how far they may stand out of it [mm].
    """
    corners = around(path, within)
    polygons = _merged(corners, [list(one) for one in _triangles(corners)])
    return tuple(
        tuple((float(x), float(y)) for x, y in corners[_without_flat(corners, one)])
        for one in polygons
    )


def around(path: Path, within: float) -> Array:
    """Return a polygon, (n, 2), that holds an anticlockwise path and stands out by at most so much."""
    found: list[XY] = []
    for edge in path.edges:
        found.append(edge.start)
        if not edge.is_arc:
            continue
        step = 2 * math.acos(max(1 - within / edge.radius, 0.5))
        n = max(1, math.ceil(abs(edge.sweep) / step - 1e-9))
        if edge.bulge < 0:
            found += [edge.at(i / n) for i in range(1, n)]
            continue
        n = max(n, math.ceil(abs(edge.sweep) / math.radians(60) - 1e-9))
        while edge.radius * (1 / math.cos(edge.sweep / n / 2) - 1) > within:
            n += 1
        (x, y), grown = edge.centre, 1 / math.cos(edge.sweep / n / 2)
        for i in range(n):
            u, v = edge.at((i + 0.5) / n)
            found.append((x + grown * (u - x), y + grown * (v - y)))
    corners = np.array(found)
    return corners[_without_flat(corners, range(len(corners)))]


def _without_flat(corners: Array, polygon: Sequence[int]) -> list[int]:
    """Return a polygon's corners, those in a straight line left out."""
    kept = list(polygon)
    i = 0
    while i < len(kept) and len(kept) > 3:
        a, b, c = (corners[kept[(i + k) % len(kept)]] for k in (-1, 0, 1))
        before, after = b - a, c - b
        size = float(np.hypot(*before) * np.hypot(*after))
        turn = float(before[0] * after[1] - before[1] * after[0])
        if size == 0.0 or abs(turn) <= FLAT * size:
            del kept[i]
            i = max(i - 1, 0)
        else:
            i += 1
    return kept


def _triangles(corners: Array) -> list[tuple[int, int, int]]:
    """Return the triangles of a simple polygon, by cutting off ears."""
    left = list(range(len(corners)))
    found: list[tuple[int, int, int]] = []
    while len(left) > 3:
        ears = (k for k in range(len(left)) if _is_ear(corners, left, k))
        k = next(ears, None)
        if k is None:  # corners so close that rounding decides: the least convex one
            k = int(np.argmax([_turn(corners, left, k) for k in range(len(left))]))
        found.append((left[k - 1], left[k], left[(k + 1) % len(left)]))
        del left[k]
    found.append((left[0], left[1], left[2]))
    return found


def _turn(corners: Array, left: Sequence[int], k: int) -> float:
    a, b, c = (corners[left[(k + i) % len(left)]] for i in (-1, 0, 1))
    return float((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))


def _is_ear(corners: Array, left: Sequence[int], k: int) -> bool:
    """Whether a corner sticks out and no other corner lies in its triangle."""
    if _turn(corners, left, k) <= 0:
        return False
    n = len(left)
    near = {(k - 1) % n, k, (k + 1) % n}
    a, b, c = (corners[left[(k + i) % n]] for i in (-1, 0, 1))
    others = corners[[left[i] for i in range(n) if i not in near]]
    inside = np.ones(len(others), dtype=bool)
    for p, q in ((a, b), (b, c), (c, a)):
        side = (q[0] - p[0]) * (others[:, 1] - p[1]) - (q[1] - p[1]) * (others[:, 0] - p[0])
        inside &= side >= -1e-12
    same = (others == a).all(axis=1) | (others == b).all(axis=1) | (others == c).all(axis=1)
    return not bool((inside & ~same).any())


def _merged(corners: Array, polygons: list[list[int]]) -> list[list[int]]:
    """Return polygons joined along shared sides as long as they stay convex (value from memory of
    Hertel and Mehlhorn, 1983: at most four times as many as needed).
    """
    found = [list(one) for one in polygons]
    i = 0
    while i < len(found):
        joined = None
        for j in range(i + 1, len(found)):
            joined = _joined(corners, found[i], found[j])
            if joined is not None:
                found[i] = joined
                del found[j]
                break
        if joined is None:
            i += 1
    return found


def _joined(corners: Array, one: list[int], other: list[int]) -> list[int] | None:
    """Return two polygons as one, if they share a side and it is convex."""
    sides = {(other[k - 1], other[k]): k for k in range(len(other))}
    for i in range(len(one)):
        k = sides.get((one[i], one[i - 1]))
        if k is None:
            continue
        # one: ... a, b ...; other: ... b, a ...: its corners after a, up to before b, go between.
        between = [other[(k + m) % len(other)] for m in range(1, len(other) - 1)]
        made = one[:i] + between + one[i:]
        if all(_turn(corners, made, m) >= 0 for m in range(len(made))):
            return made
    return None
