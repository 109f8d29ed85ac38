"""Visible outlines and edges of the frame's parts in a view (hidden-line removal), from meshes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.solids.mesh import Mesh

CREASE: Final = 35.0
"""Mesh edges between faces at a larger angle are drawn as edges of the part [degrees]."""
STEP: Final = 0.8
"""Length of the pieces of edges that are tested for visibility [mm]."""
BEHIND: Final = 0.15
"""A point is hidden if it is further than this behind another part's surface [mm]."""
SELF: Final = 1.0
"""As `BEHIND`, for the part's own surface. Larger, because on bends the outline of a mesh zigzags from
facet to facet [mm]."""
CELL: Final = 12.0
"""Size of the cells of the grid that indexes triangles [mm]."""


@dataclass(frozen=True, slots=True)
class View:
    """A parallel projection."""

    right: tuple[float, float, float]
    up: tuple[float, float, float]
    """Directions on the bike of right and up on the paper; the viewer looks along up × right."""

    def flat(self, points: Array) -> Array:
        """Return points as right, up, and toward the viewer: (n, 3) -> (n, 3) [mm]."""
        right, up = np.array(self.right), np.array(self.up)
        return np.asarray(points @ np.stack([right, up, np.cross(right, up)], axis=1))


SIDE: Final = View((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
"""View from the drive side: front to the right."""
TOP: Final = View((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
"""View from above: front to the right, left side upward."""
REAR: Final = View((0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
"""View from behind: the drive side to the right."""


def visible(meshes: Mapping[str, Mesh], view: View) -> list[Array]:
    """Return the visible lines of all parts on the paper: polylines, (n, 2) each [mm]."""
    parts = [_Part(view.flat(mesh.vertices), mesh.triangles) for mesh in meshes.values()]
    lines: list[Array] = []
    for part in parts:
        others = [other for other in parts if other is not part and other.overlaps(part)]
        lines += _seen(part, others)
    return _chained(lines)


class _Part:
    """A part's mesh in a view."""

    def __init__(self, vertices: Array, triangles: Ints) -> None:
        corners = vertices[triangles]
        normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        size = np.linalg.norm(normal, axis=1)
        keep = size > 1e-9
        self.vertices, self.triangles = vertices, triangles[keep]
        self.normal = normal[keep] / size[keep][:, None]
        self.low, self.high = vertices.min(axis=0), vertices.max(axis=0)
        facing = self.normal[:, 2] > 1e-6
        self._front = vertices[self.triangles[facing]]
        self._cells = _cells(self._front)

    def overlaps(self, other: _Part) -> bool:
        """Whether the part's box can hide anything of another part's."""
        return bool(
            (self.low[:2] <= other.high[:2]).all()
            and (other.low[:2] <= self.high[:2]).all()
            and self.high[2] > other.low[2]
        )

    def edges(self) -> Array:
        """Return the mesh edges to draw: outlines, and creases facing the viewer: (n, 2, 3)."""
        t = self.triangles
        pairs = np.vstack([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
        face = np.tile(np.arange(len(t)), 3)
        key = np.sort(pairs, axis=1)
        order = np.lexsort((key[:, 1], key[:, 0]))
        key, face = key[order], face[order]
        same = (key[1:] == key[:-1]).all(axis=1)
        first = np.flatnonzero(same)
        a, b = face[first], face[first + 1]
        facing = self.normal[:, 2] > 1e-6
        outline = facing[a] != facing[b]
        crease = np.sum(self.normal[a] * self.normal[b], axis=1) < np.cos(np.radians(CREASE))
        drawn = outline | (crease & facing[a])
        return np.asarray(self.vertices[key[first[drawn]]])

    def hides(self, points: Array, behind: float) -> Mask:
        """Return which points are further than `behind` [mm] behind the surface: (n, 3) -> (n,)."""
        hidden = np.zeros(len(points), dtype=bool)
        near = np.flatnonzero(
            ((points[:, :2] >= self.low[:2]) & (points[:, :2] <= self.high[:2])).all(axis=1)
            & (points[:, 2] < self.high[2] - behind)
        )
        if not len(near):
            return hidden
        cell = np.floor(points[near, :2] / CELL).astype(np.int64)
        keys, which = np.unique(cell, axis=0, return_inverse=True)
        for i, key in enumerate(keys.tolist()):
            faces = self._cells.get((key[0], key[1]))
            if faces is None:
                continue
            rows = near[which.ravel() == i]
            hidden[rows] = _above(self._front[faces], points[rows], behind)
        return hidden


def _cells(corners: Array) -> dict[tuple[int, int], Ints]:
    """Return the indices of triangles by the cells of the paper that their boxes touch."""
    low = np.floor(corners[:, :, :2].min(axis=1) / CELL).astype(np.int64)
    high = np.floor(corners[:, :, :2].max(axis=1) / CELL).astype(np.int64)
    found: dict[tuple[int, int], list[int]] = {}
    for i, ((x0, y0), (x1, y1)) in enumerate(zip(low.tolist(), high.tolist(), strict=True)):
        for x in range(x0, x1 + 1):
            for y in range(y0, y1 + 1):
                found.setdefault((x, y), []).append(i)
    return {key: np.array(rows) for key, rows in found.items()}


def _above(corners: Array, points: Array, behind: float) -> Mask:
    """Return which points (n, 3) have one of the triangles (m, 3, 3) in front of them: (n,)."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    u, v = b - a, c - a
    det = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    good = np.abs(det) > 1e-12
    a, u, v, det = a[good], u[good], v[good], det[good]
    d = points[:, None, :2] - a[None, :, :2]
    s = (d[:, :, 0] * v[:, 1] - d[:, :, 1] * v[:, 0]) / det
    t = (u[:, 0] * d[:, :, 1] - u[:, 1] * d[:, :, 0]) / det
    depth = a[:, 2] + s * u[:, 2] + t * v[:, 2]
    inside = (s >= -1e-9) & (t >= -1e-9) & (s + t <= 1 + 1e-9)
    return np.asarray((inside & (depth > points[:, 2:3] + behind)).any(axis=1))


def _seen(part: _Part, others: Sequence[_Part]) -> list[Array]:
    """Return the visible pieces of a part's edges, (2, 2) each [mm]."""
    edges = part.edges()
    if not len(edges):
        return []
    length = np.linalg.norm(edges[:, 1, :2] - edges[:, 0, :2], axis=1)
    count = np.maximum(1, np.ceil(length / STEP)).astype(int)
    start = np.repeat(np.cumsum(count) - count, count)
    i = np.arange(count.sum()) - start
    n = np.repeat(count, count)
    a, d = (np.repeat(x, count, axis=0) for x in (edges[:, 0], edges[:, 1] - edges[:, 0]))
    low, high = a + d * (i / n)[:, None], a + d * ((i + 1) / n)[:, None]
    middle = (low + high) / 2
    hidden = np.zeros(len(middle), dtype=bool)
    for other in (*others, part):
        rest = np.flatnonzero(~hidden)
        hidden[rest] = other.hides(middle[rest], SELF if other is part else BEHIND)
    shown = ~hidden & (np.linalg.norm(high[:, :2] - low[:, :2], axis=1) > 1e-6)
    edge = np.repeat(np.arange(len(count)), count)
    joins = np.concatenate(([False], (edge[1:] == edge[:-1]) & shown[1:] & shown[:-1], [False]))
    first, last = np.flatnonzero(shown & ~joins[:-1]), np.flatnonzero(shown & ~joins[1:])
    return [np.stack([p, q])[:, :2] for p, q in zip(low[first], high[last], strict=True)]


def _chained(pieces: Sequence[Array]) -> list[Array]:
    """Join pieces end to end into long polylines; duplicates and needless points are dropped."""
    ends: dict[tuple[int, int], list[int]] = {}
    rows: dict[tuple[tuple[int, int], tuple[int, int]], Array] = {}
    for piece in pieces:
        p, q = (_key(piece[0]), _key(piece[1]))
        rows.setdefault((min(p, q), max(p, q)), piece)
    kept = [piece for (p, q), piece in rows.items() if p != q]
    for i, piece in enumerate(kept):
        for end in piece:
            ends.setdefault(_key(end), []).append(i)
    used = [False] * len(kept)
    lines = []
    for i, piece in enumerate(kept):
        if used[i]:
            continue
        used[i] = True
        line = [piece[0], piece[1]]
        for _ in (0, 1):
            while True:
                here = _key(line[-1])
                ahead = [j for j in ends[here] if not used[j]]
                if not ahead:
                    break
                j = max(ahead, key=lambda j: _straightness(line, _other(kept[j], here)))
                used[j] = True
                line.append(_other(kept[j], here))
            line.reverse()
        lines.append(_plain(np.array(line)))
    return lines


def _key(p: Array) -> tuple[int, int]:
    return round(float(p[0]) * 200), round(float(p[1]) * 200)


def _other(piece: Array, key: tuple[int, int]) -> Array:
    return np.asarray(piece[1] if _key(piece[0]) == key else piece[0])


def _straightness(line: Sequence[Array], ahead: Array) -> float:
    a, b = line[-1] - line[-2], ahead - line[-1]
    size = float(np.linalg.norm(a) * np.linalg.norm(b))
    return float(a @ b) / size if size > 0 else -1.0


def _plain(line: Array, within: float = 0.05) -> Array:
    """Simplify a polyline within a tolerance (Douglas and Peucker) [mm]."""
    keep = np.zeros(len(line), dtype=bool)
    keep[[0, -1]] = True
    stack = [(0, len(line) - 1)]
    while stack:
        i, j = stack.pop()
        if j - i < 2:
            continue
        a, b = line[i], line[j]
        d = b - a
        size = float(np.hypot(d[0], d[1]))
        off = line[i + 1 : j] - a
        gap = (
            np.abs(off[:, 0] * d[1] - off[:, 1] * d[0]) / size if size > 1e-9 else np.hypot(*off.T)
        )
        k = int(np.argmax(gap))
        if gap[k] > within:
            keep[i + 1 + k] = True
            stack += [(i, i + 1 + k), (i + 1 + k, j)]
    return np.asarray(line[keep])
