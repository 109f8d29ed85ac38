"""Bounding spheres of many solids; those of plain bars, which most are, worked out together."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from frame3d.bodies.shapes import SHORT, Disc, PlacedShape, Solid, Tubular
from frame3d.geometry.arrays import Array, Ints


def spheres_of(solids: Sequence[Solid]) -> tuple[Array, Ints]:
    """Return the bounding spheres of solids one after another, and where each solid's begin.

    Returns:
        (n, 4) float, centres and radii, as `bounding_spheres` [mm]; (solids + 1,), the last is n.
    """
    bars: list[tuple[float, ...]] = []
    discs: list[tuple[float, ...]] = []
    of_bars: list[int] = []
    of_discs: list[int] = []
    others: list[tuple[int, Array]] = []
    for i, solid in enumerate(solids):
        if isinstance(solid, Tubular):
            if _is_bar(solid):
                of_bars.append(i)
                bars.append((*solid.axis.start, *solid.axis.end, max(solid.section.height)))
                continue
        elif isinstance(solid.shape, Disc):
            of_discs.append(i)
            discs.append(_of_disc(solid, solid.shape))
            continue
        others.append((i, solid.bounding_spheres))
    counts: Ints = np.ones(len(solids), dtype=np.int64)
    for i, own in others:
        counts[i] = len(own)
    rows = np.array(bars).reshape(-1, 7)
    along = rows[:, 3:6] - rows[:, :3]
    length = np.linalg.norm(along, axis=1)
    counts[of_bars] = np.maximum(np.ceil(length / np.maximum(SHORT, rows[:, 6])), 1)
    begins = np.concatenate(([0], np.cumsum(counts)))
    out = np.empty((int(begins[-1]), 4))
    out[begins[of_discs]] = np.array(discs).reshape(-1, 4)
    for i, own in others:
        out[begins[i] : begins[i + 1]] = own
    # Of each bar's length an equal share to each sphere, about its middle.
    own_counts = counts[of_bars]
    of = np.repeat(np.arange(len(rows)), own_counts)
    rank = np.arange(len(of)) - (np.cumsum(own_counts) - own_counts)[of]
    share = length / own_counts
    place = begins[of_bars][of] + rank
    out[place, :3] = rows[of, :3] + ((rank + 0.5) / own_counts[of])[:, None] * along[of]
    out[place, 3] = np.hypot(share / 2, rows[:, 6] / 2)[of]
    return out, begins


def _is_bar(tube: Tubular) -> bool:
    """Return whether a tube is straight and round, with flat ends where its axis ends."""
    return (
        tube.flat == (True, True)
        and tube.trimmed == (0.0, 0.0)
        and tube.axis.is_straight
        and tube.section.is_round
    )


def _of_disc(placed: PlacedShape, disc: Disc) -> tuple[float, float, float, float]:
    """Return the one sphere about a solid of revolution."""
    heights = [height for _, height in disc.profile]
    middle = (min(heights) + max(heights)) / 2
    reach = max(math.hypot(across, height - middle) for across, height in disc.profile)
    (x, y, z), (ahead, left, up) = placed.origin, placed.axes[1]
    return x + middle * ahead, y + middle * left, z + middle * up, reach
