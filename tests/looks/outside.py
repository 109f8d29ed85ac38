"""How far points lie outside shapes, in closed form: what holds looks to the outlines."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.shapes import Box, Capsule, PlacedShape, Torus
from frame3d.geometry.arrays import Array


def outside(points: Array, shapes: tuple[PlacedShape, ...]) -> Array:
    """Distance of points (n, 3) to the nearest of some shapes, 0 within one: (n,) [mm]."""
    return np.min([_one(points, shape) for shape in shapes], axis=0)


def _one(points: Array, placed: PlacedShape) -> Array:
    back = np.linalg.inv(own_matrix(placed))
    p = points @ back[:3, :3].T + back[:3, 3]
    match placed.shape:
        case Torus(centre, radius):
            ring = np.hypot(p[:, 0], p[:, 2]) - centre
            return np.maximum(np.hypot(ring, p[:, 1]) - radius, 0.0)
        case Box(core, rounding):
            beyond = np.maximum(np.abs(p) - core, 0.0)
            return np.maximum(np.linalg.norm(beyond, axis=1) - rounding, 0.0)
        case Capsule(length, radius, end):
            share = np.clip(p[:, 2] / length, 0.0, 1.0) if length > 0 else np.zeros(len(p))
            away = np.linalg.norm(p - length * share[:, None] * [0.0, 0.0, 1.0], axis=1)
            return np.maximum(away - radius - share * (end - radius), 0.0)
        case shape:
            return _polygon(np.stack([np.hypot(p[:, 0], p[:, 2]), p[:, 1]], axis=1), shape.profile)


def _polygon(points: Array, profile: tuple[tuple[float, float], ...]) -> Array:
    """Distance of points (n, 2) to a convex polygon, anticlockwise."""
    a = np.array(profile)
    step = np.roll(a, -1, axis=0) - a
    length = np.linalg.norm(step, axis=1)
    out = np.stack([step[:, 1], -step[:, 0]], axis=1) / length[:, None]
    to = points[:, None] - a
    is_in = (np.einsum("nij,ij->ni", to, out) <= 1e-9).all(axis=1)
    share = np.clip(np.einsum("nij,ij->ni", to, step) / length**2, 0.0, 1.0)
    away = np.linalg.norm(to - share[:, :, None] * step, axis=2).min(axis=1)
    return np.where(is_in, 0.0, away)
