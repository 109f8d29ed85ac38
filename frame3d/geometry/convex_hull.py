"""The convex hull of points in a plane."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array


def convex_hull(points: Array) -> Array:
    """Return the corners of the convex hull of points, anticlockwise: (n, 2) -> (m, 2)."""
    ordered = sorted({(x, y) for x, y in points.tolist()})
    half: list[list[tuple[float, float]]] = []
    for way in (ordered, ordered[::-1]):
        chain: list[tuple[float, float]] = []
        for x, y in way:
            while len(chain) > 1:
                (x0, y0), (x1, y1) = chain[-2:]
                if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0:
                    break
                chain.pop()
            chain.append((x, y))
        half.append(chain[:-1])
    return np.array(half[0] + half[1] or ordered)
