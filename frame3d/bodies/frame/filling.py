r"""Fill the middle of a flat plate with rectangles, between the slabs along its edges.

Side view of a plate over two discs (`disc_hull.Flat`)::

          .---------------------.
        .'  slab along an edge   `.      slabs: as deep as the smaller disc's radius
       /---------------------------\
      (   rows: rectangles          )    rows fill what is deeper
       \---------------------------/
        `.  slab along an edge   .'
          `---------------------'
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.convex_hull import convex_hull
from frame3d.geometry.disc_hull import Disc, Flat

SIDES = 24
"""Corners of the polygon that replaces a disc."""
LOWEST = 0.25
"""Least height of a row, as a fraction of the smallest disc's radius."""
SHARES = 2 ** -np.arange(0.0, 12.0, 0.25)
"""Heights that are tried for a row, as fractions of what is left."""


@dataclass(frozen=True, slots=True)
class Row:
    """A rectangle in the side view."""

    centre: tuple[float, float]
    """x and z [mm]"""
    along: tuple[float, float]
    """Unit direction of its length, in x and z."""
    length: float
    height: float
    """Across `along` [mm]."""


@lru_cache(maxsize=256)
def _filling(discs: tuple[Disc, ...], thickness: float) -> tuple[Row, ...]:
    """Return `filling` of a plate with such discs, wherever it lies: those of a pair are the same."""
    flat = Flat(discs, -thickness / 2, thickness / 2)
    least = min(radius for _, _, radius in flat.discs)
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    round_ = np.stack((np.cos(turn), np.sin(turn)), axis=1) / np.cos(np.pi / SIDES)
    corners = np.concatenate([np.array(d[:2]) + (d[2] - least) * round_ for d in flat.discs])
    ways = [float(np.arctan2(b[1] - a[1], b[0] - a[0])) for a, b in flat.edges]
    way = min(ways, key=lambda way: float(np.ptp(corners @ [-np.sin(way), np.cos(way)])))
    c, s = float(np.cos(way)), float(np.sin(way))
    turned = np.array([[c, s], [-s, c]])
    corners = convex_hull(corners @ turned.T)
    low, high = float(corners[:, 1].min()), float(corners[:, 1].max())
    found: list[Row] = []
    while high - low > 1e-6:  # else only a line is left: slabs from both sides meet there
        for height in np.maximum(SHARES * (high - low), min(LOWEST * least, high - low)).tolist():
            left, right = _row(corners, low, low + height)
            outer = np.array([[x, z] for x in (left, right) for z in (low, low + height)]) @ turned
            if flat.depth(np.insert(outer, 1, 0.0, axis=1)).min() > -1e-6:
                break
        x, z = np.array([(left + right) / 2, low + height / 2]) @ turned
        found.append(Row((float(x), float(z)), (c, s), right - left, height))
        low += height
    return tuple(found)


def filling(flat: Flat) -> tuple[Row, ...]:
    """Return rectangles within a plate's outline that cover what is deeper than its least radius.

    What is less deep lies in the discs, or in slabs along the edges that are as deep as that radius:
    the nearest place of the outline is on an edge, or on a disc no smaller. What is deeper is the
    hull of the same discs, each smaller by that radius. It is cut into rows; in a convex figure no
    corner of a row's rectangle is further outside than the row is high. Rows run along that edge
    across which the plate is least high.
    """
    return _filling(flat.discs, flat.thickness) if flat.edges else ()


def _row(corners: Array, low: float, high: float) -> tuple[float, float]:
    """Return the range that a convex figure covers between two levels.

    Args:
        corners: (n, 2), in order around it.
        low: level, no lower than the lowest corner.
        high: level above.
    """
    following = np.concatenate((corners[1:], corners[:1]))
    a, b = np.concatenate((corners, following)), np.concatenate((following, corners))
    rise = b[:, 1] - a[:, 1]
    found = [corners[(corners[:, 1] >= low) & (corners[:, 1] <= high), 0]]
    for level in (low, high):
        through = (a[:, 1] <= level) & (b[:, 1] >= level) & (rise > 0)
        share = (level - a[through, 1]) / rise[through]
        found.append(a[through, 0] + share * (b[through, 0] - a[through, 0]))
    x = np.concatenate(found)
    return float(x.min()), float(x.max())
