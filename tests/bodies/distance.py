"""Signed distance of the shapes, written down a second time, apart from the package's kernels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.shapes import Box, Capsule, Disc, PlacedShape, Prism, Ring, Torus, Tubular

Array = NDArray[np.float64]
DRAWN = Pose()


def signed(placed: PlacedShape, points: Array, pose: Pose = DRAWN) -> Array:
    """Signed distance of each point (n, 3) at a pose: (n,) float, negative inside [mm]."""
    back = np.linalg.inv(placed_matrix(placed, pose))
    p = points @ back[:3, :3].T + back[:3, 3]
    round_y = np.hypot(p[:, 0], p[:, 2])
    match placed.shape:
        case Torus(centre, radius):
            return np.hypot(round_y - centre, p[:, 1]) - radius
        case Box(core, rounding):
            q = np.abs(p) - core
            outside = np.linalg.norm(np.maximum(q, 0), axis=1)
            return outside + np.minimum(q.max(axis=1), 0) - rounding
        case Capsule(length, radius, end):
            assert radius == end, "only even ones are written down here"
            rest = p - np.clip(p[:, 2], 0, length)[:, None] * (0.0, 0.0, 1.0)
            return np.linalg.norm(rest, axis=1) - radius
        case Prism(profile, half):
            flat = _polygon(np.array(profile), p[:, :2])
            q = np.stack([flat, np.abs(p[:, 2]) - half], axis=1)
            return np.linalg.norm(np.maximum(q, 0), axis=1) + np.minimum(q.max(axis=1), 0)
        case Ring(profile) | Disc(profile):
            return _polygon(np.array(profile), np.stack([round_y, p[:, 1]], axis=1))


def _polygon(corners: Array, p: Array) -> Array:
    """Nearest edge, negative where every edge has the point on its left."""
    nearest = np.full(len(p), np.inf)
    inside = np.ones(len(p), dtype=bool)
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        edge = b - a
        t = np.clip((p - a) @ edge / (edge @ edge), 0, 1)
        nearest = np.minimum(nearest, np.linalg.norm(p - a - t[:, None] * edge, axis=1))
        inside &= edge[0] * (p[:, 1] - a[1]) - edge[1] * (p[:, 0] - a[0]) >= 0
    return np.where(inside, -nearest, nearest)


def union(shapes: tuple[PlacedShape, ...], points: Array, pose: Pose = DRAWN) -> Array:
    """Least signed distance over several shapes: (n,) float; right outside all of them."""
    return np.min([signed(s, points, pose) for s in shapes], axis=0)


def surface(tube: Tubular, along: int = 40, around: int = 48, pose: Pose = DRAWN) -> Array:
    """Points of a tube's side at a pose: (along * around, 3) float [mm]."""
    s = np.linspace(0, tube.axis.length, along)
    points, up, side = tube.axis.frames(s)
    height, width = tube.section.radii_at(s)
    turn = np.linspace(0, 2 * np.pi, around, endpoint=False)
    ring = (
        points[:, None]
        + (height[:, None] * np.sin(turn))[..., None] * up[:, None]
        + (width[:, None] * np.cos(turn))[..., None] * side[:, None]
    )
    motion = matrix(tube.mount, pose)
    return ring.reshape(-1, 3) @ motion[:3, :3].T + motion[:3, 3]


def mirrored(points: Array) -> Array:
    """On the other side of the centre plane."""
    return points * np.array([1.0, -1.0, 1.0])
