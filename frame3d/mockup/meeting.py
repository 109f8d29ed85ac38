"""Overlaps of a model's parts: between which, where; clearances, and gaps between solids."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.options import Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.check import CRUMB
from frame3d.mockup.solid import block, bounds

if TYPE_CHECKING:
    from manifold3d import Manifold

TURNING: Final = ("front_", "rear_", "crank", "chainring", "pedal")
"""Beginnings of the names of parts that turn on the model."""
NEAR: Final = 4.0
"""Width of the neighbourhood around an overlap [mm]."""


@dataclass(frozen=True, eq=False)
class Meeting:
    """Two parts that overlap."""

    first: str
    second: str
    shared: Manifold
    """Their intersection."""

    @property
    def volume(self) -> float:
        """Volume of the overlap [mm³]."""
        return float(self.shared.volume())


def meetings(parts: Sequence[ModelPart]) -> Iterator[Meeting]:
    """Yield every two parts that overlap by more than `CRUMB`."""
    boxes = [bounds(part.solid) for part in parts]
    for (i, a), (j, b) in combinations(enumerate(parts), 2):
        if (boxes[i][0] >= boxes[j][1]).any() or (boxes[j][0] >= boxes[i][1]).any():
            continue
        shared = a.solid ^ b.solid
        if shared.volume() > CRUMB:
            yield Meeting(a.name, b.name, shared)


def clearance(options: Options, *names: str) -> float:
    """Return the clearance that parts keep from each other [mm]: more where one of them turns."""
    return options.turn if any(name.startswith(TURNING) for name in names) else options.fit


def neighbourhood(box: Array) -> Manifold:
    """Return the block that extends `NEAR` beyond a box (2, 3) [mm]."""
    return block(*(box + NEAR * np.array([[-1.0], [1.0]])))


def gap(a: Manifold, b: Manifold, around: Manifold, most: float) -> float:
    """Return the distance of two solids within a block, at most `most` [mm]; 0 where they overlap."""
    near, other = a ^ around, b ^ around
    if near.is_empty() or other.is_empty():
        return most
    return float(near.min_gap(other, most))
