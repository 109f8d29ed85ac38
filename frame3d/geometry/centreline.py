r"""A tube's axis as straight lines and circular arcs that meet tangentially.

An inner corner P with bend radius R becomes an arc from p to q, each R·tan(turn/2) from P:

      s = 0 o--------------p . . . . P
                               ` .    \  turn: angle between the directions of both legs
                                   `.  \
                           + centre  `. \
                                       ` q
                                          \
                                           o s = length
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import (
    Point,
    Vector,
    apart,
    cross,
    mirrored,
    pitched,
    point,
    unit,
    vector,
)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length [mm]."""
        return apart(self.start, self.end)


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
        """Arc length [mm]."""
        return self.radius * float(np.radians(self.angle))


Piece = Line | Arc


@dataclass(frozen=True)
class Centreline:
    """Pieces in order, tangent where they meet; `s` is the arc length from the start [mm]."""

    pieces: tuple[Piece, ...]
    pitch: float = 0.0
    """Angle by which its body was turned since the centreline was laid out, nose up [degrees]; the
    sections' upright direction is turned by it too, see `frames`."""

    @classmethod
    def through(cls, corners: tuple[Point, ...], radii: tuple[float, ...]) -> Centreline:
        """Return straight legs through `corners` (n ≥ 2), with inner corners rounded by `radii` (n − 2).

        Raises:
            ValueError: the numbers of corners and radii do not match.
            BendError: an arc does not fit its legs, two corners coincide, or a leg doubles back.
        """
        if len(corners) < 2 or len(radii) != len(corners) - 2:
            raise ValueError("need n corners and n - 2 radii")
        points = [vector(c) for c in corners]
        for i in range(len(points) - 1):
            if np.linalg.norm(points[i + 1] - points[i]) < 1e-6:
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
        """Length along the axis [mm]."""
        return self._length

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
    def _length(self) -> float:
        if self.is_straight:
            return self.pieces[0].length
        return float(self.starts[-1])

    @cached_property
    def starts(self) -> Array:
        """Arc length `s` at which each of m pieces starts, and the whole length: (m + 1,) [mm]."""
        return np.concatenate(([0.0], np.cumsum([piece.length for piece in self.pieces])))

    def at(self, s: float) -> Vector:
        """Return the point at `s`, on the end tangent beyond an end: (3,) float [mm]."""
        if self.is_straight:
            start, t = self._line
            return start + s * t
        return np.array(self._table.place(float(s))[0])

    def tangent(self, s: float) -> Vector:
        """Return the unit tangent at `s`, toward the end: (3,) float."""
        if self.is_straight:
            return self._line[1].copy()
        return np.array(self._table.place(float(s))[1])

    def points(self, s: Array) -> Array:
        """Return the point at each `s`, on end tangents beyond the ends: (n,) -> (n, 3) float [mm]."""
        return self._locate(np.asarray(s, dtype=np.float64))[0]

    def tangents(self, s: Array) -> Array:
        """Return the unit tangent at each `s`, toward the end: (n,) -> (n, 3) float."""
        return self._locate(np.asarray(s, dtype=np.float64))[1]

    def frame(self, s: float) -> tuple[Vector, Vector]:
        """Return the directions of a section's height and width at `s`, (3,) unit vectors.

        See `frames`.
        """
        if self.is_straight:
            up, across = self._line_frame
            return up.copy(), across.copy()
        height, width = self._directions(np.array([self._table.place(float(s))[1]]))
        return height[0], width[0]

    def frames(self, s: Array) -> tuple[Array, Array, Array]:
        """Return points, height directions and width directions at each `s`: (n,) -> three (n, 3) float.

        Width is the component of y (left) normal to the axis. If the axis comes near the direction y
        anywhere, height is the component of z (up) normal to the axis instead; if it comes near both y
        and z, width is the component of x. One rule holds for the whole centreline, so that directions
        are continuous. For a pitched centreline, x and z are the axes before the pitch. (width, height,
        tangent) is right-handed.
        """
        s = np.asarray(s, dtype=np.float64)
        if self.is_straight:
            start, t = self._line
            up, across = self._line_frame
            points = start + s[:, None] * t
            return points, _rows(up, len(s)), _rows(across, len(s))
        points, tangents = self._locate(s)
        return points, *self._directions(tangents)

    def _directions(self, t: Array) -> tuple[Array, Array]:
        """Return height and width directions for unit tangents (n, 3)."""
        name, reference = self.held
        square = reference - (t @ reference)[:, None] * t
        square /= np.sqrt(np.einsum("ij,ij->i", square, square))[:, None]
        if name == "height":
            return square, cross(square, t)
        return cross(t, square), square

    @cached_property
    def held(self) -> tuple[str, Vector]:
        """The rule of `frames`: ``width`` or ``height``, and the unit vector that it follows, (3,)."""
        if self.is_straight:
            t = self._line[1][None]
        else:
            ends, steps = self.starts, np.linspace(0.0, 1.0, 9)
            _, t = self._locate((ends[:-1, None] + steps * np.diff(ends)[:, None]).ravel())
        if max(map(abs, t[:, 1].tolist())) <= 0.9:
            return "width", np.array([0.0, 1.0, 0.0])
        up, ahead = (vector(pitched(way, self.pitch)) for way in ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
        if float(np.abs(t @ up).max()) <= 0.9:
            return "height", up
        return "width", ahead

    def nearest(self, points: Array) -> Array:
        """Return the nearest place on the centreline to each point: (n, 3) float -> `s` (n,) float [mm].

        Beyond its ends the centreline continues along its end tangents, so `s` may be negative or larger
        than the length.
        """
        return self.approach(points)[0]

    def approach(self, points: Array) -> tuple[Array, Array]:
        """Return `s` as `nearest` does, and the distances: (n, 3) float -> two (n,) float [mm]."""
        p = np.asarray(points, dtype=np.float64)
        if self.is_straight:
            start, t = self._line
            d = p - start
            s = d @ t
            d -= s[:, None] * t
            return s, np.sqrt(np.einsum("ij,ij->i", d, d))
        table = self._table
        s, squared = table.to_lines(p)
        if len(table.arcs):
            s_arcs, squared_arcs = table.to_arcs(p)
            s, squared = np.concatenate((s, s_arcs)), np.concatenate((squared, squared_arcs))
        best = squared.argmin(axis=0) * len(p) + np.arange(len(p))
        return s.take(best), np.sqrt(squared.take(best))

    def curvatures(self, s: Array) -> Array:
        """How the centreline bends at each `s`, toward the bend's centre, zero where it is straight:
        (n,) float -> (n, 3) float [1/mm].
        """
        bend = np.zeros((len(s), 3))
        for start, piece in zip(self.starts, self.pieces, strict=False):
            if isinstance(piece, Arc):
                within = (s > start) & (s < start + piece.length)
                bend[within] = vector(piece.centre) - self.points(s[within])
                bend[within] /= piece.radius**2
        return bend

    def trimmed(self, start: float, end: float) -> Centreline:
        """Return the centreline without its first `start` and last `end` mm.

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
            p = piece.start if a == 0.0 else point(self.at(at + a))
            q = piece.end if b == piece.length else point(self.at(at + b))
            if whole:
                pieces.append(piece)
            elif isinstance(piece, Line):
                pieces.append(Line(p, q))
            else:
                angle = float(np.degrees((b - a) / piece.radius))
                pieces.append(Arc(p, q, piece.centre, piece.radius, angle))
        return Centreline(tuple(pieces), self.pitch)

    def mirrored(self) -> Centreline:
        """Return the mirror image in the centre plane."""
        return self._moved(mirrored, self.pitch)

    def moved(self, motion: SideMotion) -> Centreline:
        """Return the centreline moved in the side view."""
        return self._moved(motion.point, self.pitch + motion.turn)

    def _moved(self, move: Callable[[Point], Point], pitch: float) -> Centreline:
        """Return the centreline with every point moved by an isometry."""

        def moved(piece: Piece) -> Piece:
            start, end = move(piece.start), move(piece.end)
            if isinstance(piece, Line):
                return Line(start, end)
            return replace(piece, start=start, end=end, centre=move(piece.centre))

        return Centreline(tuple(moved(piece) for piece in self.pieces), pitch)

    @cached_property
    def _line_frame(self) -> tuple[Vector, Vector]:
        """Height and width direction of a straight centreline."""
        name, reference = self.held
        t = self._line[1]
        square = unit(reference - (t @ reference) * t)
        return (square, cross(square, t)) if name == "height" else (cross(t, square), square)

    @cached_property
    def _line(self) -> tuple[Vector, Vector]:
        """Start and direction of a straight centreline."""
        a = vector(self.start)
        return a, unit(vector(self.end) - a)

    @cached_property
    def _table(self) -> _Table:
        return _Table(self)

    def _locate(self, s: Array) -> tuple[Array, Array]:
        """Return points and unit tangents at each `s`: (n,) -> two (n, 3)."""
        if self.is_straight:
            start, t = self._line
            return start + s[:, None] * t, _rows(t, len(s))
        return self._table.locate(s)


_Row: TypeAlias = tuple[Point, Point, Point, float, float, float]
"""A row of `_Table`: origin, out, along, radius, curved, curvature."""


class _Table:
    """The pieces of a centreline as arrays, one row a piece; a line has curvature 0."""

    def __init__(self, centreline: Centreline) -> None:
        pieces, self.s = centreline.pieces, centreline.starts
        rows = [arc_axes(p) if isinstance(p, Arc) else _line_axes(p) for p in pieces]
        self.origin, self.out, self.along = (np.array(column) for column in zip(*rows, strict=True))
        self.radius = np.array([p.radius if isinstance(p, Arc) else 0.0 for p in pieces])
        self.curved = np.array([p.length if isinstance(p, Arc) else 0.0 for p in pieces])
        self.curvature = np.array([1 / p.radius if isinstance(p, Arc) else 0.0 for p in pieces])
        self.arcs = np.flatnonzero(self.radius)
        self._inner = self.s[1:-1]
        self._columns = np.stack((self.origin.T, self.out.T, self.along.T))
        lines = [i for i, p in enumerate(pieces) if isinstance(p, Line)]
        low = [0.0 if i else -np.inf for i in lines]
        high = [pieces[i].length if i < len(pieces) - 1 else np.inf for i in lines]
        start, along, s = list(self.origin[lines]), list(self.along[lines]), list(self.s[lines])
        # Beyond a bend at either end, the end tangent is a line of its own.
        for at, first in ((0.0, True), (centreline.length, False)):
            if isinstance(pieces[0 if first else -1], Arc):
                (point,), (tangent,) = self.locate(np.array([at]))
                start.append(point)
                along.append(tangent)
                s.append(at)
                low.append(-np.inf if first else 0.0)
                high.append(0.0 if first else np.inf)
        self._lines = (
            np.array(start).reshape(-1, 1, 3),
            np.array(along).reshape(-1, 1, 3),
            np.array(s)[:, None],
            np.array(low).reshape(-1, 1, 1),
            np.array(high).reshape(-1, 1, 1),
        )
        i = self.arcs
        self._arcs = (
            self.origin[i][:, None],
            np.stack((self.out[i], self.along[i]), axis=1),
            self.radius[i][:, None],
            (self.curved[i] * self.curvature[i])[:, None],
            self.s[i][:, None],
        )

    @cached_property
    def _plain(self) -> tuple[list[_Row], list[float], list[float]]:
        """The rows as plain numbers; where each starts; and where all but the first do."""
        columns = (self.origin, self.out, self.along, self.radius, self.curved, self.curvature)
        rows = list(zip(*(column.tolist() for column in columns), strict=True))
        return rows, self.s.tolist(), self._inner.tolist()

    def place(self, s: float) -> tuple[Point, Point]:
        """Return the point and the unit tangent at `s`, as `locate`, which takes ten times as long."""
        rows, starts, inner = self._plain
        i = bisect_left(inner, s)
        (px, py, pz), (ox, oy, oz), (ax, ay, az), radius, curved, curvature = rows[i]
        local = s - starts[i]
        if not radius:
            return (px + local * ax, py + local * ay, pz + local * az), (ax, ay, az)
        inside = min(max(local, 0.0), curved)
        phi = inside * curvature
        cos, sin = float(np.cos(phi)), float(np.sin(phi))
        beyond = local - inside
        x, y, z = cos * ax - sin * ox, cos * ay - sin * oy, cos * az - sin * oz
        at = (
            px + radius * (cos * ox + sin * ax) + beyond * x,
            py + radius * (cos * oy + sin * ay) + beyond * y,
            pz + radius * (cos * oz + sin * az) + beyond * z,
        )
        return at, (x, y, z)

    def locate(self, s: Array) -> tuple[Array, Array]:
        """Return points and unit tangents at each `s`: (n,) -> two (n, 3)."""
        if len(s) == 1:
            at, tangent = self.place(float(s[0]))
            return np.array([at]), np.array([tangent])
        i = self._inner.searchsorted(s, side="left")
        local = s - self.s.take(i)
        inside = np.minimum(np.maximum(local, 0.0), self.curved.take(i))
        phi = inside * self.curvature.take(i)
        # Along columns: numpy is slow over rows of three.
        origin, out, along = self._columns.take(i, 2)
        cos, sin = np.cos(phi), np.sin(phi)
        t = cos * along
        t -= sin * out
        out *= cos
        along *= sin
        out += along
        out *= self.radius.take(i)
        out += origin
        out += (local - inside) * t
        return np.ascontiguousarray(out.T), np.ascontiguousarray(t.T)

    def to_lines(self, p: Array) -> tuple[Array, Array]:
        """Return nearest `s` and squared distance of points to each line: (n, 3) -> two (m, n)."""
        start, along, s, low, high = self._lines
        d = p - start
        t = np.matmul(d, along.transpose(0, 2, 1))
        np.minimum(np.maximum(t, low, out=t), high, out=t)
        d -= t * along
        return s + t[:, :, 0], np.einsum("mnk,mnk->mn", d, d)

    def to_arcs(self, p: Array) -> tuple[Array, Array]:
        """Return nearest `s` and squared distance of points to each arc: (n, 3) -> two (m, n)."""
        origin, axes, radius, turn, s = self._arcs
        d = p - origin
        u, v = np.matmul(axes, d.transpose(0, 2, 1)).transpose(1, 0, 2)
        phi = np.arctan2(v, u)
        # Outside the arc, the nearer end is found by halving the rest of the circle.
        phi[phi < turn / 2 - np.pi] += 2 * np.pi
        np.minimum(np.maximum(phi, 0.0, out=phi), turn, out=phi)
        squared = np.einsum("mnk,mnk->mn", d, d) + radius**2
        squared -= 2 * radius * (u * np.cos(phi) + v * np.sin(phi))
        return s + phi * radius, np.maximum(squared, 0.0)


def _rows(v: Vector, count: int) -> Array:
    """Return the vector as each of `count` rows: (count, 3), faster than `np.broadcast_to`."""
    rows = np.empty((count, 3))
    rows[:] = v
    return rows


def _line_axes(piece: Line) -> tuple[Vector, Vector, Vector]:
    """Return start, zero vector, and unit direction: the row of a line in `_Table`."""
    start = vector(piece.start)
    return start, np.zeros(3), unit(vector(piece.end) - start)


def arc_axes(piece: Arc) -> tuple[Vector, Vector, Vector]:
    """Return centre, unit direction to the start, and unit tangent there: the row of an arc."""
    centre = vector(piece.centre)
    out = unit(vector(piece.start) - centre)
    chord = vector(piece.end) - vector(piece.start)
    return centre, out, unit(chord - (chord @ out) * out)


def widths_of_lines(tangents: Array, pitches: Sequence[float]) -> Array:
    """Return the width directions of straight centrelines, as `Centreline.frame`, all at once.

    Args:
        tangents: (n, 3) unit.
        pitches: of each [degrees].

    Returns:
        (n, 3) unit.
    """
    pitch = np.radians(pitches)
    lateral = np.abs(tangents[:, 1]) > 0.9  # as `Centreline.held`: height is held, else width
    held = np.zeros_like(tangents)
    held[:, 0] = np.where(lateral, -np.sin(pitch), 0.0)
    held[:, 1] = np.where(lateral, 0.0, 1.0)
    held[:, 2] = np.where(lateral, np.cos(pitch), 0.0)
    square = held - np.einsum("ij,ij->i", tangents, held)[:, None] * tangents
    square /= np.sqrt(np.einsum("ij,ij->i", square, square))[:, None]
    return np.where(lateral[:, None], cross(square, tangents), square)


class BendError(ValueError):
    """A bend that cannot be made; `bend` is its index."""

    def __init__(self, bend: int, message: str) -> None:
        super().__init__(message)
        self.bend = bend
