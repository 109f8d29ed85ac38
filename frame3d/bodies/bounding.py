"""Bounding spheres of many solids; those of straight tubes, boxes and discs worked out together."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from frame3d.bodies.shapes import SHORT, Box, Disc, PlacedShape, Solid, Tubular
from frame3d.geometry.arrays import Array, Ints


def spheres_of(solids: Sequence[Solid]) -> tuple[Array, Ints]:
    """Return the bounding spheres of solids one after another, and where each solid's begin.

    Returns:
        (n, 4) float, centres and radii, as `bounding_spheres` [mm]; (solids + 1,), the last is n.
    """
    tubes: list[tuple[float, ...]] = []
    boxes: list[tuple[float, ...]] = []
    discs: list[tuple[float, ...]] = []
    of_tubes: list[int] = []
    of_boxes: list[int] = []
    of_discs: list[int] = []
    others: list[tuple[int, Array]] = []
    for i, solid in enumerate(solids):
        if isinstance(solid, Tubular):
            if solid.axis.is_straight:
                of_tubes.append(i)
                tubes.append(_of_tube(solid))
                continue
        elif isinstance(solid.shape, Disc):
            of_discs.append(i)
            discs.append(_of_disc(solid, solid.shape))
            continue
        elif isinstance(solid.shape, Box):
            of_boxes.append(i)
            x, y, z = solid.axes
            boxes.append((*solid.origin, *x, *y, *z, *solid.shape.half))
            continue
        others.append((i, solid.bounding_spheres))
    counts: Ints = np.ones(len(solids), dtype=np.int64)
    for i, own in others:
        counts[i] = len(own)
    of = np.array(of_tubes + of_boxes, dtype=np.int64)
    starts, ways, length, width, around = (
        np.concatenate(both)
        for both in zip(
            _straight(np.array(tubes).reshape(-1, 10)),
            _longest(np.array(boxes).reshape(-1, 15)),
            strict=True,
        )
    )
    counts[of] = np.maximum(np.ceil(length / np.maximum(SHORT, width)), 1)
    begins = np.concatenate(([0], np.cumsum(counts)))
    out = np.empty((int(begins[-1]), 4))
    out[begins[of_discs]] = np.array(discs).reshape(-1, 4)
    for i, own in others:
        out[begins[i] : begins[i + 1]] = own
    # Of each length an equal share to each sphere, about its middle.
    own_counts = counts[of]
    share = length / own_counts
    is_round = np.array([row[-1] for row in tubes] + [0.0] * len(boxes), dtype=bool)
    reach = np.where(is_round, share / 2 + around, np.hypot(share / 2, around))
    which = np.repeat(np.arange(len(of)), own_counts)
    rank = np.arange(len(which)) - (np.cumsum(own_counts) - own_counts)[which]
    place = begins[of][which] + rank
    out[place, :3] = starts[which] + ((rank + 0.5) * share[which])[:, None] * ways[which]
    out[place, 3] = reach[which]
    return out, begins


def _of_tube(tube: Tubular) -> tuple[float, ...]:
    """Return a straight tube's ends, what is trimmed there, its half width, and 1 if an end is round."""
    half = tube.section.furthest
    return (*tube.axis.start, *tube.axis.end, *tube.trimmed, half, 0.0 if all(tube.flat) else 1.0)


def _straight(rows: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Return of straight tubes the first metal and the unit direction, (n, 3), and length, width and
    half width, (n,).

    Args:
        rows: (n, 10), as `_of_tube`.
    """
    along = rows[:, 3:6] - rows[:, :3]
    length = np.linalg.norm(along, axis=1)
    along /= np.where(length > 0, length, 1.0)[:, None]
    half = rows[:, 8]
    first = rows[:, :3] + rows[:, 6:7] * along
    return first, along, length - rows[:, 6] - rows[:, 7], 2 * half, half


def _longest(rows: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Return of boxes the middle of a smallest face and the unit direction to the other, (n, 3), their
    length and middle width, and how far their long edges lie from the line between both, (n,).

    Args:
        rows: (n, 15): origin, axes and half sizes.
    """
    halves = rows[:, 12:]
    order = np.argsort(halves, axis=1)
    every = np.arange(len(rows))
    least, middle, most = (halves[every, order[:, k]] for k in range(3))
    way = rows[:, 3:12].reshape(-1, 3, 3)[every, order[:, 2]]
    return rows[:, :3] - most[:, None] * way, way, 2 * most, 2 * middle, np.hypot(least, middle)


def _of_disc(placed: PlacedShape, disc: Disc) -> tuple[float, float, float, float]:
    """Return the one sphere about a solid of revolution."""
    heights = [height for _, height in disc.profile]
    middle = (min(heights) + max(heights)) / 2
    reach = max(math.hypot(across, height - middle) for across, height in disc.profile)
    (x, y, z), (ahead, left, up) = placed.origin, placed.axes[1]
    return x + middle * ahead, y + middle * left, z + middle * up, reach
