"""A dropout's metal, filled, as what cuts plates that reach into it, and what towers take of it.

Without the CAD kernel.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.section import Section
from frame3d.geometry.vector import vector
from frame3d.pivots.sockets import socket
from frame3d.plates.hoods import Bar
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.towers import Tower, places, towers
from frame3d.tubes.hardware import Arm
from frame3d.tubes.tube import Dropout, Tube

FINE = 0.005
"""How far a polygon that stands for a plate's edge is off it [mm]."""
SIDE_VIEW = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


class Slab:
    """An extrusion, asked how deep points lie in it."""

    def __init__(self, solid: Extrusion) -> None:
        self._plane, self._low, self._high = solid.plane, solid.low, solid.high
        self._rim = solid.path.points(FINE)
        corners = [
            solid.plane.place(np.column_stack([self._rim, np.full(len(self._rim), height)]))
            for height in (solid.low, solid.high)
        ]
        both = np.concatenate(corners)
        self.box: tuple[Array, Array] = (both.min(axis=0), both.max(axis=0))

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""
        local = self._plane.of(points)
        height = local[:, 2]
        across = np.minimum(height - self._low, self._high - height)
        return np.asarray(np.minimum(_deep(self._rim, local[:, :2]), across))


@dataclass(frozen=True)
class Filled:
    """What of a dropout cuts others: plate and hoods, or boss, ears, arms and sockets; and blocks."""

    name: str
    parts: tuple[Slab | Envelope, ...]
    box: tuple[Array, Array]

    @classmethod
    def of(cls, dropout: Dropout, tubes: Mapping[str, Tube]) -> Filled:
        """Return the metal of a dropout, before stays cut it and holes are made."""
        parts = tuple(_parts(dropout, tubes))
        low = np.min([part.box[0] for part in parts], axis=0)
        high = np.max([part.box[1] for part in parts], axis=0)
        return cls(dropout.name, parts, (low, high))

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""
        found = np.full(len(points), -np.inf)
        for part in self.parts:
            found = np.maximum(found, part.depth(points))
        return found

    def meets(self, solid: Extrusion) -> bool:
        """Whether its box and that of a flat solid meet."""
        low, high = Slab(solid).box
        return bool((low <= self.box[1]).all() and (self.box[0] <= high).all())

    def near(self, points: Array, within: float = 0.0) -> Mask:
        """Which points lie in the box or `within` mm of it: (n, 3) -> (n,)."""
        low, high = self.box[0] - within, self.box[1] + within
        return np.asarray(((points >= low) & (points <= high)).all(axis=1))


def less_towers(
    dropout: Dropout, tubes: Mapping[str, Tube], features: Sequence[Feature]
) -> Dropout:
    """Return a flat dropout without what a brake mount's towers, which go through it, take of it."""
    plate = dropout.plate
    if plate is None:
        return dropout
    taken = 0.0
    for feature in features:
        if feature.side != dropout.side:
            continue
        for tower in towers(feature, tubes[feature.tube]):
            taken += _in_tower(tower, dropout, tubes)
    return replace(dropout, plate=replace(plate, volume=plate.volume - taken)) if taken else dropout


def _in_tower(tower: Tower, dropout: Dropout, tubes: Mapping[str, Tube]) -> float:
    """Return what a tower has in common with a flat dropout outside of its stays and holes [mm³]."""
    points, amounts, step = places(tower)
    filled = Filled.of(dropout, tubes)
    near = filled.near(points)
    if not near.any():
        return 0.0
    points, amounts, step = points[near], amounts[near], step[near]
    deep = filled.depth(points)
    assert dropout.plate is not None
    stays = [Envelope.of(tubes[name], name) for name, _ in dropout.stays]
    gone: list[Slab | Envelope] = [*stays, *map(Slab, dropout.plate.cut_outs(0.0))]
    for body in gone:
        deep = np.minimum(deep, -body.depth(points))
    return float(amounts @ np.clip(deep / step + 0.5, 0.0, 1.0))


def _parts(dropout: Dropout, tubes: Mapping[str, Tube]) -> Iterator[Slab | Envelope]:
    ends = [socket(dropout, tubes[name], which) for name, which in dropout.stays]
    if dropout.plate is not None:
        yield Slab(dropout.plate.metal)
    else:
        x, y, z = dropout.axle
        low, high = sorted((-y, -y - math.copysign(dropout.thickness, y)))
        yield Slab(Extrusion(Path.circle(x, z, dropout.boss), SIDE_VIEW, low, high))
        for ear in dropout.ears:
            yield Slab(Extrusion(Path.of_flat(ear), SIDE_VIEW, -ear.high, -ear.low))
        for end in ends:
            if end.arm is not None:
                yield _block(end.arm)
    for end in ends:
        if end.joined:
            yield Bar.of(end).envelope
    for one in () if dropout.mount is None else dropout.mount.blocks:
        yield Slab(one.metal)


def _block(arm: Arm) -> Envelope:
    """Return a tapering block."""
    axis = Centreline((Line(arm.start, arm.end),))
    sharp = ((0.0, 0.0, 0.0, 0.0),) * 2
    section = Section((0.0, axis.length), arm.height, arm.width, (0.0, 0.0), sharp)
    ends = np.stack((vector(arm.start), vector(arm.end)))
    size = math.hypot(max(arm.height), max(arm.width)) / 2
    box = (ends.min(axis=0) - size, ends.max(axis=0) + size)
    return Envelope("arm", Bar(axis, section), 0.0, axis.length, box)


def _deep(rim: Array, points: Array) -> Array:
    """Return how far inside a polygon points lie: (n, 2) -> (n,) [mm]; negative outside."""
    x, y = points[:, 0], points[:, 1]
    inside = np.zeros(len(points), dtype=bool)
    nearest = np.full(len(points), np.inf)
    for (x0, y0), (x1, y1) in zip(rim.tolist(), np.roll(rim, -1, axis=0).tolist(), strict=True):
        dx, dy = x1 - x0, y1 - y0
        square = dx * dx + dy * dy
        if square == 0.0:
            continue
        share = np.clip(((x - x0) * dx + (y - y0) * dy) / square, 0.0, 1.0)
        far = (x - x0 - share * dx) ** 2 + (y - y0 - share * dy) ** 2
        nearest = np.minimum(nearest, far)
        if y0 != y1:
            inside ^= ((y0 > y) != (y1 > y)) & (x < x0 + (y - y0) / dy * dx)
    return np.asarray(np.where(inside, 1.0, -1.0) * np.sqrt(nearest))
