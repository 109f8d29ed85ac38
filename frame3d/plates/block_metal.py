"""How a block of a brake mount stands on its plate, and its volume, without the CAD kernel.

In a block's own axes of the side view, t across the bolt and b along it, out of the face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.outline import Outline
from frame3d.geometry.vector import Point, point, vector
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.on_dropout import Block
from frame3d.tubes.tube import Dropout

FINE: Final = 0.002
"""How far a polygon that stands for a plate's edge is off it [mm]."""
GRID: Final = (48, 36, 60)
"""Places at which a block's metal is looked for where stays meet it: along y, t and b."""


def on_plate(block: Block, side: Array) -> Array:
    """Return points (x, z) of the side view as t and b from the middle of a block's face: (n, 2)."""
    t, b = block.along[[0, 2]], vector(block.way)[[0, 2]]
    off = np.asarray(side) - vector(block.face)[[0, 2]]
    return np.stack((off @ t, off @ b), axis=-1)


def footing(block: Block, outline: Outline, axle: Point, lap: float) -> tuple[float, float]:
    """Return how much of a block's foot lies off its plate, and how high the plate is in its hole.

    Args:
        block: on the plate.
        outline: of the plate, from the axle.
        axle: the axle.
        lap: how far it laps over the plate [mm].

    Returns:
        What of its width, at its foot, has no metal under it; by how much the plate, where the hole is,
        lies above the hole's lower end, 0 where it does not; both [mm].
    """
    rims = [_in_axes(block, path.points(FINE), axle) for path in (outline.outer, *outline.inner)]
    t = (np.arange(400) + 0.5) / 400 * block.width - block.width / 2
    off = 0.0
    for share in (0.02, 0.98):
        foot = np.column_stack([t, np.full(len(t), -block.length + share * lap)])
        off = max(off, float((~_inside(rims, foot)).mean()) * block.width)
    hole = block.hole / 2
    within = _clipped(rims[0], (-hole, hole, -block.depth, 0.0))
    high = float(within[:, 1].max()) + block.depth if len(within) else 0.0
    return off, high


def weighed(block: Block, outline: Outline, dropout: Dropout, joined: Sequence[Envelope]) -> Block:
    """Return a block with volume and centre of its metal outside of plate, hoods and stays.

    Args:
        block: it, with nothing of these in its hole.
        outline: of the plate, from the axle.
        dropout: what it stands on; its thickness lies between the block's sides.
        joined: outsides of stays and of their hoods or sockets.
    """
    rim = _in_axes(block, outline.outer.points(FINE), dropout.axle)
    half = block.width / 2
    box = (-half, half, -block.length, 0.0)
    wide, y = block.outer - block.inner, block.face[1]
    volume = wide * block.width * block.length
    moment = volume * np.array([(block.inner + block.outer) / 2, 0.0, -block.length / 2])
    area, first = _area(_clipped(rim, box))
    gone = area * dropout.thickness
    middle = dropout.axle[1] + dropout.thickness / 2
    moment -= dropout.thickness * np.array([area * middle, *first])
    drilled = np.pi / 4 * block.hole**2 * block.depth
    moment -= drilled * np.array([y, 0.0, -block.depth / 2])
    taken, moved = _in_stays(block, rim, dropout, joined)
    volume, moment = volume - gone - drilled - taken, moment - moved
    at, t, b = (moment / volume).tolist()
    centre = vector(block.face) + t * block.along + b * vector(block.way)
    centre[1] = at
    return replace(block, volume=float(volume), centre=point(centre))


def _in_stays(
    block: Block, rim: Array, dropout: Dropout, joined: Sequence[Envelope]
) -> tuple[float, Array]:
    """Return volume and moment of a block's metal beside its plate that stays and hoods take.

    On a grid; at a surface a place counts by how deep it lies.
    """
    sizes = (block.outer - block.inner, block.width, block.length)
    low = (block.inner, -block.width / 2, -block.length)
    axes = [
        a + size * (np.arange(n) + 0.5) / n for a, size, n in zip(low, sizes, GRID, strict=True)
    ]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    way, along, face = vector(block.way), block.along, vector(block.face)
    places = face + grid[:, 1:2] * along + grid[:, 2:] * way
    places[:, 1] = grid[:, 0]
    step = max(size / n for size, n in zip(sizes, GRID, strict=True))
    near = np.zeros(len(places), dtype=bool)
    for body in joined:
        near |= body.near(places, step)
    if not near.any():
        return 0.0, np.zeros(3)
    grid, places = grid[near], places[near]
    deep = np.max([body.depth(places) for body in joined], axis=0)
    share = np.clip(deep / step + 0.5, 0.0, 1.0)
    inner, outer = sorted((dropout.axle[1], dropout.axle[1] + dropout.thickness))
    flat = _inside([rim], grid[:, 1:]) & (grid[:, 0] > inner) & (grid[:, 0] < outer)
    each = float(np.prod(sizes)) / float(np.prod(GRID))
    amount = each * np.where(flat, 0.0, share)
    return float(amount.sum()), np.asarray(amount @ grid)


def _in_axes(block: Block, path: Array, axle: Point) -> Array:
    """Return a path from the axle in a block's axes: (n, 2)."""
    return on_plate(block, path + np.array([axle[0], axle[2]]))


def _inside(rims: Sequence[Array], points: Array) -> Mask:
    """Return which points lie inside the first rim and outside of all others: (n, 2) -> (n,)."""
    found = np.zeros(len(points), dtype=bool)
    x, y = points[:, 0], points[:, 1]
    for rim in rims:
        for (x0, y0), (x1, y1) in zip(rim.tolist(), np.roll(rim, -1, axis=0).tolist(), strict=True):
            if y0 == y1:
                continue
            crossed = (y0 > y) != (y1 > y)
            found ^= crossed & (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return found


def _clipped(polygon: Array, box: tuple[float, float, float, float]) -> Array:
    """Return what of a polygon lies in a box (least and largest t, least and largest b): (m, 2).

    Parts of it may be joined by lines of no width along the box's sides.
    """
    sides = ((0, 1.0, box[0]), (0, -1.0, -box[1]), (1, 1.0, box[2]), (1, -1.0, -box[3]))
    found = polygon
    for axis, sign, at in sides:
        if not len(found):
            return found
        off = sign * found[:, axis] - at
        kept = []
        for p, q, d, e in zip(
            found, np.roll(found, -1, axis=0), off.tolist(), np.roll(off, -1).tolist(), strict=True
        ):
            if d >= 0:
                kept.append(p)
            if (d > 0 > e) or (d < 0 < e):
                kept.append(p + d / (d - e) * (q - p))
        found = np.array(kept).reshape(-1, 2)
    return found


def _area(polygon: Array) -> tuple[float, Array]:
    """Return area and first moments (2,) of an anticlockwise or clockwise polygon, as positive."""
    if len(polygon) < 3:
        return 0.0, np.zeros(2)
    a, b = polygon, np.roll(polygon, -1, axis=0)
    crossed = a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1]
    area = float(crossed.sum()) / 2
    first = ((a + b) * crossed[:, None]).sum(axis=0) / 6
    return (area, first) if area >= 0 else (-area, -first)
