"""Motion of a body in the side view over one motion, as a table with cubics between rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Ints

AGREES: Final = 1e-6
"""Largest error of a table between its rows, a metre away [mm]; also where, instead of the turn, what
the turn does to a point is interpolated by cubics."""
FIRST, MOST = 33, 2049
"""Rows of the first table that is tried, and of the largest."""
METRE = 1000.0


@dataclass(frozen=True, eq=False)
class Swing:
    """A rigid motion in the side view, from the drawn place, over one motion: mostly the rear travel.

    A point (px, pz) goes to (x, z) + (px, pz) turned nose up by `turn`.
    """

    travel: float
    """From the first row to the last [mm, of an insert's turn degrees]; all are equally spaced."""
    knots: Array
    """(n, 6) float: x, z of where the bottom bracket's centre would go [mm], turn [degrees], and
    their derivatives by travel. Between rows each is the Hermite cubic."""
    start: float = 0.0
    """Travel of the first row."""

    def at(self, travel: float) -> tuple[float, float, float]:
        """Return x and z [mm] of the bottom bracket's centre, and turn [degrees], at a rear travel."""
        x, z, turn = self.over(np.array([travel]))[0, :3]
        return (float(x), float(z), float(turn))

    def over(self, travels: Array) -> Array:
        """Return rows as in `knots` at any travels: (k,) -> (k, 6) float."""
        (rows,) = all_over([self], travels)
        return np.asarray(rows)


def all_over(swings: Sequence[Swing], travels: Array) -> Array:
    """Return rows as `Swing.over` of several motions: (k,) -> (n, k, 6) float."""
    out = np.empty((len(swings), len(travels), 6))
    alike: dict[tuple[float, float, int], list[int]] = {}
    for i, swing in enumerate(swings):
        alike.setdefault((swing.travel, swing.start, len(swing.knots)), []).append(i)
    for (travel, start, _), some in alike.items():
        out[some] = _between(travel, np.array([swings[i].knots for i in some]), travels - start)
    return out


def _between(travel: float, knots: Array, travels: Array) -> Array:
    """Return rows as in `Swing.knots`, (n, m, 6), at any travels from the first: (k,) -> (n, k, 6)."""
    step = travel / (knots.shape[1] - 1)
    place = travels / step
    span = np.clip(np.floor(place).astype(int), 0, knots.shape[1] - 2)
    u = (place - span)[:, None]
    a, b = knots[:, span], knots[:, span + 1]
    p, q, v, w = a[..., :3], b[..., :3], a[..., 3:] * step, b[..., 3:] * step
    at = (
        p * (1 + 2 * u) * (1 - u) ** 2
        + v * u * (1 - u) ** 2
        + q * u**2 * (3 - 2 * u)
        - w * u**2 * (1 - u)
    )
    rate = (6 * u * (1 - u) * (q - p) + v * (1 - u) * (1 - 3 * u) + w * u * (3 * u - 2)) / step
    return np.concatenate((at, rate), axis=2)


def tabled(travel: float, rows: Callable[[Array], Array], start: float = 0.0) -> Swing:
    """Return a table of a motion, as fine as `AGREES` needs, with at most `MOST` rows.

    Args:
        travel: from the first row to the last [mm]: the rear wheel's whole travel.
        rows: returns the motion at travels, (k,) -> (k, 6) float, as in `Swing.knots`.
        start: travel of the first row.
    """
    (swing,) = all_tabled(travel, 1, lambda _, travels: rows(travels)[None], start)
    return swing


def all_tabled(
    travel: float, count: int, rows: Callable[[Ints, Array], Array], start: float = 0.0
) -> list[Swing]:
    """Return tables of several motions, worked out together.

    Args:
        travel: as `tabled`.
        count: how many motions.
        rows: returns some of the motions at travels, (n,), (k,) -> (n, k, 6) float.
        start: travel of the first row.
    """
    left: Ints = np.arange(count)
    found: dict[int, Swing] = {}
    at = start + np.linspace(0.0, travel, FIRST)
    knots = rows(left, at)
    while len(left):
        spans = knots.shape[1] - 1
        step = travel / spans
        exact = rows(left, start + step * (np.arange(spans, dtype=np.float64) + 0.5))
        is_fine = _off(knots, exact, step) <= AGREES
        if spans + 1 >= MOST:
            is_fine[:] = True
        for i in np.flatnonzero(is_fine).tolist():
            own = knots[i].copy()
            own.setflags(write=False)
            found[int(left[i])] = Swing(travel, own, start)
        left = left[~is_fine]
        finer = np.empty((len(left), 2 * spans + 1, 6))
        finer[:, ::2], finer[:, 1::2] = knots[~is_fine], exact[~is_fine]
        knots = finer
    return [found[i] for i in range(count)]


def _off(knots: Array, exact: Array, step: float) -> Array:
    """Return the error of tables, (n, k, 6), a metre away, from the motion in the middles: (n,) [mm].

    Args:
        knots: rows of each table, one more than there are middles.
        exact: the motion in the middles between them.
        step: travel from row to row [mm].
    """
    # In the middle between two rows the cubic is their mean and an eighth of what the slopes differ.
    first, last = knots[:, :-1], knots[:, 1:]
    cubic = (first[..., :3] + last[..., :3]) / 2 + (first[..., 3:] - last[..., 3:]) * (step / 8)
    off = np.abs(exact[..., :3] - cubic) @ np.array([1.0, 1.0, np.radians(METRE)])
    whole, turns = np.exp(1j * np.radians(knots[..., 2])), np.radians(knots[..., 5])
    slope = 1j * turns * whole * step
    middle = (whole[:, :-1] + whole[:, 1:]) / 2 + (slope[:, :-1] - slope[:, 1:]) / 8
    off += METRE * np.abs(middle - np.exp(1j * np.radians(exact[..., 2])))
    return np.asarray(off.max(axis=1))
