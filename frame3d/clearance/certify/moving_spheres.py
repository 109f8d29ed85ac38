"""Spheres on a grid of the motions: their longest steps and least distances, compiled."""

from __future__ import annotations

import math

from frame3d.clearance.certify.compiled import compiled
from frame3d.geometry.arrays import Array


@compiled
def longest(middles: Array, out: Array) -> None:
    """Add to each sphere the longest step of its centre along one axis of the grid.

    Args:
        middles: (before, k, after, n, 3) float, centres; the step is along the second axis [mm].
        out: (n,) float; added to [mm].
    """
    for j in range(middles.shape[3]):
        most = 0.0
        for a in range(middles.shape[0]):
            for k in range(1, middles.shape[1]):
                for b in range(middles.shape[2]):
                    x = middles[a, k, b, j, 0] - middles[a, k - 1, b, j, 0]
                    y = middles[a, k, b, j, 1] - middles[a, k - 1, b, j, 1]
                    z = middles[a, k, b, j, 2] - middles[a, k - 1, b, j, 2]
                    most = max(most, x * x + y * y + z * z)
        out[j] += math.sqrt(most)


@compiled
def closest(middles: Array, others: Array, out: Array) -> None:
    """Write the least distance of each moving centre to each that stands still.

    Args:
        middles: (grid, n, 3) float [mm].
        others: (m, 4) float, centres and radii [mm].
        out: (n, m) float; written to [mm].
    """
    for j in range(middles.shape[1]):
        for k in range(len(others)):
            least = math.inf
            for g in range(len(middles)):
                x = middles[g, j, 0] - others[k, 0]
                y = middles[g, j, 1] - others[k, 1]
                z = middles[g, j, 2] - others[k, 2]
                least = min(least, x * x + y * y + z * z)
            out[j, k] = math.sqrt(least)
