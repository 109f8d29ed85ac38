"""The slot in a tube's end into which the tang of a built fork's dropout is set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.extrusion import Plane
from frame3d.tubes.hardware import FORK_DROPOUT
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Tube


@dataclass(frozen=True, slots=True)
class TangSlot:
    """The space of a plate's tang: a box that begins outside of the tube."""

    plane: Plane
    heights: tuple[float, float]
    """Of its faces above the plane, the lower one first [mm]."""
    sides: tuple[float, float]
    """y of its sides in the plane, the lower one first [mm]."""
    end: float
    """x of its end in the plane [mm]."""

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""
        x, y, h = self.plane.of(points).T
        aside = np.minimum(y - self.sides[0], self.sides[1] - y)
        across = np.minimum(h - self.heights[0], self.heights[1] - h)
        return np.asarray(np.minimum(np.minimum(aside, across), self.end - x))

    def near(self, points: Array, within: float = 0.0) -> Mask:
        """Which points lie in it or `within` mm of it: (n, 3) -> (n,)."""
        return np.asarray(self.depth(points) >= -within)


def tang_slots(tube: Tube, plates: Iterable[Plate]) -> tuple[TangSlot, ...]:
    """Return the slots for the dropouts that a tube ends on; none but in a built fork's blades."""
    found = []
    for plate in plates:
        if plate.key != FORK_DROPOUT or plate.name != tube.end.target:
            continue
        corners = np.array([edge.start for edge in plate.outline.outer.edges])
        end = float(corners[:, 0].max())
        sides = corners[corners[:, 0] > end - 1e-6, 1]
        found.append(
            TangSlot(
                plate.plane, (plate.low, plate.high), (float(sides.min()), float(sides.max())), end
            )
        )
    return tuple(found)
