"""Vertex normals for shading: smooth around a tube, sharp at its edges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.distinct import distinct_rows
from frame3d.solids.mesh import Mesh

CREASE = 35.0
"""Faces at a smaller angle belong to one smooth surface [degrees]: three times the angle between facets
of a tube, less than the edges at mitres."""


def shaded(
    mesh: Mesh,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64]]:
    """Return a mesh with a normal at each vertex; vertices on sharp edges are repeated for each side.

    The normal at a corner of a triangle is the sum of the normals of the faces around the vertex whose
    angle to the triangle is below `CREASE`, weighted by their angles at the vertex.

    Returns:
        vertices (n, 3) float [mm], normals (n, 3) float, triangles (m, 3) int.
    """
    corners = mesh.vertices[mesh.triangles]
    flat = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(flat, axis=1, keepdims=True)
    flat = np.divide(flat, length, out=np.zeros_like(flat), where=length > 1e-12)
    forward = np.roll(corners, -1, axis=1) - corners
    backward = np.roll(corners, 1, axis=1) - corners
    weight = np.arctan2(
        np.linalg.norm(np.cross(forward, backward), axis=2), np.sum(forward * backward, axis=2)
    ).ravel()

    vertex = mesh.triangles.ravel()
    face = np.repeat(np.arange(len(mesh.triangles)), 3)
    mine, other = _pairs(vertex)
    near = np.sum(flat[face[mine]] * flat[face[other]], axis=1) > np.cos(np.radians(CREASE))
    mine, other = mine[near], other[near]
    pull = weight[other, None] * flat[face[other]]
    normal = np.empty((len(vertex), 3))
    for axis in range(3):
        normal[:, axis] = np.bincount(mine, pull[:, axis], len(vertex))
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.where(size > 1e-12, normal / np.where(size > 1e-12, size, 1.0), (0.0, 0.0, 1.0))

    first, index = distinct_rows(np.column_stack([vertex, np.round(normal, 4)]))
    return mesh.vertices[vertex[first]], normal[first], index.reshape(-1, 3)


def _pairs(vertex: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return all ordered pairs of corners that share a vertex, each with itself too."""
    order = np.argsort(vertex, kind="stable")
    _, start, count = np.unique(vertex[order], return_index=True, return_counts=True)
    size = np.repeat(count, count)
    first = np.repeat(start, count)
    mine = np.repeat(np.arange(len(vertex)), size)
    within = np.arange(len(mine)) - np.repeat(np.cumsum(size) - size, size)
    other = np.repeat(first, size) + within
    return order[mine], order[other]
