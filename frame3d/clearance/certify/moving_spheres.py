"""Spheres on a grid of the motions: how near they come, and what boxes hold them, compiled.

Between grid points a sphere's centre strays: no further from the nearest grid point than STRAYS times
its longest steps along each motion, summed (see `broad_phase`).
"""

from __future__ import annotations

import math
from typing import Final

from frame3d.clearance.certify.compiled import compiled
from frame3d.geometry.arrays import Array, Ints

STRAYS: Final = 0.7
"""Largest distance of a sphere's centre from its nearest grid point, as a fraction of its longest
step, summed over the motions. It would be 0.5 if a motion's steps were equal everywhere; half a step
of an angle (7.5 degrees, 0.13 rad) changes the steps of each other motion by 0.13 of that distance,
so for three motions it is 0.5/(1 - 0.26) = 0.68."""
ROUNDING: Final = 1e-6
"""Rounding error of a distance [mm], generously."""


@compiled
def seen_from(a: Array, b: Array, counts: Ints, of_a: Ints, of_b: Ints, out: Array) -> int:
    """Write the motion of one mount seen from another, on the grid of both; return how many points.

    Args:
        a: (n, 4, 4) float, where one mount takes what it carries, on its own grid.
        b: (m, 4, 4) float, the same of the other.
        counts: (motions,), how many grid points each motion has; the first changes slowest.
        of_a: (motions,), by how much the index into `a` grows with each motion's; 0 where it takes no
            part.
        of_b: (motions,), the same of `b`.
        out: (grid or more, 3, 4) float; written to.
    """
    grid = 1
    for count in counts:
        grid *= count
    for g in range(grid):
        first = second = 0
        rest = g
        for r in range(len(counts) - 1, -1, -1):
            if counts[r] == 1:
                continue
            k = rest % counts[r]
            rest //= counts[r]
            first += k * of_a[r]
            second += k * of_b[r]
        p = a[first]
        q = b[second]
        for i in range(3):
            for j in range(4):
                total = 0.0
                for k in range(3):
                    x = p[k, j]
                    if j == 3:
                        x -= q[k, 3]
                    total += q[k, i] * x
                out[g, i, j] = total
    return grid


@compiled
def _move(motion: Array, counts: Ints, sphere: Array, middles: Array) -> float:
    """Write a sphere's centre on the grid; return its radius and how far the centre strays from there.

    Args:
        motion: (grid, 3, 4) float.
        counts: (motions,), how many grid points each motion has.
        sphere: (4,) float, centre and radius [mm].
        middles: (grid, 3) float; written to [mm].
    """
    grid = len(motion)
    u = sphere[0]
    v = sphere[1]
    w = sphere[2]
    for g in range(grid):
        for i in range(3):
            middles[g, i] = (
                motion[g, i, 0] * u + motion[g, i, 1] * v + motion[g, i, 2] * w + motion[g, i, 3]
            )
    strays = 0.0
    stride = grid
    for i in range(len(counts)):
        block = stride
        stride //= counts[i]
        most = 0.0
        for first in range(stride, grid if stride < block else 0, block):
            for g in range(first, first + block - stride):
                x = middles[g, 0] - middles[g - stride, 0]
                y = middles[g, 1] - middles[g - stride, 1]
                z = middles[g, 2] - middles[g - stride, 2]
                squared = x * x + y * y + z * z
                most = max(most, squared)
        strays += math.sqrt(most)
    held: float = sphere[3] + STRAYS * strays + ROUNDING
    return held


@compiled
def _extent(points: Array, axis: int) -> tuple[float, float]:
    """Return the least and the greatest of one coordinate of points (n, 3)."""
    low = points[0, axis]
    high = low
    for g in range(1, len(points)):
        at = points[g, axis]
        low = min(low, at)
        high = max(high, at)
    return low, high


@compiled
def _hold(middles: Array, path: Array) -> None:
    """Write a sphere that holds some points, (n, 3), generously: (4,) centre and radius [mm]."""
    for i in range(3):
        low, high = _extent(middles, i)
        path[i] = (low + high) / 2.0
    most = 0.0
    for g in range(len(middles)):
        x = middles[g, 0] - path[0]
        y = middles[g, 1] - path[1]
        z = middles[g, 2] - path[2]
        squared = x * x + y * y + z * z
        most = max(most, squared)
    path[3] = math.sqrt(most) + ROUNDING


@compiled
def lower_bounds(
    grids: Array,
    starts: Ints,
    counts: Ints,
    strides: Ints,
    spheres: Array,
    begins: Ints,
    others: Array,
    other_begins: Ints,
    groups: Ints,
    firsts: Ints,
    seconds: Ints,
    motion: Array,
    middles: Array,
    held: Array,
    paths: Array,
    out: Array,
) -> None:
    """Write a lower bound of the gap of each pair of solids, one of which moves against the other.

    Args:
        grids: (n, 4, 4) float, where mounts take what they carry, each on the grid of its own motions.
        starts: (groups, 2), of the mounts of each group, where in `grids` theirs begin.
        counts: (groups, motions), how many grid points each motion has, 1 for those that matter not.
        strides: (groups, 2, motions), by how much the index into a mount's grid grows with each.
        spheres: (n, 4) float, centres and radii of what moves [mm].
        begins: where the spheres of each solid begin, and the end.
        others: (m, 4) float, of what stands still [mm].
        other_begins: where the spheres of each of these begin, and the end.
        groups: (pairs,), the group of each pair; those of one follow each other.
        firsts: (pairs,), the solid of each pair that moves; those of one follow each other.
        seconds: (pairs,), the solid that stands still.
        motion: (largest grid, 3, 4) float; work space.
        middles: (most spheres of a solid, largest grid, 3) float; work space.
        held: (most spheres of a solid,) float; work space.
        paths: (most spheres of a solid, 4) float; work space.
        out: (pairs,) float; written to [mm].
    """
    grid = 0
    for p in range(len(out)):
        group = groups[p]
        is_new = p == 0 or group != groups[p - 1]
        if is_new:
            grid = seen_from(
                grids[starts[group, 0] :],
                grids[starts[group, 1] :],
                counts[group],
                strides[group, 0],
                strides[group, 1],
                motion,
            )
        first = begins[firsts[p]]
        count = begins[firsts[p] + 1] - first
        if is_new or firsts[p] != firsts[p - 1]:
            for j in range(count):
                held[j] = _move(motion[:grid], counts[group], spheres[first + j], middles[j])
                _hold(middles[j, :grid], paths[j])
        bound = math.inf
        for k in range(other_begins[seconds[p]], other_begins[seconds[p] + 1]):
            a = others[k, 0]
            b = others[k, 1]
            c = others[k, 2]
            r = others[k, 3]
            for j in range(count):
                x = paths[j, 0] - a
                y = paths[j, 1] - b
                z = paths[j, 2] - c
                # A sphere whose whole path is further off than the nearest so far is left out.
                enough = bound + held[j] + r + paths[j, 3]
                if enough > 0.0 and x * x + y * y + z * z > enough * enough:
                    continue
                least = math.inf
                for g in range(grid):
                    x = middles[j, g, 0] - a
                    y = middles[j, g, 1] - b
                    z = middles[j, g, 2] - c
                    squared = x * x + y * y + z * z
                    least = min(least, squared)
                bound = min(bound, math.sqrt(least) - held[j] - r)
        out[p] = bound


@compiled
def grow(motion: Array, counts: Ints, spheres: Array, middles: Array, box: Array) -> None:
    """Grow a box until it holds spheres at all their positions.

    Args:
        motion: (grid, 3, 4) float.
        counts: (motions,), how many grid points each motion has.
        spheres: (n, 4) float, centres and radii [mm].
        middles: (grid, 3) float; work space.
        box: (2, 3) float, lowest and highest x, y, z; written to [mm].
    """
    for k in range(len(spheres)):
        held = _move(motion, counts, spheres[k], middles)
        for i in range(3):
            low, high = _extent(middles[: len(motion)], i)
            box[0, i] = min(box[0, i], low - held)
            box[1, i] = max(box[1, i], high + held)


@compiled
def grow_all(
    grids: Array,
    starts: Ints,
    counts: Ints,
    strides: Ints,
    spheres: Array,
    begins: Ints,
    of: Ints,
    motion: Array,
    middles: Array,
    boxes: Array,
) -> None:
    """Grow boxes until each holds the spheres of a body at all its positions.

    Args:
        grids: as `lower_bounds`.
        starts: (bodies, 2), as `lower_bounds`, of the body's mount and what it is seen from.
        counts: (bodies, motions), as `lower_bounds`.
        strides: (bodies, 2, motions), as `lower_bounds`.
        spheres: (n, 4) float, centres and radii [mm].
        begins: where the spheres of each body begin, and the end.
        of: (bodies,), which of `starts` each body has.
        motion: (largest grid, 3, 4) float; work space.
        middles: (largest grid, 3) float; work space.
        boxes: (bodies, 2, 3) float, lowest and highest x, y, z; written to [mm].
    """
    for i in range(len(boxes)):
        k = of[i]
        grid = seen_from(
            grids[starts[k, 0] :],
            grids[starts[k, 1] :],
            counts[k],
            strides[k, 0],
            strides[k, 1],
            motion,
        )
        grow(motion[:grid], counts[k], spheres[begins[i] : begins[i + 1]], middles, boxes[i])
