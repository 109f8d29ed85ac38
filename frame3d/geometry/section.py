"""A tube's outer dimensions and wall thickness along its axis, piecewise linear.

The outside is an ellipse, or a rectangle with rounded corners (`rounded`), of which a D is one. Whoever
needs a point of it, its level, area or circumference asks `Section`, which knows which of them it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry import rounded
from frame3d.geometry.arrays import Array
from frame3d.geometry.ellipse import girth
from frame3d.geometry.rounded import Rounds


@dataclass(frozen=True, slots=True)
class Section:
    """Outside and wall thickness at n ≥ 2 stations along the axis, linear between them.

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
    rounds: tuple[Rounds, ...] = ()
    """Radii of the outside's corners (`rounded`) [mm]; empty where it is an ellipse."""

    @classmethod
    def round(cls, length: float, od: float, wall: float) -> Section:
        """Return a plain round tube; `wall` 0 for a bar."""
        return cls((0.0, length), (od, od), (od, od), (wall, wall))

    @property
    def is_round(self) -> bool:
        """Whether every station is a circle."""
        return self.height == self.width and not self.rounds

    @property
    def is_d(self) -> bool:
        """Whether the outside is a D: rounded, with corners of different radii."""
        return any(len(set(one)) > 1 for one in self.rounds)

    @property
    def is_straight_sided(self) -> bool:
        """Whether the outside is the same along the whole axis."""
        rows: tuple[tuple[object, ...], ...] = (self.height, self.width, self.rounds)
        return all(len(set(row)) <= 1 for row in rows)

    @property
    def corners(self) -> tuple[int, ...]:
        """Indices of the first and last station, and of those where the outside changes its slope."""
        return self._corners(self.height, self.width, *zip(*self.rounds, strict=True))

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
        return _linear(s, self.s, self.height)

    def width_at(self, s: Array | float) -> Array:
        """Return the outer width at `s` (any shape) [mm]."""
        return _linear(s, self.s, self.width)

    def wall_at(self, s: Array | float) -> Array:
        """Return the wall thickness at `s` (any shape) [mm]."""
        return _linear(s, self.s, self.wall)

    def radii_at(self, s: Array | float, depth: Array | float = 0.0) -> tuple[Array, Array]:
        """Return half height and half width of an ellipse within the wall at `s` (any shape) [mm].

        `depth` is the share of the wall: 0 the outside, 1 the inside (of a solid bar, the axis); one for
        all, or one each.
        """
        h, w = self.height_at(s) / 2, self.width_at(s) / 2
        if _is_outside(depth):
            return h, w
        t = self.wall_at(s)
        solid = t <= 0
        return (
            np.where(solid, h * (1 - depth), h - depth * t),
            np.where(solid, w * (1 - depth), w - depth * t),
        )

    def rounds_at(self, s: Array, depth: Array | float = 0.0) -> Array:
        """Return the radii of the corners at `s`: (n,) -> (n, 4) [mm]; `depth` as for `radii_at`."""
        columns = zip(*self.rounds, strict=True)
        radii = np.stack([np.interp(s, self.s, column) for column in columns], axis=1)
        if _is_outside(depth):
            return radii
        t, depth = self.wall_at(s)[:, None], _column(depth)
        return np.where(t > 0, radii - depth * t, radii * (1 - depth))

    def _outline(self, s: Array, depth: Array | float = 0.0) -> tuple[Array, Array, Array]:
        """Return half height, half width and radii of a rounded outline at `s`: (n,), (n,), (n, 4)."""
        return *self.radii_at(s, depth), self.rounds_at(s, depth)

    def place(self, phi: Array, s: Array, depth: Array | float = 0.0) -> tuple[Array, Array]:
        """Return where points of the outside or within the wall lie: along height and width, (n,) each.

        Args:
            phi: around the section, from its height direction toward its width direction [degrees]:
                the ellipse's parameter; of rounded outlines as `rounded` has it, so that points of
                one phi lie on one line square to the outside.
            s: places along the axis, (n,) or (1,) for all [mm].
            depth: as for `radii_at`.
        """
        turn = np.radians(phi)
        if not self.rounds:
            a, b = self.radii_at(s, depth)
            return a * np.cos(turn), b * np.sin(turn)
        s = np.broadcast_to(s, np.shape(phi))
        points, normal, _ = rounded.place(phi, *self._outline(s))
        if not _is_outside(depth):
            t, depth = self.wall_at(s)[:, None], _column(depth)
            points = np.where(t > 0, points - depth * t * normal, points * (1 - depth))
        return points[:, 0], points[:, 1]

    def strip(self, phi: Array, s: Array, depth: Array | float = 0.0) -> Array:
        """Return the area of wall in a radian of phi and all of the depth, at a depth: (n,) [mm²].

        That is the Jacobian of `place` by depth and phi; its mean over both, times 2 pi, is the area.
        """
        wall = self.wall_at(s)
        if not self.rounds:
            height, width = self.radii_at(s)
            a, b = self.radii_at(s, depth)
            cos, sin = np.cos(np.radians(phi)), np.sin(np.radians(phi))
            ring = wall * (b * cos**2 + a * sin**2)
            return np.where(wall > 0, ring, height * width * (1 - depth))
        a, b, radii = self._outline(s)
        points, normal, signed = rounded.place(phi, a, b, radii)
        speed = np.abs(signed)
        which = np.minimum((np.asarray(phi) % 360.0 / 90.0).astype(np.int64), 3)
        bend = np.where(signed < 0, 1 / radii[np.arange(len(which)), which], 0.0)
        ring = wall * speed * (1 - depth * wall * bend)
        return np.where(wall > 0, ring, np.sum(points * normal, axis=1) * speed * (1 - depth))

    def level(self, u: Array, v: Array, s: Array, depth: float = 0.0) -> Array:
        """Return how far points lie outside of the section: (n,) each.

        Args:
            u: along the section's height from the axis [mm].
            v: along its width [mm].
            s: where along the axis [mm].
            depth: as for `radii_at`.

        Returns:
            Negative inside, 0 on the outline; the distance where the section is round or rounded,
            else a measure that has only its sign and zero in common with it.
        """
        if self.rounds:
            return rounded.level(u, v, *self._outline(s, depth))
        height, width = self.radii_at(s, depth)
        return np.asarray((np.hypot(u / height, v / width) - 1) * np.minimum(height, width))

    def phi_of(self, u: Array, v: Array, s: Array) -> Array:
        """Return the phi of points on the outside, as `place` takes it: (n,) each -> (n,) [degrees]."""
        if self.rounds:
            return rounded.phi_of(u, v, *self._outline(s))
        a, b = self.radii_at(s)
        return np.asarray(np.degrees(np.arctan2(v / b, u / a)))

    def extent(self, s: Array, u: Array, v: Array) -> Array:
        """Return how far the outside reaches in directions (u, v) along height and width: (n,) each.

        Of unit vectors in mm from the axis; at places `s` (n,).
        """
        if self.rounds:
            return rounded.support(u, v, *self._outline(s))
        a, b = self.radii_at(s)
        return np.asarray(np.hypot(a * u, b * v))

    @property
    def furthest(self) -> float:
        """Distance of the outside's furthest point from the axis [mm]."""
        if not self.rounds:
            return max(*self.height, *self.width) / 2
        return float(rounded.furthest(*self._outline(np.array(self.s))).max())

    def girth_at(self, s: float) -> float:
        """Return the circumference of the outside at `s` [mm]."""
        if not self.rounds:
            return girth(float(self.height_at(s)), float(self.width_at(s)))
        return float(rounded.girth(*self._outline(np.array([s])))[0])

    def quarters(self, s: float) -> Array:
        """Return the length around a rounded outside from phi = 0 to 0, 90, 180, 270, 360: (5,) [mm]."""
        a, b, radii = (np.repeat(x, 4, axis=0) for x in self._outline(np.array([s])))
        _, _, speed = rounded.place(np.array([45.0, 135.0, 225.0, 315.0]), a, b, radii)
        return np.concatenate([[0.0], np.cumsum(np.abs(speed) * np.pi / 2)])

    def bore(self) -> Section:
        """Return the section of what the wall encloses, as if that were the outside; walls stay."""
        rows = (tuple(x - 2 * t for x, t in zip(size, self.wall, strict=True))
                for size in (self.height, self.width))  # fmt: skip
        height, width = rows
        rounds = tuple(
            (a - t, b - t, c - t, d - t)
            for (a, b, c, d), t in zip(self.rounds, self.wall, strict=False)
        )
        return replace(self, height=height, width=width, rounds=rounds)

    def moments_at(self, s: Array) -> tuple[Array, Array]:
        """Return first and second moments of the area of metal about the axis, at `s` (n,).

        Returns:
            (n, 2) first moments along height and width [mm³]; (n, 2) second ones [mm⁴].
        """
        hollow = (self.wall_at(s) > 0)[:, None]
        if self.rounds:
            first, second = rounded.moments(*self._outline(s))
            less, lesser = rounded.moments(*self._outline(s, 1.0))
            return np.where(hollow, first - less, first), np.where(hollow, second - lesser, second)
        h, w, t = self.height_at(s), self.width_at(s), self.wall_at(s)
        h1, w1 = hollow[:, 0] * (h - 2 * t), hollow[:, 0] * (w - 2 * t)
        along_height = np.pi / 64 * (w * h**3 - w1 * h1**3)
        along_width = np.pi / 64 * (h * w**3 - h1 * w1**3)
        return np.zeros((len(h), 2)), np.stack([along_height, along_width], axis=1)

    def full_area_at(self, s: float) -> float:
        """Return the area within the outside at `s` [mm²], bore and all."""
        if self.rounds:
            return float(rounded.area(*self._outline(np.array([s])))[0])
        a, b = (float(size) for size in self.radii_at(s))
        return float(np.pi * a * b)

    def area_at(self, s: Array | float) -> Array:
        """Return the area of metal at `s` (any shape) [mm²]: of the outside, less that of the bore."""
        if self.rounds:
            at = np.atleast_1d(np.asarray(s, dtype=np.float64))
            whole, inner = (rounded.area(*self._outline(at.ravel(), x)) for x in (0.0, 1.0))
            left = np.where(self.wall_at(at.ravel()) > 0, whole - inner, whole)
            return left.reshape(np.shape(s))
        h, w, t = self.height_at(s), self.width_at(s), self.wall_at(s)
        bore = np.where(t > 0, (h - 2 * t) * (w - 2 * t), 0.0)
        return np.asarray(np.pi / 4 * (h * w - bore))


def _linear(s: Array | float, places: tuple[float, ...], sizes: tuple[float, ...]) -> Array:
    """Return a size at `s` (any shape), linear between places and constant beyond them."""
    if sizes.count(sizes[0]) == len(sizes):
        return np.full(np.shape(s), sizes[0])
    return np.asarray(np.interp(s, places, sizes))


def _is_outside(depth: Array | float) -> bool:
    """Return whether one depth stands for all, and is that of the outside."""
    return not isinstance(depth, np.ndarray) and depth == 0.0


def _column(depth: Array | float) -> Array | float:
    """Return depths as a column, one for all as it is."""
    return depth[:, None] if isinstance(depth, np.ndarray) else depth
