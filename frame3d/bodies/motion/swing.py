"""Motion of a body in the side view over one motion, as a table with cubics between rows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array

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
        step = self.travel / (len(self.knots) - 1)
        place = (travels - self.start) / step
        span = np.clip(np.floor(place).astype(int), 0, len(self.knots) - 2)
        u = (place - span)[:, None]
        a, b = self.knots[span], self.knots[span + 1]
        p, q, v, w = a[:, :3], b[:, :3], a[:, 3:] * step, b[:, 3:] * step
        at = (
            p * (1 + 2 * u) * (1 - u) ** 2
            + v * u * (1 - u) ** 2
            + q * u**2 * (3 - 2 * u)
            - w * u**2 * (1 - u)
        )
        rate = (6 * u * (1 - u) * (q - p) + v * (1 - u) * (1 - 3 * u) + w * u * (3 * u - 2)) / step
        return np.concatenate((at, rate), axis=1)


def tabled(travel: float, rows: Callable[[Array], Array], start: float = 0.0) -> Swing:
    """Return a table of a motion, as fine as `AGREES` needs, with at most `MOST` rows.

    Args:
        travel: from the first row to the last [mm]: the rear wheel's whole travel.
        rows: returns the motion at travels, (k,) -> (k, 6) float, as in `Swing.knots`.
        start: travel of the first row.
    """
    count = FIRST
    swing = Swing(travel, rows(start + np.linspace(0.0, travel, count)), start)
    while True:
        step, knots = travel / (count - 1), swing.knots
        exact = rows(start + step * (np.arange(count - 1, dtype=np.float64) + 0.5))
        # In the middle between two rows the cubic is their mean and an eighth of what the slopes differ.
        cubic = (knots[:-1, :3] + knots[1:, :3]) / 2 + (knots[:-1, 3:] - knots[1:, 3:]) * (step / 8)
        off = np.abs(exact[:, :3] - cubic) @ [1.0, 1.0, np.radians(METRE)]
        whole, turns = np.exp(1j * np.radians(swing.knots[:, 2])), np.radians(swing.knots[:, 5])
        slope = 1j * turns * whole * travel / (count - 1)
        middle = (whole[:-1] + whole[1:]) / 2 + (slope[:-1] - slope[1:]) / 8
        off += METRE * np.abs(middle - np.exp(1j * np.radians(exact[:, 2])))
        if off.max() <= AGREES or count >= MOST:
            swing.knots.setflags(write=False)
            return swing
        finer = np.empty((2 * count - 1, 6))
        finer[::2], finer[1::2] = swing.knots, exact
        count = len(finer)
        swing = Swing(travel, finer, start)
