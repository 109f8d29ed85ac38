"""Centreline: a tube's axis as straight lines and circular arcs that meet tangentially."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.vector import Point, Vector, cross, mirrored, point, unit, vector

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """[mm]"""
        return float(np.linalg.norm(vector(self.end) - vector(self.start)))


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular piece, turning from `start` to `end` about `centre` by less than 180 degrees."""

    start: Point
    end: Point
    centre: Point
    radius: float
    angle: float
    """Swept angle [degrees]."""

    @property
    def length(self) -> float:
        """[mm]"""
        return self.radius * float(np.radians(self.angle))


Piece = Line | Arc


@dataclass(frozen=True)
class Centreline:
    """Pieces in order, tangent where they meet; `s` is the distance along it from the start [mm]."""

    pieces: tuple[Piece, ...]

    @classmethod
    def through(cls, corners: tuple[Point, ...], radii: tuple[float, ...]) -> Centreline:
        """Straight legs through `corners` (n ≥ 2), each inner corner rounded by its radius (n − 2).

        Raises:
            BendError: an arc does not fit its legs, two corners coincide, or a leg doubles back.
        """
        if len(corners) < 2 or len(radii) != len(corners) - 2:
            raise ValueError("need n corners and n - 2 radii")
        points = [vector(c) for c in corners]
        for i in range(len(points) - 1):
            if np.linalg.norm(points[i + 1] - points[i]) < 1e-9:
                raise BendError(i, "two corners lie at the same place")
        pieces: list[Piece] = []
        here = points[0]
        for i in range(1, len(points) - 1):
            before, after = unit(points[i] - points[i - 1]), unit(points[i + 1] - points[i])
            turn = float(np.arctan2(np.linalg.norm(cross(before, after)), before @ after))
            if turn < 1e-9:
                continue
            if turn > np.radians(179):
                raise BendError(i - 1, "the tube doubles back on itself here")
            tangent = radii[i - 1] * float(np.tan(turn / 2))
            leg = float(np.linalg.norm(points[i] - here))
            rest = float(np.linalg.norm(points[i + 1] - points[i]))
            if tangent > leg + 1e-9:
                raise BendError(
                    i - 1,
                    f"its arc needs {tangent:.1f} mm of the leg before it, which has {leg:.1f} mm",
                )
            if tangent > rest + 1e-9:
                raise BendError(
                    i - 1,
                    f"its arc needs {tangent:.1f} mm of the leg after it, which has {rest:.1f} mm",
                )
            p, q = points[i] - tangent * before, points[i] + tangent * after
            inward = unit(after - before)
            centre = points[i] + inward * (radii[i - 1] / float(np.cos(turn / 2)))
            if np.linalg.norm(p - here) > 1e-9:
                pieces.append(Line(point(here), point(p)))
            pieces.append(
                Arc(point(p), point(q), point(centre), radii[i - 1], float(np.degrees(turn)))
            )
            here = q
        if np.linalg.norm(points[-1] - here) > 1e-9:
            pieces.append(Line(point(here), corners[-1]))
        return cls(tuple(pieces))

    @property
    def length(self) -> float:
        """[mm]"""
        return float(self.starts[-1])

    @property
    def start(self) -> Point:
        """First point."""
        return self.pieces[0].start

    @property
    def end(self) -> Point:
        """Last point."""
        return self.pieces[-1].end

    @cached_property
    def is_straight(self) -> bool:
        """Whether it is one line."""
        return len(self.pieces) == 1 and isinstance(self.pieces[0], Line)

    @property
    def tightest(self) -> float | None:
        """Smallest bend radius [mm]; None where straight."""
        radii = [piece.radius for piece in self.pieces if isinstance(piece, Arc)]
        return min(radii) if radii else None

    @cached_property
    def starts(self) -> Array:
        """Distance along the centreline at which each piece starts, and the length: (m + 1,) [mm]."""
        return np.concatenate(([0.0], np.cumsum([piece.length for piece in self.pieces])))

    def at(self, s: float) -> Vector:
        """Point at `s`, on the end tangents beyond the ends: (3,) float [mm]."""
        return np.asarray(self._locate(np.array([s]))[0][0])

    def tangent(self, s: float) -> Vector:
        """Unit direction toward the end at `s`: (3,) float."""
        return np.asarray(self._locate(np.array([s]))[1][0])

    def points(self, s: Array) -> Array:
        """Points at each `s`, on the end tangents beyond the ends: (n,) float -> (n, 3) float [mm]."""
        return self._locate(np.asarray(s, dtype=np.float64))[0]

    def frame(self, s: float) -> tuple[Vector, Vector]:
        """Directions of a section's height and width at `s`: two (3,) unit vectors.

        See `frames`.
        """
        _, height, width = self.frames(np.array([s]))
        return height[0], width[0]

    def frames(self, s: Array) -> tuple[Array, Array, Array]:
        """Points, height and width directions at each `s`: (n,) float -> three (n, 3) float.

        Width is the lateral direction (y) made square to the axis. Where the axis runs along y
        somewhere, height is instead the upright direction (z) made square to it, and where it runs
        along both, width is x made square to it; one rule for the whole centreline, so that the
        frame never jumps. (width, height, tangent) is right-handed.
        """
        s = np.asarray(s, dtype=np.float64)
        if self.is_straight:
            start, t = self._line
            up, across = self._line_frame
            shape = (len(s), 3)
            points = start + s[:, None] * t
            return points, np.broadcast_to(up, shape), np.broadcast_to(across, shape)
        points, tangents = self._locate(s)
        return points, *self._directions(tangents)

    def _directions(self, t: Array) -> tuple[Array, Array]:
        """Height and width directions for tangents (n, 3)."""
        name, reference = self._reference
        square = reference - (t @ reference)[:, None] * t
        square /= np.linalg.norm(square, axis=1)[:, None]
        if name == "height":
            return square, cross(square, t)
        return cross(t, square), square

    @cached_property
    def _reference(self) -> tuple[str, Vector]:
        """Which direction of the frame is held, and to what."""
        ends, steps = self.starts, np.linspace(0.0, 1.0, 9)
        _, t = self._locate((ends[:-1, None] + steps * np.diff(ends)[:, None]).ravel())
        steepest = np.abs(t).max(axis=0)
        if steepest[1] <= 0.9:
            return "width", np.array([0.0, 1.0, 0.0])
        if steepest[2] <= 0.9:
            return "height", np.array([0.0, 0.0, 1.0])
        return "width", np.array([1.0, 0.0, 0.0])

    def nearest(self, points: Array) -> Array:
        """Where each point comes nearest to the centreline: (n, 3) float -> `s` (n,) float [mm].

        Beyond the ends the centreline runs on along its end tangents, so `s` may lie outside it.
        """
        p = np.asarray(points, dtype=np.float64)
        if self.is_straight:
            start, t = self._line
            return np.asarray((p - start) @ t)
        first, last = self.tangent(0.0), self.tangent(self.length)
        s = [np.minimum((p - vector(self.start)) @ first, 0.0)]
        s += [
            at + _nearest_on_piece(piece, p)
            for at, piece in zip(self.starts, self.pieces, strict=False)
        ]
        s += [self.length + np.maximum((p - vector(self.end)) @ last, 0.0)]
        gaps = [np.sum((self._locate(x)[0] - p) ** 2, axis=1) for x in s]
        best = np.argmin(np.stack(gaps), axis=0)
        return np.asarray(np.stack(s)[best, np.arange(len(p))])

    def trimmed(self, start: float, end: float) -> Centreline:
        """The same without its first `start` and last `end` mm.

        Raises:
            ValueError: nothing would be left.
        """
        low, high = max(start, 0.0), self.length - max(end, 0.0)
        if high - low < 1e-9:
            raise ValueError("nothing is left of the centreline")
        pieces: list[Piece] = []
        for at, piece in zip(self.starts, self.pieces, strict=False):
            a, b = max(low - at, 0.0), min(high - at, piece.length)
            if b - a < 1e-9:
                continue
            whole = a == 0.0 and b == piece.length
            p = piece.start if a == 0.0 else point(_on_piece(piece, np.array([a]))[0][0])
            q = piece.end if b == piece.length else point(_on_piece(piece, np.array([b]))[0][0])
            if whole:
                pieces.append(piece)
            elif isinstance(piece, Line):
                pieces.append(Line(p, q))
            else:
                angle = float(np.degrees((b - a) / piece.radius))
                pieces.append(Arc(p, q, piece.centre, piece.radius, angle))
        return Centreline(tuple(pieces))

    def mirrored(self) -> Centreline:
        """The same on the other side of the centre plane."""
        out: list[Piece] = []
        for piece in self.pieces:
            if isinstance(piece, Line):
                out.append(Line(mirrored(piece.start), mirrored(piece.end)))
            else:
                out.append(
                    Arc(
                        mirrored(piece.start),
                        mirrored(piece.end),
                        mirrored(piece.centre),
                        piece.radius,
                        piece.angle,
                    )
                )
        return Centreline(tuple(out))

    @cached_property
    def _line_frame(self) -> tuple[Vector, Vector]:
        """Height and width direction of a straight centreline."""
        height, width = self._directions(self._line[1][None])
        return height[0], width[0]

    @cached_property
    def _line(self) -> tuple[Vector, Vector]:
        """Start and direction of a straight centreline."""
        a = vector(self.start)
        return a, unit(vector(self.end) - a)

    def _locate(self, s: Array) -> tuple[Array, Array]:
        """Points and unit tangents at each `s`: (n,) -> two (n, 3)."""
        if self.is_straight:
            start, t = self._line
            return start + s[:, None] * t, np.broadcast_to(t, (len(s), 3))
        index = np.searchsorted(self.starts[1:-1], s, side="left")
        points, tangents = np.empty((len(s), 3)), np.empty((len(s), 3))
        for i, piece in enumerate(self.pieces):
            here = index == i
            if here.any():
                points[here], tangents[here] = _on_piece(piece, s[here] - self.starts[i])
        return points, tangents


def _on_piece(piece: Piece, s: Array) -> tuple[Array, Array]:
    """Points and unit tangents at `s` of one piece; beyond its ends on the end tangents."""
    if isinstance(piece, Line):
        a = vector(piece.start)
        t = unit(vector(piece.end) - a)
        return a + s[:, None] * t, np.broadcast_to(t, (len(s), 3))
    centre, out, along = _arc_axes(piece)
    inside = np.clip(s, 0.0, piece.length)
    phi = inside[:, None] / piece.radius
    radial = np.cos(phi) * out + np.sin(phi) * along
    t = np.cos(phi) * along - np.sin(phi) * out
    return centre + piece.radius * radial + (s - inside)[:, None] * t, t


def _nearest_on_piece(piece: Piece, p: Array) -> Array:
    """Where points (n, 3) come nearest to a piece, within its ends: (n,) [mm]."""
    if isinstance(piece, Line):
        a = vector(piece.start)
        return np.asarray(np.clip((p - a) @ unit(vector(piece.end) - a), 0.0, piece.length))
    centre, out, along = _arc_axes(piece)
    d = p - centre
    turn = np.radians(piece.angle)
    # The angle from the middle of the arc, so that the cut of arctan2 lies opposite to it.
    middle = np.cos(turn / 2) * out + np.sin(turn / 2) * along
    square = np.cos(turn / 2) * along - np.sin(turn / 2) * out
    phi = np.arctan2(d @ square, d @ middle) + turn / 2
    return np.asarray(np.clip(phi, 0.0, turn) * piece.radius)


def _arc_axes(piece: Arc) -> tuple[Vector, Vector, Vector]:
    """Centre, unit direction to the start, and unit tangent at the start."""
    centre = vector(piece.centre)
    out = unit(vector(piece.start) - centre)
    chord = vector(piece.end) - vector(piece.start)
    return centre, out, unit(chord - (chord @ out) * out)


class BendError(ValueError):
    """A bend that cannot be made; `bend` is its index."""

    def __init__(self, bend: int, message: str) -> None:
        super().__init__(message)
        self.bend = bend
