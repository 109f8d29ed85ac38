r"""Remove slivers, triangles of almost no area or height that exact booleans leave, from a closed mesh.

A sliver is removed by one of two operations, whichever leaves the best triangles:

    edge collapse: vertex d is merged into k,      edge flip: the longest edge a-b of the flat triangle
    the two triangles on their edge vanish         a-b-c becomes the edge c-d

        \   |   /          \  |  /                      a---.                 a---.
         \  |  /            \ | /                       |\    ' .             |    ' .
      ----k===d----   ->   ---k---                      | c       d    ->     c--------d
         /  |  \            / | \                       |/    . '             |    . '
        /   |   \          /  |  \                      b---'                 b---'

An edge is collapsed only where the surface moves by at most `SHORT`. A flip must improve the worse of
its two triangles by the factor `BETTER`. So each operation either removes triangles or improves them,
and the procedure ends, also with several flat triangles in a row.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, cross
from frame3d.solids.mesh import Mesh

SHORT: Final = 0.01
"""Largest movement of the surface by one operation [mm]."""
BETTER: Final = 1.01
"""Factor by which an edge flip must improve the worse of its two triangles."""

BEFORE: Final = np.array([2, 0, 1])
"""The corner before each corner of a triangle."""
AFTER: Final = np.array([1, 2, 0])
"""The corner after each corner of a triangle."""

Corners = tuple[int, int, int]


def without_slivers(mesh: Mesh, least: float, thin: float = 0.0) -> Mesh:
    """Return the same surface without slivers, as far as they can be removed.

    Args:
        mesh: a closed mesh.
        least: triangles of smaller area are slivers [mm²].
        thin: triangles of smaller height over their longest edge are slivers too [mm].
    """
    corners = mesh.vertices[mesh.triangles]
    worth = _worth(corners, least, thin)
    if worth.min(initial=np.inf) >= 1:
        return mesh
    work = _Work(mesh, least, thin)
    waiting = [int(face) for face in np.flatnonzero(worth < 1)]
    while waiting:
        stuck, changed = [], False
        while waiting:
            face = waiting.pop()
            if not work.is_sliver(face):
                continue
            near = work.mend(face)
            changed = changed or bool(near)
            waiting += [f for f in near if work.is_sliver(f)]
            if not near:
                stuck.append(face)
        if not changed:
            break
        waiting = stuck
    return work.mesh()


def face_areas(corners: Array) -> Array:
    """Return the areas of triangles: (n, 3, 3) -> (n,) [mm²]."""
    return np.asarray(np.linalg.norm(_normals(corners), axis=1) / 2)


def face_heights(corners: Array) -> Array:
    """Return the heights of triangles over their longest edges: (n, 3, 3) -> (n,) [mm]."""
    longest = np.linalg.norm(corners - corners[:, BEFORE], axis=2).max(axis=1)
    return np.asarray(2 * face_areas(corners) / np.maximum(longest, 1e-300))


def _worth(corners: Array, least: float, thin: float) -> Array:
    """Return the quality of triangles, below 1 for slivers: (n, 3, 3) -> (n,).

    The smaller of area over `least` and height over `thin`.
    """
    area = face_areas(corners) / least
    return np.minimum(area, face_heights(corners) / thin) if thin > 0 else area


def _away(points: Array, corners: Array) -> float:
    """Return the largest distance of points (k, 3) from a set of triangles (n, 3, 3) [mm].

    The one-sided Hausdorff distance of the points from the triangles.
    """
    along = corners[:, AFTER] - corners
    to = points[:, None, None] - corners
    size = np.maximum(np.einsum("nij,nij->ni", along, along), 1e-300)
    share = np.clip(np.einsum("knij,nij->kni", to, along) / size, 0.0, 1.0)
    edge = np.linalg.norm(to - share[..., None] * along, axis=3).min(axis=2)
    normal = _normals(corners)
    length = np.linalg.norm(normal, axis=1)
    aside = cross(normal[:, None], along)
    over = (np.einsum("knij,nij->kni", to, aside) >= 0).all(axis=2) & (length > 0)
    height = np.abs(np.einsum("knj,nj->kn", to[:, :, 0], normal)) / np.maximum(length, 1e-300)
    return float(np.where(over, np.minimum(edge, height), edge).min(axis=1).max())


def _spread(corners: Array) -> Array:
    """Return sample points of triangles, midpoints of edges and centroids: (n, 3, 3) -> (4 n, 3)."""
    middles = (corners + corners[:, BEFORE]) / 2
    return np.vstack([middles.reshape(-1, 3), corners.mean(axis=1)])


@dataclass(frozen=True, slots=True)
class _Change:
    """The effect of one operation."""

    gone: tuple[int, ...]
    """Triangles that it removes."""
    put: dict[int, Corners]
    """Triangles that it changes, with their new vertices."""
    worth: float
    """Quality of the worst changed triangle, at most 1."""
    moved: float
    """How far the surface moves [mm]."""

    @property
    def rank(self) -> tuple[float, float]:
        """Sort key, best first."""
        return (-self.worth, self.moved)


class _Work:
    """A mesh while it is changed: vertices of each triangle, and triangles around each vertex."""

    def __init__(self, mesh: Mesh, least: float, thin: float) -> None:
        self._at = mesh.vertices
        self._points: list[Point] = [(x, y, z) for x, y, z in mesh.vertices.tolist()]
        self._least, self._thin = least, thin
        self._faces: dict[int, Corners] = {
            i: (int(a), int(b), int(c)) for i, (a, b, c) in enumerate(mesh.triangles)
        }
        self._around: dict[int, set[int]] = defaultdict(set)
        for i, corners in self._faces.items():
            for corner in corners:
                self._around[corner].add(i)

    def mesh(self) -> Mesh:
        """Return the mesh, without unused vertices."""
        triangles = np.array([self._faces[i] for i in sorted(self._faces)], dtype=np.int64)
        used, index = np.unique(triangles, return_inverse=True)
        return Mesh(self._at[used], index.reshape(-1, 3).astype(np.int64))

    def is_sliver(self, face: int) -> bool:
        """Return whether a triangle is a sliver; False for one that was removed."""
        return face in self._faces and self._worst([self._faces[face]]) < 1

    def mend(self, face: int) -> list[int]:
        """Remove a sliver by the best operation; return the changed triangles, none if none is possible.

        Possible operations: a collapse of each edge to either end, and a flip of the longest edge.
        """
        corners = self._faces[face]
        edges = [(corners[i], corners[(i + 1) % 3], corners[i - 1]) for i in range(3)]
        best: _Change | None = None
        for keep, drop in [way for a, b, _ in edges for way in ((a, b), (b, a))]:
            way = self._closed(keep, drop, 0.0 if best is None else best.worth)
            if way is not None and (best is None or way.rank < best.rank):
                best = way
        way = self._turned(face, *max(edges, key=lambda e: self._apart(e[0], e[1])))
        if way is not None and (best is None or way.rank < best.rank):
            best = way
        if best is None:
            return []
        for i in best.gone:
            self._drop(i)
        for i, corners in best.put.items():
            self._put(i, corners)
        return sorted(best.put)

    def _closed(self, keep: int, drop: int, least: float) -> _Change | None:
        """Collapse the edge keep-drop to `keep`; None where not allowed, or worth less than `least`.

        The link condition must hold (exactly two common neighbours), the surface must move by at most
        `SHORT`, and no triangle may turn over, except those of a height up to `SHORT`.
        """
        shared = self._around[keep] & self._around[drop]
        if len(self._beside(keep) & self._beside(drop)) != 2 or len(shared) != 2:
            return None
        moved = sorted(self._around[drop] - shared)
        put = {i: self._renamed(i, drop, keep) for i in moved}
        worth = self._worst(put.values())
        if worth < least:
            return None
        old, new = self._at[[self._faces[i] for i in moved]], self._at[list(put.values())]
        away = self._apart(drop, keep)
        if away > SHORT:
            away = _away(self._at[[drop]], new)  # the vertex alone first, as most fail by it
            if away > SHORT:
                return None
            fan = self._at[[self._faces[i] for i in sorted(self._around[drop])]]
            away = max(away, _away(_spread(fan), new), _away(_spread(new), fan))
            if away > SHORT:
                return None
        over = np.einsum("ni,ni->n", _normals(old), _normals(new)) < 0
        if (over & (face_heights(old) > SHORT)).any():
            return None
        return _Change(tuple(sorted(shared)), put, worth, away)

    def _renamed(self, face: int, drop: int, keep: int) -> Corners:
        a, b, c = (keep if corner == drop else corner for corner in self._faces[face])
        return (a, b, c)

    def _turned(self, face: int, a: int, b: int, c: int) -> _Change | None:
        """Flip the edge a-b of a triangle a-b-c; None where that is not possible or no improvement."""
        others = (self._around[a] & self._around[b]) - {face}
        if len(others) != 1:
            return None
        (other,) = others
        d = next(corner for corner in self._faces[other] if corner not in (a, b))
        if d in self._beside(c):
            return None
        height = float(face_heights(self._at[[[a, b, c]]])[0])
        put: dict[int, Corners] = {face: (a, d, c), other: (d, b, c)}
        worst = self._worst(put.values())
        if height > SHORT or worst < BETTER * self._worst([(a, b, c), self._faces[other]]):
            return None
        return _Change((), put, worst, height)

    def _worst(self, faces: Iterable[Corners]) -> float:
        """Return the quality of the worst of some triangles, at most 1."""
        at, least, thin = self._points, self._least, self._thin
        each = [_quality(at[a], at[b], at[c], least, thin) for a, b, c in faces]
        return min([1.0, *each])

    def _apart(self, a: int, b: int) -> float:
        """Return the distance of two vertices [mm]."""
        way = self._at[a] - self._at[b]
        return math.sqrt(float(way.dot(way)))

    def _beside(self, corner: int) -> set[int]:
        return {c for face in self._around[corner] for c in self._faces[face]} - {corner}

    def _drop(self, face: int) -> None:
        for corner in self._faces.pop(face):
            self._around[corner].discard(face)

    def _put(self, face: int, corners: Corners) -> None:
        self._drop(face)
        self._faces[face] = corners
        for corner in corners:
            self._around[corner].add(face)


def _normals(corners: Array) -> Array:
    """Return normals of triangles, of length twice the area: (n, 3, 3) -> (n, 3)."""
    return cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])


def _quality(a: Point, b: Point, c: Point, least: float, thin: float) -> float:
    """Return what `_worth` does of one triangle, to the bit."""
    x, y, z = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    u, v, w = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    p, q, r = y * w - z * v, z * u - x * w, x * v - y * u
    area = math.sqrt(p * p + q * q + r * r) / 2
    if thin <= 0:
        return area / least
    s, t, o = c[0] - b[0], c[1] - b[1], c[2] - b[2]
    longest = max(x * x + y * y + z * z, u * u + v * v + w * w, s * s + t * t + o * o)
    return min(area / least, 2 * area / max(math.sqrt(longest), 1e-300) / thin)
