"""Centreline: a tube's axis as straight lines and circular arcs that meet tangentially."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.vector import Point, Vector, mirrored, point, unit, vector

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


@dataclass(frozen=True, slots=True)
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
        used = 0.0  # of the leg before corner i, by the arc at corner i - 1
        for i in range(1, len(points) - 1):
            before, after = unit(points[i] - points[i - 1]), unit(points[i + 1] - points[i])
            turn = float(np.arctan2(np.linalg.norm(np.cross(before, after)), before @ after))
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
        return sum(piece.length for piece in self.pieces)

    @property
    def start(self) -> Point:
        """First point."""
        return self.pieces[0].start

    @property
    def end(self) -> Point:
        """Last point."""
        return self.pieces[-1].end

    @property
    def is_straight(self) -> bool:
        """Whether it is one line."""
        return len(self.pieces) == 1 and isinstance(self.pieces[0], Line)

    @property
    def tightest(self) -> float | None:
        """Smallest bend radius [mm]; None where straight."""
        radii = [piece.radius for piece in self.pieces if isinstance(piece, Arc)]
        return min(radii) if radii else None

    def at(self, s: float) -> Vector:
        """Point at `s`, on the end tangents beyond the ends: (3,) float [mm]."""
        return self._locate(s)[0]

    def tangent(self, s: float) -> Vector:
        """Unit direction toward the end at `s`: (3,) float."""
        return self._locate(s)[1]

    def points(self, s: Array) -> Array:
        """Points at each `s`: (n,) float -> (n, 3) float [mm]."""
        return np.array([self.at(float(x)) for x in s]).reshape(-1, 3)

    def frame(self, s: float) -> tuple[Vector, Vector]:
        """Directions of a section's height and width at `s`: two (3,) unit vectors.

        Width is the lateral direction (y) made square to the axis (x where the axis runs along y);
        height = tangent × width turned upright, so that (width, height, tangent) is right-handed.
        """
        t = self.tangent(s)
        lateral = np.array([0.0, 1.0, 0.0])
        if abs(float(t[1])) > 0.9:
            lateral = np.array([1.0, 0.0, 0.0])
        width = unit(lateral - (lateral @ t) * t)
        height = np.cross(t, width)
        return height, width

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

    def _locate(self, s: float) -> tuple[Vector, Vector]:
        rest = s
        last = len(self.pieces) - 1
        for i, piece in enumerate(self.pieces):
            if rest <= piece.length or i == last:
                return _on_piece(piece, rest)
            rest -= piece.length
        raise AssertionError("unreachable")


def _on_piece(piece: Piece, s: float) -> tuple[Vector, Vector]:
    """Point and unit tangent at `s` of one piece; beyond its ends on the end tangents."""
    if isinstance(piece, Line):
        t = unit(vector(piece.end) - vector(piece.start))
        return vector(piece.start) + s * t, t
    centre = vector(piece.centre)
    out = unit(vector(piece.start) - centre)
    chord = vector(piece.end) - vector(piece.start)
    along = unit(chord - (chord @ out) * out)
    inside = min(max(s, 0.0), piece.length)
    phi = inside / piece.radius
    t = -np.sin(phi) * out + np.cos(phi) * along
    p = centre + piece.radius * (np.cos(phi) * out + np.sin(phi) * along)
    return p + (s - inside) * t, t


class BendError(ValueError):
    """A bend that cannot be made; `bend` is its index."""

    def __init__(self, bend: int, message: str) -> None:
        super().__init__(message)
        self.bend = bend
