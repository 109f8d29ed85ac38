"""What of a plate lies inside of tubes: which they are, and how much metal they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Outline
from frame3d.tubes.cuts.overlap import Envelope

RASTER = 0.4
"""Spacing at which the metal that tubes take is found [mm]."""
LEVELS = 4
"""Heights in the thickness at which it is found (Gauss-Legendre quadrature)."""
TOUCH = 0.05
"""How far from a tube a plate still touches it [mm]."""


def taken_by(
    outline: Outline, plane: Plane, span: tuple[float, float], tubes: Sequence[Envelope]
) -> float:
    """Return the volume of a plate's metal that lies inside of tubes [mm³].

    In rows, each from edge to edge of the metal; at a tube's surface a place counts by how deep it lies.

    Args:
        outline: the plate's; pockets count as metal.
        plane: its plane.
        span: heights of its faces [mm].
        tubes: what takes of it.
    """
    if not tubes:
        return 0.0
    points, areas = _places(outline)
    x, weights = np.polynomial.legendre.leggauss(LEVELS)
    half = (span[1] - span[0]) / 2
    total = 0.0
    for t, weight in zip(x, weights, strict=True):
        height = (span[0] + span[1]) / 2 + half * float(t)
        places = plane.place(np.column_stack([points, np.full(len(points), height)]))
        deep = np.full(len(places), -RASTER)
        for tube in tubes:
            near = tube.near(places, RASTER)
            if near.any():
                deep[near] = np.maximum(deep[near], tube.depth(places[near]))
        total += half * float(weight) * float(areas @ np.clip(deep / RASTER + 0.5, 0.0, 1.0))
    return total


def reached(
    outline: Outline,
    plane: Plane,
    span: tuple[float, float],
    tubes: Sequence[Envelope],
    deeper: float = -TOUCH,
) -> tuple[str, ...]:
    """Return the names of the bodies that a plate reaches into by more than so much [mm]."""
    edge = outline.outer.points(0.2)
    steps = [
        a + np.linspace(0.0, 1.0, max(2, int(np.hypot(*(b - a))) + 1))[:, None] * (b - a)
        for a, b in zip(edge, np.roll(edge, -1, axis=0), strict=True)
    ]
    rows, _ = _places(outline, 3.0)
    points = np.concatenate([*steps, rows])
    found = []
    for tube in tubes:
        for height in (span[0], sum(span) / 2, span[1]):
            places = plane.place(np.column_stack([points, np.full(len(points), height)]))
            if float(tube.depth(places).max()) > deeper:
                found.append(tube.name)
                break
    return tuple(found)


@lru_cache(maxsize=16)
def _places(outline: Outline, step: float = RASTER) -> tuple[Array, Array]:
    """Return places spread over an outline's metal, (n, 2) [mm], and the area of each, (n,) [mm²]."""
    _, bottom, _, top = outline.bounds
    rims = [outline.outer.points(0.005), *(path.points(0.005) for path in outline.inner)]
    count = max(1, int(np.ceil((top - bottom) / step)))
    high = (top - bottom) / count
    points, areas = [np.zeros((0, 2))], [np.zeros(0)]
    for i in range(count):
        y = bottom + (i + 0.5) * high
        for a, b in _metal(rims, y):
            n = max(1, int(np.ceil((b - a) / step)))
            x = a + (np.arange(n) + 0.5) * (b - a) / n
            points.append(np.column_stack([x, np.full(n, y)]))
            areas.append(np.full(n, (b - a) / n * high))
    return np.concatenate(points), np.concatenate(areas)


def _metal(rims: Sequence[Array], y: float) -> Iterator[tuple[float, float]]:
    """Yield where a row enters and leaves the metal."""
    found: list[float] = []
    for rim in rims:
        a, b = rim, np.roll(rim, -1, axis=0)
        crossed = (a[:, 1] > y) != (b[:, 1] > y)
        a, b = a[crossed], b[crossed]
        found += (a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])).tolist()
    found.sort()
    yield from zip(found[::2], found[1::2], strict=True)


def largest_share(
    outline: Outline, plane: Plane, height: float, tubes: Sequence[Envelope]
) -> float:
    """Return the share of what tubes leave of a plate that is its largest piece, 1 where it is whole.

    In rows at one height of its thickness: runs of metal in neighbouring rows are one piece where they
    lie over one another.
    """
    points, areas = _places(outline)
    if not tubes or not len(points):
        return 1.0
    places = plane.place(np.column_stack([points, np.full(len(points), height)]))
    left = np.min([-tube.depth(places) for tube in tubes], axis=0) > 0
    group: list[int] = []  # of each run, the run that it is joined to, or itself
    sizes: list[float] = []
    before: list[tuple[float, float, int]] = []  # runs of the row below: from, to, name

    def root(run: int) -> int:
        while group[run] != run:
            run = group[run]
        return run

    for y in np.unique(points[:, 1]):
        row = np.flatnonzero(points[:, 1] == y)
        row = row[left[row]]
        now: list[tuple[float, float, int]] = []
        breaks = np.flatnonzero(np.diff(points[row, 0]) > 1.5 * RASTER) + 1
        for run in np.split(row, breaks):
            if not len(run):
                continue
            name = len(group)
            group.append(name)
            sizes.append(float(areas[run].sum()))
            a, b = float(points[run[0], 0]) - RASTER / 2, float(points[run[-1], 0]) + RASTER / 2
            for start, end, other in before:
                if start < b and a < end:
                    group[root(other)] = root(name)
            now.append((a, b, name))
        before = now
    pieces: dict[int, float] = {}
    for name, size in enumerate(sizes):
        pieces[root(name)] = pieces.get(root(name), 0.0) + size
    whole = sum(pieces.values())
    return max(pieces.values()) / whole if whole > 0 else 1.0
