"""Slivers: faces with next to no area, which exact booleans leave, taken out of a closed mesh.

A face with a short edge goes with that edge: its ends become one. A flat one goes by a flip: its longest
edge is turned, so that the corner which lies on that edge becomes a corner of the neighbour.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Final

import numpy as np

from frame3d.mockup.part import Array
from frame3d.solids.mesh import Mesh

SHORT: Final = 0.01
"""Edges up to this may be closed up [mm]."""
STEPS: Final = 2000
"""Changes after which a mesh is given up."""


def without_slivers(mesh: Mesh, least: float) -> Mesh:
    """The same surface without faces smaller than `least` [mm²], as far as that can be done."""
    areas = face_areas(mesh.vertices[mesh.triangles])
    if areas.min(initial=np.inf) >= least:
        return mesh
    work = _Work(mesh)
    waiting = [int(face) for face in np.flatnonzero(areas < least)]
    for _ in range(STEPS):
        if not waiting:
            break
        face = waiting.pop()
        if face not in work.faces or work.area(face) >= least:
            continue
        waiting += [f for f in work.mend(face) if work.area(f) < least]
    return work.mesh()


def face_areas(corners: Array) -> Array:
    """Areas of triangles: (n, 3, 3) -> (n,) [mm²]."""
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return np.asarray(np.linalg.norm(cross, axis=1) / 2)


class _Work:
    """A mesh as dictionaries while it is changed."""

    def __init__(self, mesh: Mesh) -> None:
        self._at = mesh.vertices
        self.faces = {i: (int(a), int(b), int(c)) for i, (a, b, c) in enumerate(mesh.triangles)}
        self._around: dict[int, set[int]] = defaultdict(set)
        for i, corners in self.faces.items():
            for corner in corners:
                self._around[corner].add(i)

    def mesh(self) -> Mesh:
        """What is left, without corners that no face has."""
        triangles = np.array([self.faces[i] for i in sorted(self.faces)], dtype=np.int64)
        used, index = np.unique(triangles, return_inverse=True)
        return Mesh(self._at[used], index.reshape(-1, 3).astype(np.int64))

    def area(self, face: int) -> float:
        """Of a face; none of one that is gone [mm²]."""
        if face not in self.faces:
            return float("inf")
        return float(face_areas(self._at[list(self.faces[face])][None])[0])

    def mend(self, face: int) -> list[int]:
        """Take a sliver out; the faces that changed."""
        corners = self.faces[face]
        edges = [(corners[i], corners[(i + 1) % 3], corners[i - 1]) for i in range(3)]
        edges.sort(key=lambda edge: float(np.linalg.norm(self._at[edge[0]] - self._at[edge[1]])))
        for a, b, _ in edges:
            if float(np.linalg.norm(self._at[a] - self._at[b])) <= SHORT:
                for keep, drop in ((a, b), (b, a)):
                    changed = self._close(keep, drop)
                    if changed:
                        return changed
        return self._flip(face, *edges[2])

    def _close(self, keep: int, drop: int) -> list[int]:
        """Make two corners one; nothing where the surface would pinch, or a face would turn over.

        Faces no higher than `SHORT` may: that is less than prints.
        """
        shared = self._around[keep] & self._around[drop]
        if len(self._beside(keep) & self._beside(drop)) != 2 or len(shared) != 2:
            return []
        moved = self._around[drop] - shared
        for i in moved:
            before = self.faces[i]
            after = tuple(keep if corner == drop else corner for corner in before)
            old, new = (self._normal(corners) for corners in (before, after))
            if float(old @ new) < 0 and self._height(before) > SHORT:
                return []
        for i in shared:
            self._drop(i)
        for i in moved:
            corners = self.faces[i]
            self._put(i, tuple(keep if corner == drop else corner for corner in corners))
        return sorted(moved)

    def _normal(self, corners: tuple[int, ...]) -> Array:
        """Across a face, twice its area long: (3,) float."""
        a, b, c = self._at[list(corners)]
        return np.asarray(np.cross(b - a, c - a))

    def _height(self, corners: tuple[int, ...]) -> float:
        """Of a face over its longest edge [mm]."""
        points = self._at[list(corners)]
        longest = float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).max())
        return float(np.linalg.norm(self._normal(corners))) / longest

    def _flip(self, face: int, a: int, b: int, c: int) -> list[int]:
        """Turn the edge from a to b of a face whose third corner is c."""
        others = (self._around[a] & self._around[b]) - {face}
        if len(others) != 1:
            return []
        other = others.pop()
        d = next(corner for corner in self.faces[other] if corner not in (a, b))
        if d in self._beside(c):
            return []
        self._put(face, (a, d, c))
        self._put(other, (d, b, c))
        return [face, other]

    def _beside(self, corner: int) -> set[int]:
        return {c for face in self._around[corner] for c in self.faces[face]} - {corner}

    def _drop(self, face: int) -> None:
        for corner in self.faces.pop(face):
            self._around[corner].discard(face)

    def _put(self, face: int, corners: tuple[int, ...]) -> None:
        self._drop(face)
        a, b, c = corners
        self.faces[face] = (a, b, c)
        for corner in corners:
            self._around[corner].add(face)
