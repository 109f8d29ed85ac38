"""A closed path as a flat solid: extruded square to its plane, anywhere on the bike."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import XY, Edge, Path
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import Point, Vector, cross, mirrored, point, vector


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane with axes of its own: x to the right and y up, seen from its front."""

    origin: Point
    x: Point
    """Unit direction of its x."""
    y: Point
    """Unit direction of its y, square to x."""

    @property
    def normal(self) -> Vector:
        """Unit normal, toward who looks at its front: (3,)."""
        return cross(vector(self.x), vector(self.y))

    def place(self, points: Array) -> Array:
        """Return points (x, y, height above the plane), (n, 3), in the bike's axes: (n, 3) [mm]."""
        axes = np.stack((vector(self.x), vector(self.y), self.normal))
        return np.asarray(vector(self.origin) + np.asarray(points) @ axes)

    def at(self, xy: XY, height: float = 0.0) -> Point:
        """Return the point at x and y, and a height above the plane [mm]."""
        return point(self.place(np.array([[xy[0], xy[1], height]]))[0])

    def of(self, points: Array) -> Array:
        """Return points of the bike, (n, 3), as x, y and height above the plane: (n, 3) [mm]."""
        axes = np.stack((vector(self.x), vector(self.y), self.normal))
        return np.asarray((np.asarray(points) - vector(self.origin)) @ axes.T)

    def mirrored(self) -> Plane:
        """Return the mirror image in the centre plane: what was above the plane is below it."""
        return Plane(mirrored(self.origin), mirrored(self.x), mirrored(self.y))

    def moved(self, motion: SideMotion) -> Plane:
        """Return the plane after a motion of the side view."""
        turn = replace(motion, x=0.0, z=0.0)
        return Plane(motion.point(self.origin), turn.point(self.x), turn.point(self.y))


@dataclass(frozen=True)
class Extrusion:
    """What is inside of a closed path, between two heights above its plane."""

    path: Path
    """Anticlockwise."""
    plane: Plane
    low: float
    high: float
    """Larger than `low` [mm]."""

    @property
    def thickness(self) -> float:
        """Thickness [mm]."""
        return self.high - self.low

    @property
    def volume(self) -> float:
        """Volume [mm³]."""
        return self.path.area * self.thickness

    def mirrored(self) -> Extrusion:
        """Return the mirror image in the centre plane."""
        return Extrusion(self.path, self.plane.mirrored(), -self.high + 0.0, -self.low + 0.0)

    def thickened(self, by: float) -> Extrusion:
        """Return the same, thicker on both faces by so much each [mm]."""
        return replace(self, low=self.low - by, high=self.high + by)

    def resized(self, by: float) -> Extrusion:
        """Return the same, larger by `by` in thickness and from edge to edge [mm].

        Corners move along the bisector of their sides; arcs keep their angle, so by a small part of
        `by` they are off where they meet a side at a corner.
        """
        found = []
        edges = self.path.edges
        for before, after in zip((edges[-1], *edges[:-1]), edges, strict=True):
            first, second = _way(before, 1.0), _way(after, 0.0)
            half = math.remainder(second - first, 2 * math.pi) / 2
            far = by / 2 / max(math.cos(half), 0.2)
            out = first + half - math.pi / 2
            x, y = after.start
            found.append((x + far * math.cos(out), y + far * math.sin(out), after.bulge))
        return replace(self.thickened(by / 2), path=Path(tuple(found)))

    def is_same(self, other: object) -> bool:
        """Whether both have the same path, plane and faces, within 1e-7 mm."""
        if not isinstance(other, Extrusion):
            return False
        if len(self.path.vertices) != len(other.path.vertices):
            return False
        ours, theirs = (
            np.concatenate(
                [
                    np.ravel(one.path.vertices),
                    one.plane.origin,
                    one.plane.x,
                    one.plane.y,
                    (one.low, one.high),
                ]
            )
            for one in (self, other)
        )
        return bool(np.allclose(ours, theirs, rtol=0, atol=1e-7))


def _way(edge: Edge, share: float) -> float:
    """Return the direction of an edge at its start (0) or end (1) [rad]."""
    chord = math.atan2(edge.end[1] - edge.start[1], edge.end[0] - edge.start[0])
    return chord + (share - 0.5) * edge.sweep
