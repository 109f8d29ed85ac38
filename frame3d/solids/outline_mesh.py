"""Outlines of parts as closed meshes, without the CAD kernel (manifold3d).

Vertices lie on the true surface, so a mesh lies within the tolerance of it, on the inside.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Ring,
    Shape,
    Torus,
    Tubular,
)
from frame3d.geometry.arrays import Array, Ints
from frame3d.solids.body_meshes import read_manifold
from frame3d.solids.mesh import ANGLE, Mesh, facets, sweep_mesh
from frame3d.solids.sweep import Sweep

if TYPE_CHECKING:
    from manifold3d import Manifold


TOLERANCE: Final = 0.2
"""Default of the greatest distance between a mesh and the true surface [mm]."""


def body_mesh(body: Body, pose: Pose | None = None, tolerance: float = TOLERANCE) -> Mesh:
    """Return a body as a mesh at a pose: the union of its shapes, or else of its tubes.

    Args:
        body: the part.
        pose: None for as drawn.
        tolerance: greatest distance from the true surface [mm].
    """
    from manifold3d import Manifold, OpType

    at = Pose() if pose is None else pose
    made = [_manifold(solid, at, tolerance) for solid in body.shapes or body.tubes]
    whole = made[0] if len(made) == 1 else Manifold.batch_boolean(made, OpType.Add)
    return read_manifold(whole)


def _manifold(solid: PlacedShape | Tubular, pose: Pose, tolerance: float) -> Manifold:
    """Return a solid at a pose, made in its own axes and moved: a hull of turned points loses some."""
    if isinstance(solid, Tubular):
        return _tube(solid, tolerance).transform(matrix(solid.mount, pose)[:3])
    return _shape(solid.shape, tolerance).transform(placed_matrix(solid, pose)[:3])


@lru_cache(maxsize=256)
def _shape(shape: Shape, tolerance: float) -> Manifold:
    """Return a shape in its own axes; kept, as most bikes have the same parts."""
    from manifold3d import Manifold

    match shape:
        case Torus(centre, radius):
            turn = _circle(radius, tolerance)
            profile = np.stack([centre + radius * np.cos(turn), radius * np.sin(turn)], axis=1)
            return _turned(profile, tolerance)
        case Box(core, rounding):
            signs = np.array(np.meshgrid([-1, 1], [-1, 1], [-1, 1])).reshape(3, -1).T
            ball = rounding * _sphere(rounding, tolerance)
            return Manifold.hull_points((signs[:, None, :] * core + ball).reshape(-1, 3))
        case Capsule(length, start, end):
            ball = _sphere(max(start, end), tolerance)
            return Manifold.hull_points(np.vstack([start * ball, end * ball + (0.0, 0.0, length)]))
        case Prism(profile, half):
            corners = np.array(profile)
            low, high = (
                np.column_stack([corners, np.full(len(corners), z)]) for z in (-half, half)
            )
            return Manifold.hull_points(np.vstack([low, high]))
        case Disc():
            corners = np.array(shape.profile)
            turn = _circle(float(corners[:, 0].max()), tolerance)
            r, y = corners[:, :1], corners[:, 1:]
            points = np.stack([r * np.cos(turn), y + 0 * turn, r * np.sin(turn)], axis=2)
            return Manifold.hull_points(points.reshape(-1, 3))
        case Ring():
            return _turned(np.array(shape.profile), tolerance)


def _circle(radius: float, tolerance: float) -> Array:
    """Return angles around a circle, a multiple of four of them: (n,) float [radians].

    A facet between points of a sphere lies below it by up to r x²/8 in each of two directions.
    """
    step = min(ANGLE, float(np.sqrt(4 * tolerance / radius)))
    count = max(12, 4 * int(np.ceil(2 * np.pi / step / 4)))
    return np.linspace(0, 2 * np.pi, count, endpoint=False)


def _sphere(radius: float, tolerance: float) -> Array:
    """Return points of a unit sphere, the six on the axes among them: (n, 3) float."""
    turn = _circle(radius, tolerance)
    lift = np.linspace(-np.pi / 2, np.pi / 2, len(turn) // 2 + 1)[:, None]
    points = np.stack(
        [np.cos(lift) * np.cos(turn), np.cos(lift) * np.sin(turn), np.sin(lift) + 0 * turn], axis=2
    )
    return points.reshape(-1, 3)


def _turned(profile: Array, tolerance: float) -> Manifold:
    """Return a closed profile of (radius, y), counter-clockwise and off the axis, turned about y."""
    turn = _circle(float(profile[:, 0].max()), tolerance)
    m, n = len(turn), len(profile)
    r, y = profile[:, 0], profile[:, 1]
    points = np.stack(
        [np.cos(turn)[:, None] * r, np.ones((m, 1)) * y, np.sin(turn)[:, None] * r], axis=2
    )
    i, j = np.meshgrid(np.arange(m), np.arange(n), indexing="ij")
    a, b = i * n + j, i * n + (j + 1) % n
    c, d = (i + 1) % m * n + (j + 1) % n, (i + 1) % m * n + j
    triangles = np.stack([a, b, c, a, c, d], axis=-1).reshape(-1, 3)
    return _closed(points.reshape(-1, 3), triangles)


def _tube(tube: Tubular, tolerance: float) -> Manifold:
    from manifold3d import Manifold

    section = tube.section
    sweep = Sweep.of(tube.axis, section)
    mesh = sweep_mesh(sweep, facets(sweep.size, tolerance), tolerance)
    whole = _closed(mesh.vertices, mesh.triangles)
    for flat, s, end in ((tube.flat[0], 0.0, 0), (tube.flat[1], tube.axis.length, -1)):
        if not flat:
            radius = min(section.height[end], section.width[end]) / 2
            whole += Manifold.hull_points(tube.axis.at(s) + radius * _sphere(radius, tolerance))
    return whole


def _closed(vertices: Array, triangles: Ints) -> Manifold:
    from manifold3d import Manifold, Mesh64

    return Manifold(
        Mesh64(np.ascontiguousarray(vertices), np.ascontiguousarray(triangles.astype(np.uint64)))
    )
