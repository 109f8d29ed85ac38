"""Positions of a suspension's points for many designs at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from frame3d.geometry.arrays import Array, Complex
from frame3d.geometry.centreline import Centreline
from frame3d.linkage.points import Coordinate, given_value
from frame3d.parameters.models.suspension import PointSpec, SuspensionSpec, coordinates

ManyOnTube: TypeAlias = Callable[[str, str, Array, Array], Complex]
"""(tube, ``from_start`` or ``from_end``, its values, offsets) -> positions; all (n,)."""
Values: TypeAlias = Mapping[Coordinate, Array]
"""(point, coordinate) -> its value in each of n designs, (n,) [mm]."""
_NODES: Final = ("bottom_bracket", "rear_axle")


def beside(axis: Centreline, s: Array, offset: Array) -> Complex:
    """Return points beside an axis, as `frame3d.linkage.points.beside` does.

    Args:
        axis: of a tube.
        s: lengths along it, (n,) [mm].
        offset: distances from it, positive above it or ahead of it where it is vertical, (n,) [mm].
    """
    points, tangents = axis.points(s), axis.tangents(s)
    away = tangents[:, 0] + 1j * tangents[:, 2]
    square = 1j * away / np.abs(away)
    turned = (square.imag < -1e-9) | ((np.abs(square.imag) <= 1e-9) & (square.real < 0))
    at = points[:, 0] + 1j * points[:, 2] + offset * np.where(turned, -square, square)
    return np.asarray(at, dtype=np.complex128)


def values_of(suspension: SuspensionSpec) -> dict[Coordinate, float]:
    """Return the file's values of all coordinates [mm]; 0 for those that it leaves out."""
    return {
        (name, key): given_value(suspension, (name, key))
        for name, place in suspension.points.items()
        for key in coordinates(place)
    }


@dataclass(frozen=True)
class Places:
    """How the points of a suspension follow from their coordinates."""

    suspension: SuspensionSpec
    """Only what its points are given from is taken of it, no number."""
    points: tuple[str, ...]
    """In the order of the results."""

    def positions(self, values: Values, axle: Complex, on_tube: ManyOnTube) -> Complex:
        """Return the drawn positions of all points, (n, p) complex, x + i·z [mm].

        Args:
            values: of all coordinates.
            axle: the rear axle, (n,).
            on_tube: returns positions on tubes.
        """
        known: dict[str, Complex] = {"bottom_bracket": np.zeros_like(axle), "rear_axle": axle}

        def place(name: str) -> Complex:
            if name not in known:
                known[name] = self._place(name, values, place, on_tube)
            return known[name]

        return np.stack([place(name) for name in self.points], axis=1)

    def _place(
        self, name: str, values: Values, of: Callable[[str], Complex], on_tube: ManyOnTube
    ) -> Complex:
        spec = self.suspension.points[name]
        one, two = (values[name, key] for key in coordinates(spec))
        if not isinstance(spec, PointSpec):
            return one + 1j * two
        if spec.is_on_tube:
            return on_tube(spec.on, coordinates(spec)[0], one, two)
        return of(spec.on) + (one + 1j * two)

    def drifts(
        self, values: Values, moved: Sequence[Coordinate], on_tube: ManyOnTube
    ) -> list[Complex]:
        """Return the derivatives of all points' positions by coordinates, (n, p) each [mm/mm].

        As `frame3d.linkage.points.drift` does: on a tube, the difference over 1 mm.
        """
        found = []
        for name, key in moved:
            here = values[name, key]
            if key in ("x", "forward"):
                own = np.ones(len(here), dtype=np.complex128)
            elif key in ("z", "above"):
                own = np.full(len(here), 1j)
            else:
                spec = self.suspension.points[name]
                assert isinstance(spec, PointSpec)
                along, across = coordinates(spec)
                ends = []
                for by in (-0.5, 0.5):
                    there = {**values, (name, key): here + by}
                    ends.append(on_tube(spec.on, along, there[name, along], there[name, across]))
                own = ends[1] - ends[0]
            follows = np.array([self._follows(point, name) for point in self.points])
            found.append(np.where(follows, own[:, None], 0))
        return found

    def _follows(self, point: str, name: str) -> bool:
        """Whether a point is given from another, directly or through others."""
        while point != name:
            spec = self.suspension.points.get(point)
            if not isinstance(spec, PointSpec) or spec.is_on_tube:
                return False
            point = spec.on
        return True
