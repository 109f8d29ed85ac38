"""What of a plate lies inside of tubes: which they are, and how much metal they take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Protocol

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Outline

RASTER = 0.4
"""Spacing at which the metal that tubes take is found [mm]."""
LEVELS = 4
"""Heights in the thickness at which it is found (Gauss-Legendre quadrature)."""
PIECES = 6
"""Heights in the thickness at which it is asked whether a plate is one piece."""
TOUCH = 0.05
"""How far from a tube a plate still touches it [mm]."""


class Taker(Protocol):
    """What takes metal of a plate: a tube's `Envelope`, or a dropout."""

    @property
    def name(self) -> str:
        """Its name."""

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""

    def near(self, points: Array, within: float = 0.0) -> Mask:
        """Which points lie near it: (n, 3) -> (n,)."""


def taken_by(
    outline: Outline, plane: Plane, span: tuple[float, float], tubes: Sequence[Taker]
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
    tubes: Sequence[Taker],
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
    outline: Outline, plane: Plane, span: tuple[float, float], tubes: Sequence[Taker]
) -> float:
    """Return the share of what tubes leave of a plate that is its largest piece, 1 where it is whole.

    In rows, at some heights of its thickness: runs of metal in neighbouring rows, or at neighbouring
    heights of a row, are one piece where they lie over one another.

    Args:
        outline: the plate's.
        plane: its plane.
        span: heights of its faces [mm].
        tubes: what takes of it.
    """
    points, areas = _places(outline)
    if not tubes or not len(points):
        return 1.0
    pieces = _Pieces()
    below: dict[float, list[_Run]] = {}
    for i in range(PIECES):
        height = span[0] + (span[1] - span[0]) * (i + 0.5) / PIECES
        places = plane.place(np.column_stack([points, np.full(len(points), height)]))
        deep = np.full(len(places), -RASTER)
        for tube in tubes:
            near = tube.near(places, RASTER)
            if near.any():
                deep[near] = np.maximum(deep[near], tube.depth(places[near]))
        here: dict[float, list[_Run]] = {}
        before: list[_Run] = []
        metal = areas * np.clip(0.5 - deep / RASTER, 0.0, 1.0)
        for y, runs in _runs(points, metal, deep < 0):
            now = [pieces.added(*run) for run in runs]
            for run in now:
                pieces.join(run, before)
                pieces.join(run, below.get(y, []))
            here[y], before = now, now
        below = here
    return pieces.largest


_Run = tuple[float, float, int]
"""From, to [mm], and its number."""


class _Pieces:
    """Runs of metal, joined to pieces."""

    def __init__(self) -> None:
        self._group: list[int] = []  # of each run, the run that it is joined to, or itself
        self._sizes: list[float] = []

    def added(self, start: float, end: float, size: float) -> _Run:
        """Return a new run, by itself."""
        self._group.append(len(self._group))
        self._sizes.append(size)
        return start, end, len(self._group) - 1

    def join(self, run: _Run, others: Sequence[_Run]) -> None:
        """Join a run to those of others that it lies over."""
        for start, end, other in others:
            if start < run[1] and run[0] < end:
                self._group[self._root(other)] = self._root(run[2])

    def _root(self, run: int) -> int:
        while self._group[run] != run:
            self._group[run] = self._group[self._group[run]]
            run = self._group[run]
        return run

    @property
    def largest(self) -> float:
        """Share of all that is the largest piece."""
        found: dict[int, float] = {}
        for run, size in enumerate(self._sizes):
            found[self._root(run)] = found.get(self._root(run), 0.0) + size
        whole = sum(found.values())
        return max(found.values()) / whole if whole > 0 else 1.0


def _runs(
    points: Array, metal: Array, left: Mask
) -> Iterator[tuple[float, list[tuple[float, float, float]]]]:
    """Yield y of each row, and where its runs of metal begin and end, with the area of each."""
    edges = np.flatnonzero(np.diff(points[:, 1])) + 1
    for row in np.split(np.arange(len(points)), edges):
        kept = row[left[row]]
        breaks = np.flatnonzero(np.diff(points[kept, 0]) > 1.5 * RASTER) + 1
        runs = [run for run in np.split(kept, breaks) if len(run)]
        yield (
            float(points[row[0], 1]),
            [
                (
                    float(points[run[0], 0]) - RASTER / 2,
                    float(points[run[-1], 0]) + RASTER / 2,
                    float(metal[run].sum()),
                )
                for run in runs
            ],
        )
