r"""A closed path of straight lines and arcs in a plane, in the way of DXF's polylines.

Each vertex has a bulge: the tangent of a quarter of the angle that the arc to the next vertex turns
through, positive anticlockwise, 0 for a straight line (DXF Reference, LWPOLYLINE, group code 42)::

          .--- arc ---.
        .'             '.           bulge = tan(angle / 4) = 2 rise / chord
       /                 \
      o ----- chord ----- o         a half circle has a bulge of 1 or -1
    next               vertex
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.plane_moments import Moments, of_circular_segment, of_polygon

XY = tuple[float, float]
Vertex = tuple[float, float, float]
"""x, y [mm] and bulge of what leads to the next vertex."""
SAME = 1e-4
"""Places nearer than this are one where edges meet [mm]."""
TOUCH = 1e-7
"""Edges nearer than this touch [mm]."""


class CornerError(ValueError):
    """A corner of a polygon that cannot be rounded as asked."""

    def __init__(self, corner: int, message: str, most: float) -> None:
        super().__init__(message)
        self.corner = corner
        """Index of the corner."""
        self.most = most
        """Largest radius that fits there beside the others [mm]."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight line or an arc."""

    start: XY
    end: XY
    bulge: float = 0.0

    @property
    def is_arc(self) -> bool:
        """Whether it is an arc."""
        return self.bulge != 0.0

    @property
    def sweep(self) -> float:
        """Angle that it turns through, anticlockwise positive [rad]; 0 for a line."""
        return 4 * math.atan(self.bulge)

    @property
    def chord(self) -> float:
        """Distance between its ends [mm]."""
        return math.dist(self.start, self.end)

    @property
    def radius(self) -> float:
        """Radius [mm]; infinite for a line."""
        if not self.is_arc:
            return math.inf
        return self.chord * (1 + self.bulge**2) / (4 * abs(self.bulge))

    @property
    def centre(self) -> XY:
        """Centre of an arc [mm]."""
        assert self.is_arc
        (x0, y0), (x1, y1) = self.start, self.end
        share = (1 - self.bulge**2) / (4 * self.bulge)
        return (x0 + x1) / 2 - (y1 - y0) * share, (y0 + y1) / 2 + (x1 - x0) * share

    @property
    def length(self) -> float:
        """Length along it [mm]."""
        return self.radius * abs(self.sweep) if self.is_arc else self.chord

    @property
    def angles(self) -> XY:
        """Directions from an arc's centre that it lies between, anticlockwise from the first [rad]."""
        (x, y), tip = self.centre, self.start if self.bulge > 0 else self.end
        first = math.atan2(tip[1] - y, tip[0] - x)
        return first, first + abs(self.sweep)

    def at(self, share: float) -> XY:
        """Return the place at a share of its length, 0 to 1 [mm]."""
        (x0, y0), (x1, y1) = self.start, self.end
        if not self.is_arc:
            return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        (x, y), turn = self.centre, share * self.sweep
        c, s = math.cos(turn), math.sin(turn)
        return x + c * (x0 - x) - s * (y0 - y), y + s * (x0 - x) + c * (y0 - y)

    @property
    def extremes(self) -> list[XY]:
        """Highest and lowest places of an arc's circle that the arc passes, from its start on [mm]."""
        if not self.is_arc:
            return []
        (x, y), r, (first, last) = self.centre, self.radius, self.angles
        half = [math.pi * (k + 0.5) for k in range(-2, 4)]
        found = [(x, y + r * round(math.sin(turn))) for turn in half if first < turn < last]
        return found if self.bulge > 0 else found[::-1]

    def _spans(self, p: XY) -> bool:
        """Return whether the direction from an arc's centre to a place is one of the arc's."""
        first, last = self.angles
        turn = (math.atan2(p[1] - self.centre[1], p[0] - self.centre[0]) - first) % (2 * math.pi)
        return turn <= last - first

    def nearest(self, p: XY) -> XY:
        """Return its place nearest to another [mm]."""
        (x0, y0), (x1, y1) = self.start, self.end
        if not self.is_arc:
            dx, dy = x1 - x0, y1 - y0
            square = dx * dx + dy * dy
            if square == 0.0:  # two corners in one place, which `Path.crossings` tells
                return self.start
            share = ((p[0] - x0) * dx + (p[1] - y0) * dy) / square
            return self.at(min(max(share, 0.0), 1.0))
        far = math.dist(p, self.centre)
        if far == 0.0:
            return self.start
        if self._spans(p):
            (x, y), grown = self.centre, self.radius / far
            return x + (p[0] - x) * grown, y + (p[1] - y) * grown
        return min(self.start, self.end, key=lambda end: math.dist(p, end))

    def distance(self, p: XY) -> float:
        """Return the distance of a place from it [mm]."""
        return math.dist(p, self.nearest(p))

    def gap(self, other: Edge) -> tuple[float, XY]:
        """Return the least distance to another edge, and its place on this one [mm].

        It lies at an end, where they meet, or where a common normal passes through a circle's centre.
        """
        places = [self.start, self.end]
        places += [self.nearest(p) for p in (other.start, other.end, *_meetings(self, other))]
        for a, b in ((self, other), (other, self)):
            if a.is_arc and not b.is_arc:
                places.append(self.nearest(b.nearest(a.centre)))
        if self.is_arc and other.is_arc:
            (x, y), apart = self.centre, math.dist(self.centre, other.centre)
            if apart > 0:
                for r in (self.radius, -self.radius):
                    share = r / apart
                    on = (x + share * (other.centre[0] - x), y + share * (other.centre[1] - y))
                    places.append(self.nearest(on))
        best = min(places, key=other.distance)
        return other.distance(best), best

    def points(self, tolerance: float) -> list[XY]:
        """Return places along it without its end, whose chords are within `tolerance` of it [mm]."""
        if not self.is_arc:
            return [self.start]
        step = 2 * math.acos(max(1 - tolerance / self.radius, 0.0))
        n = max(1, math.ceil(abs(self.sweep) / step - 1e-9))
        return [self.start, *(self.at(i / n) for i in range(1, n))]


def _meetings(a: Edge, b: Edge) -> list[XY]:
    """Return where the lines or circles of two edges meet, on the edges or not; none if they are one."""
    if a.is_arc and b.is_arc:
        (x, y), apart = a.centre, math.dist(a.centre, b.centre)
        if apart < TOUCH:
            return []
        along = (apart**2 + a.radius**2 - b.radius**2) / (2 * apart)
        ux, uy = (b.centre[0] - x) / apart, (b.centre[1] - y) / apart
        return _beside(
            (x + along * ux, y + along * uy), (-uy, ux), a.radius**2 - along**2, a.radius
        )
    if a.is_arc or b.is_arc:
        arc, line = (a, b) if a.is_arc else (b, a)
        if line.chord == 0.0:
            return []
        ux, uy = ((line.end[i] - line.start[i]) / line.chord for i in (0, 1))
        cx, cy = arc.centre[0] - line.start[0], arc.centre[1] - line.start[1]
        along, off = cx * ux + cy * uy, cx * uy - cy * ux
        foot = (line.start[0] + along * ux, line.start[1] + along * uy)
        return _beside(foot, (ux, uy), arc.radius**2 - off**2, arc.radius)
    (px, py), (qx, qy) = a.start, b.start
    (rx, ry), (sx, sy) = ((e.end[0] - e.start[0], e.end[1] - e.start[1]) for e in (a, b))
    across = rx * sy - ry * sx
    if abs(across) <= 1e-12 * math.hypot(rx, ry) * math.hypot(sx, sy):
        return []
    share = ((qx - px) * sy - (qy - py) * sx) / across
    return [(px + share * rx, py + share * ry)]


def _beside(foot: XY, u: XY, square: float, radius: float) -> list[XY]:
    """Return the places on either side of `foot` along u, at the root of `square`; one if it is 0."""
    if square < -1e-12 * radius**2:
        return []
    far = math.sqrt(max(square, 0.0))
    return [(foot[0] + sign * far * u[0], foot[1] + sign * far * u[1]) for sign in (1.0, -1.0)]


@dataclass(frozen=True)
class Path:
    """A closed path; its last vertex leads to its first."""

    vertices: tuple[Vertex, ...]

    def __post_init__(self) -> None:
        if len(self.vertices) < 2 or (
            len(self.vertices) == 2 and not any(bulge for *_, bulge in self.vertices)
        ):
            raise ValueError("a closed path needs three vertices, or two and an arc")
        if not all(math.isfinite(v) for vertex in self.vertices for v in vertex):
            raise ValueError("a vertex is not finite")

    @classmethod
    def circle(cls, x: float, y: float, diameter: float) -> Path:
        """Return a circle, anticlockwise."""
        return cls(((x + diameter / 2, y, 1.0), (x - diameter / 2, y, 1.0)))

    @classmethod
    def slot(cls, x: float, y: float, length: float, width: float, angle: float = 0.0) -> Path:
        """Return a slot with round ends about (x, y), anticlockwise.

        Args:
            x: of its middle [mm].
            y: of its middle [mm].
            length: over all, at least its width [mm].
            width: [mm].
            angle: of its length from x, anticlockwise [degrees].
        """
        if length < width:
            raise ValueError("a slot is at least as long as wide")
        if length == width:
            return cls.circle(x, y, width)
        turn, half, r = math.radians(angle), (length - width) / 2, width / 2
        c, s = math.cos(turn), math.sin(turn)
        flat = ((-half, -r, 0.0), (half, -r, 1.0), (half, r, 0.0), (-half, r, 1.0))
        return cls(tuple((x + c * u - s * v, y + s * u + c * v, b) for u, v, b in flat))

    @classmethod
    def polygon(cls, points: Sequence[XY]) -> Path:
        """Return a path of straight lines through points."""
        return cls(tuple((float(x), float(y), 0.0) for x, y in points))

    @classmethod
    def rounded(cls, corners: Sequence[tuple[float, float, float]]) -> Path:
        """Return a polygon with rounded corners.

        Args:
            corners: x, y and radius of each, 0 for a sharp one [mm].

        Raises:
            CornerError: two corners' arcs need more than the edge between them, or an edge turns back.
        """
        n = len(corners)
        if n < 3:
            raise ValueError("a polygon needs three corners")
        sides = [_unit(corners[i], corners[(i + 1) % n], i) for i in range(n)]
        turns, needed = [], []
        for i, (x, y, r) in enumerate(corners):
            (ax, ay, _), (bx, by, _) = sides[i - 1], sides[i]
            turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
            if abs(turn) > math.pi - 1e-9:
                raise CornerError(i, f"the edge turns back at {x:g}, {y:g}", 0.0)
            turns.append(turn)
            needed.append(r * math.tan(abs(turn) / 2))
        for i, (x, y, _) in enumerate(corners):
            for other, side in ((i - 1, sides[i - 1]), ((i + 1) % n, sides[i])):
                if needed[i] and needed[i] + needed[other] > side[2] + 1e-9:
                    left = max(side[2] - needed[other], 0.0)
                    most = left / math.tan(abs(turns[i]) / 2)
                    raise CornerError(
                        i, f"the corner at {x:g}, {y:g} has room for at most {most:.2f} mm", most
                    )
        found: list[Vertex] = []
        for (x, y, _), back, ahead, turn, need in zip(
            corners, (sides[-1], *sides), sides, turns, needed, strict=False
        ):
            if need == 0.0:
                found.append((x, y, 0.0))
                continue
            found.append((x - need * back[0], y - need * back[1], math.tan(turn / 4)))
            found.append((x + need * ahead[0], y + need * ahead[1], 0.0))
        return cls(_without_doubles(found))

    @classmethod
    def of_flat(cls, flat: Flat) -> Path:
        """Return the outline of a hull of discs: x forward, y up, exact arcs."""
        if len(flat.rims) == 1:
            (rim,) = flat.rims
            return cls.circle(rim.x, rim.z, 2 * rim.radius)
        found: list[Vertex] = []
        for rim in flat.rims:
            found.append((*rim.at(rim.start), math.tan((rim.end - rim.start) / 4)))
            found.append((*rim.at(rim.end), 0.0))
        return cls(_without_doubles(found))

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """Lines and arcs, each from its vertex to the next."""
        following = (*self.vertices[1:], self.vertices[0])
        return tuple(
            Edge((x, y), (u, v), bulge)
            for (x, y, bulge), (u, v, _) in zip(self.vertices, following, strict=True)
        )

    @cached_property
    def moments(self) -> Moments:
        """Area, first and second moments, in closed form; negative for a clockwise path."""
        total = of_polygon([(x, y) for x, y, _ in self.vertices])
        for edge in self.edges:
            if edge.is_arc:
                total = total + of_circular_segment(edge.centre, edge.start, edge.sweep)
        return total

    @property
    def area(self) -> float:
        """Area inside [mm²]; negative for a clockwise path."""
        return self.moments.area

    @property
    def length(self) -> float:
        """Length around [mm]."""
        return sum(edge.length for edge in self.edges)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, largest x, largest y [mm]."""
        places = [(x, y) for x, y, _ in self.vertices]
        for edge in self.edges:
            if edge.is_arc:
                (x, y), r, (first, last) = edge.centre, edge.radius, edge.angles
                for quarter in range(math.ceil(first / (math.pi / 2)), 10):
                    turn = quarter * math.pi / 2
                    if turn > last:
                        break
                    places.append((x + r * math.cos(turn), y + r * math.sin(turn)))
        xs, ys = zip(*places, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    def anticlockwise(self) -> Path:
        """Return the path anticlockwise."""
        return self if self.area >= 0 else self.backwards()

    def backwards(self) -> Path:
        """Return the path the other way round."""
        n = len(self.vertices)
        turned = range(n - 1, -1, -1)
        return Path(tuple((*self.vertices[i][:2], -self.vertices[i - 1][2]) for i in turned))

    def moved(self, x: float = 0.0, y: float = 0.0, turn: float = 0.0) -> Path:
        """Return the path turned about the origin by `turn` [degrees], then shifted [mm]."""
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        return Path(tuple((x + c * u - s * v, y + s * u + c * v, b) for u, v, b in self.vertices))

    def mirrored(self) -> Path:
        """Return the mirror image in the y axis, of the same sense of turning."""
        return Path(tuple((-x + 0.0, y, -b) for x, y, b in self.vertices)).backwards()

    def points(self, tolerance: float) -> Array:
        """Return corners of a polygon on the path, (n, 2) [mm]: arcs are cut by at most `tolerance`."""
        return np.array([p for edge in self.edges for p in edge.points(tolerance)])

    def contains(self, p: XY) -> bool:
        """Return whether a place is inside: a ray from it crosses the path an odd number of times."""
        inside = False
        for edge in self.edges:
            ends = [edge.start, *edge.extremes, edge.end]
            for (x0, y0), (x1, y1) in pairwise(ends):
                if (y0 > p[1]) == (y1 > p[1]):
                    continue
                x = x0 + (p[1] - y0) / (y1 - y0) * (x1 - x0)
                if edge.is_arc:
                    cx, cy = edge.centre
                    half = math.sqrt(max(edge.radius**2 - (p[1] - cy) ** 2, 0.0))
                    x = cx + half if x0 + x1 > 2 * cx else cx - half
                inside ^= p[0] < x
        return inside

    def distance(self, p: XY) -> float:
        """Return the distance of a place from the path [mm]."""
        return min(edge.distance(p) for edge in self.edges)

    def gap(self, other: Path) -> tuple[float, XY]:
        """Return the least distance between two paths, and its place on this one [mm]."""
        return min(a.gap(b) for a in self.edges for b in other.edges)

    def crossings(self) -> Iterator[XY]:
        """Yield places where the path crosses or touches itself, or turns back on itself [mm]."""
        edges = self.edges
        for i, a in enumerate(edges):
            if a.chord < SAME:
                yield a.start
                continue
            for j in range(i + 1, len(edges)):
                b = edges[j]
                shared = [a.end] if j == i + 1 else []
                if i == 0 and j == len(edges) - 1:
                    shared.append(a.start)
                places = [*_meetings(a, b), a.start, a.end, b.start, b.end]
                for p in places:
                    if a.distance(p) > TOUCH or b.distance(p) > TOUCH:
                        continue
                    if all(math.dist(p, one) > SAME for one in shared):
                        yield p
                        break


def _unit(a: Sequence[float], b: Sequence[float], corner: int) -> tuple[float, float, float]:
    """Return the direction from a to b, and their distance [mm]."""
    far = math.hypot(b[0] - a[0], b[1] - a[1])
    if far < SAME:
        raise CornerError(corner, f"two corners in one place, {a[0]:g}, {a[1]:g}", 0.0)
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far, far


def _without_doubles(vertices: Sequence[Vertex]) -> tuple[Vertex, ...]:
    """Return vertices without those where a line of no length starts."""
    around = [*vertices, vertices[0]]
    return tuple(a for a, b in pairwise(around) if a[2] != 0.0 or math.dist(a[:2], b[:2]) > 1e-9)
