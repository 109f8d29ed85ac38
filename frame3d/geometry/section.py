"""A tube's outer dimensions and wall thickness along its axis, piecewise linear."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array


@dataclass(frozen=True, slots=True)
class Section:
    """Elliptic outside and wall thickness at n ≥ 2 stations along the axis, linear between them.

    All tuples have n elements. `s` increases strictly from 0 to the axis length.
    """

    s: tuple[float, ...]
    """Distance along the axis from its start [mm]."""
    height: tuple[float, ...]
    """Outer size in the tube's upright plane [mm]."""
    width: tuple[float, ...]
    """Outer size sideways [mm]."""
    wall: tuple[float, ...]
    """Wall thickness [mm]; 0 for a solid bar."""

    @classmethod
    def round(cls, length: float, od: float, wall: float) -> Section:
        """Return a plain round tube; `wall` 0 for a bar."""
        return cls((0.0, length), (od, od), (od, od), (wall, wall))

    @property
    def is_round(self) -> bool:
        """Whether every station is a circle."""
        return self.height == self.width

    @property
    def is_straight_sided(self) -> bool:
        """Whether the outside is the same along the whole axis."""
        return len(set(self.height)) == 1 and len(set(self.width)) == 1

    @property
    def corners(self) -> tuple[int, ...]:
        """Indices of the first and last station, and of those where the outside changes its slope."""
        return self._corners(self.height, self.width)

    @property
    def wall_corners(self) -> tuple[int, ...]:
        """Indices of the first and last station, and of those where the wall changes its slope."""
        return self._corners(self.wall)

    def _corners(self, *rows: tuple[float, ...]) -> tuple[int, ...]:
        slopes = [(np.diff(row) / np.diff(self.s)).tolist() for row in rows]
        inner = [
            i
            for i in range(1, len(self.s) - 1)
            if any(abs(slope[i] - slope[i - 1]) > 1e-9 for slope in slopes)
        ]
        return (0, *inner, len(self.s) - 1)

    @property
    def is_solid(self) -> bool:
        """Whether it is a bar without a bore."""
        return not any(self.wall)

    def height_at(self, s: Array | float) -> Array:
        """Return the outer height at `s` (any shape) [mm]."""
        return np.asarray(np.interp(s, self.s, self.height))

    def width_at(self, s: Array | float) -> Array:
        """Return the outer width at `s` (any shape) [mm]."""
        return np.asarray(np.interp(s, self.s, self.width))

    def wall_at(self, s: Array | float) -> Array:
        """Return the wall thickness at `s` (any shape) [mm]."""
        return np.asarray(np.interp(s, self.s, self.wall))

    def radii_at(self, s: Array | float, depth: float = 0.0) -> tuple[Array, Array]:
        """Return half height and half width of an ellipse within the wall at `s` (any shape) [mm].

        `depth` is the share of the wall: 0 the outside, 1 the inside (of a solid bar, the axis).
        """
        h, w = self.height_at(s) / 2, self.width_at(s) / 2
        if depth == 0.0:
            return h, w
        t = self.wall_at(s)
        solid = t <= 0
        return (
            np.where(solid, h * (1 - depth), h - depth * t),
            np.where(solid, w * (1 - depth), w - depth * t),
        )

    def area_at(self, s: Array | float) -> Array:
        """Return the area of metal at `s` (any shape) [mm²]: between two ellipses, or a full ellipse."""
        h, w, t = self.height_at(s), self.width_at(s), self.wall_at(s)
        bore = np.where(t > 0, (h - 2 * t) * (w - 2 * t), 0.0)
        return np.asarray(np.pi / 4 * (h * w - bore))
