"""Places for the labels of a plot: off every line, off each other, nearest to the line they name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array

LETTER: Final = 8.6
"""Width of a letter of a label in the largest type that screens and paper show it in [SVG units]."""
ABOVE, BELOW = 14.0, 4.0
"""Height of a label over its baseline in that type, and its depth below it."""
GAP: Final = 3.0
"""Room that is kept between a label and any line."""
STEP: Final = 4.0
"""Distance of tried places along a line."""
BESIDE: Final = 10.0
"""Room between two labels, where there is so much."""
_OTHERS_LINE, _NEAR_OTHER, _GRID = 40.0, 30.0, 6.0
"""Cost of a place nearer to another line than to its own, near another label, or on the grid."""


@dataclass(frozen=True)
class Label:
    """A text in its place, its left end on the baseline given."""

    x: float
    y: float
    shown: str

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the label."""
        return box_of(self.x, self.y, self.shown)


def box_of(x: float, y: float, shown: str) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a text that starts at (x, y)."""
    return x, y - ABOVE, x + LETTER * len(shown), y + BELOW


@dataclass
class Labels:
    """The labels of one plot; each new one keeps off the lines and off those before it."""

    room: tuple[float, float, float, float]
    """Left, top, right and bottom of the plot."""
    lines: Sequence[Array]
    """Curves and marked values: (n, 2) float each, which labels keep off."""
    grid: Sequence[float]
    """Heights of the grid's lines, which labels keep off where they can."""
    placed: list[Label] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Sample the lines closely, once."""
        self._points = [_sampled(line) for line in self.lines]

    def along(self, own: int, shown: str) -> Label:
        """Place a label beside the line of index `own`, best near one of its ends."""
        tried = list(self._beside(own, shown))
        return self._best(own, shown, tried)

    def _beside(self, own: int, shown: str) -> Iterator[tuple[float, float]]:
        left, top, right, bottom = self.room
        wide = LETTER * len(shown)
        points = self._points[own]
        if len(points) == 0:
            yield left + GAP, top + ABOVE
            return
        upright = np.ptp(points[:, 0]) < 1.0
        if upright:
            u = float(points[0, 0])
            for y in np.arange(top + ABOVE, bottom - BELOW, STEP):
                yield u + GAP + 1.0, float(y)
                yield u - GAP - 1.0 - wide, float(y)
            return
        for x in np.arange(left + GAP, max(right - wide - GAP, left + GAP) + 1e-6, STEP):
            over = points[(points[:, 0] >= x - GAP) & (points[:, 0] <= x + wide + GAP)]
            if len(over) == 0:
                continue
            for far in (0.0, 8.0, 16.0):
                yield float(x), float(over[:, 1].min()) - GAP - BELOW - far
                yield float(x), float(over[:, 1].max()) + GAP + ABOVE + far

    def _best(self, own: int, shown: str, tried: Iterable[tuple[float, float]]) -> Label:
        """Place a label where it costs least, the first of such places."""
        least: float = 0.0
        at: tuple[float, float] | None = None
        for place in tried:
            box = box_of(*place, shown)
            cost = self._cost(box)
            if at is None or cost < least:  # lines can only add to it, and are slow to measure
                cost += self._cost_of_lines(own, box)
                if at is None or cost < least:
                    least, at = cost, place
        assert at is not None
        label = Label(*at, shown)
        self.placed.append(label)
        return label

    def _cost(self, box: tuple[float, float, float, float]) -> float:
        """Return the cost of a place by the plot's edges and grid and the labels before it."""
        left, top, right, bottom = self.room
        outside = max(left - box[0], top - box[1], box[2] - right, box[3] - bottom, 0.0)
        cost = 1000.0 * outside + min(box[0] - left, right - box[2]) * 0.05
        wide = (box[0] - BESIDE, box[1] - BESIDE, box[2] + BESIDE, box[3] + BESIDE)
        cost += sum(600.0 for other in self.placed if _touch(box, other.box))
        cost += sum(_NEAR_OTHER for other in self.placed if _touch(wide, other.box))
        return cost + sum(_GRID for v in self.grid if box[1] < v < box[3])

    def _cost_of_lines(self, own: int, box: tuple[float, float, float, float]) -> float:
        far = [_distance(points, box) for points in self._points]
        cost = sum(400.0 for d in far if d < GAP - 0.1) + 0.5 * far[own]
        if any(d < far[own] + 4.0 for i, d in enumerate(far) if i != own):
            cost += _OTHERS_LINE
        return cost


def _sampled(line: Array) -> Array:
    """Return points along a polyline, at most 1.5 apart: (n, 2) -> (m, 2) float."""
    if len(line) < 2:
        return line
    step = np.linalg.norm(np.diff(line, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(step)])
    at = np.linspace(0.0, along[-1], max(2, int(along[-1] / 1.5) + 2))
    return np.stack([np.interp(at, along, line[:, i]) for i in (0, 1)], axis=1)


def _distance(points: Array, box: tuple[float, float, float, float]) -> float:
    """Return the distance of the nearest point from a box; infinite where there are no points."""
    if len(points) == 0:
        return float("inf")
    dx = np.maximum(np.maximum(box[0] - points[:, 0], points[:, 0] - box[2]), 0.0)
    dy = np.maximum(np.maximum(box[1] - points[:, 1], points[:, 1] - box[3]), 0.0)
    return float(np.hypot(dx, dy).min())


def _touch(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
