"""Distances by sampling, from formulas of its own: nothing here is shared with the kernels.

Tube surfaces from `Centreline.frames` and `Section` (tested by themselves), motions from
`frame3d.bodies.motion.pose`, shapes' distances written anew.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

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

Array = NDArray[np.float64]


def signed(shape: Shape, p: Array) -> Array:
    """Signed distance of points in a shape's own axes: (n, 3) -> (n,)."""
    match shape:
        case Torus(ring, radius):
            # Distance to the nearest point of the centre circle.
            angle = np.arctan2(p[:, 2], p[:, 0])
            centre = ring * np.stack((np.cos(angle), 0 * angle, np.sin(angle)), axis=1)
            return np.linalg.norm(p - centre, axis=1) - radius
        case Box():
            core = np.array(shape.core)
            half = core + shape.rounding
            # Sharp box: outside by clamping, inside to the nearest face; rounding by offsetting the core.
            outside = np.linalg.norm(p - np.clip(p, -core, core), axis=1) - shape.rounding
            inside = -(half - np.abs(p)).min(axis=1)
            return np.where((np.abs(p) <= core).all(axis=1), inside, outside)
        case Capsule():
            return _capsule(shape, p)
        case Prism(profile, half):
            flat = _polygon(np.array(profile), p[:, :2])
            q = np.stack((flat, np.abs(p[:, 2]) - half), axis=1)
            return np.linalg.norm(np.maximum(q, 0), axis=1) + np.minimum(q.max(axis=1), 0)
        case Ring(profile) | Disc(profile):
            r = np.hypot(p[:, 0], p[:, 2])
            q = np.stack((r, p[:, 1]), axis=1)
            assert isinstance(shape, Disc) == (np.array(profile)[:, 0].min() < 0)
            return _polygon(np.array(profile), q)


def _capsule(shape: Capsule, p: Array) -> Array:
    """The hull of two balls is the union of the balls between them: |x - t L z| - r(t) is convex in t."""
    low, high = np.zeros(len(p)), np.ones(len(p))

    def ball(t: Array) -> Array:
        arm = np.hypot(np.hypot(p[:, 0], p[:, 1]), p[:, 2] - t * shape.length)
        return arm - (shape.radius + (shape.end_radius - shape.radius) * t)

    for _ in range(60):
        t, u = low + (high - low) * 0.382, low + (high - low) * 0.618
        left = ball(t) < ball(u)
        high, low = np.where(left, u, high), np.where(left, low, t)
    return np.minimum.reduce([ball((low + high) / 2), ball(0 * low), ball(0 * low + 1)])


def _polygon(corners: Array, q: Array) -> Array:
    """Distance to a polygon's outline, the sign by counting crossings."""
    far = np.full(len(q), np.inf)
    inside = np.zeros(len(q), dtype=bool)
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along = b - a
        t = np.clip((q - a) @ along / (along @ along), 0, 1)
        far = np.minimum(far, np.linalg.norm(q - a - t[:, None] * along, axis=1))
        crosses = (a[1] > q[:, 1]) != (b[1] > q[:, 1])
        with np.errstate(divide="ignore", invalid="ignore"):
            x = a[0] + (q[:, 1] - a[1]) * along[0] / along[1]
        inside ^= crosses & (q[:, 0] < x)
    return np.where(inside, -far, far)


def surface(tube: Tubular, s: Array, angle: Array, share: Array | None = None) -> Array:
    """Points of a tube's sections: (n,) along, around, share of the way out -> (n, 3)."""
    points, height, width = tube.axis.frames(s)
    h, w = tube.section.radii_at(s)
    out = np.ones(len(s)) if share is None else share
    return (
        points
        + (out * w * np.cos(angle))[:, None] * width
        + (out * h * np.sin(angle))[:, None] * height
    )


def into(tube: Tubular, shape: PlacedShape, pose: Pose, p: Array) -> Array:
    """Points drawn on the tube, in the shape's own axes at a pose: (n, 3) -> (n, 3)."""
    motion = np.linalg.inv(placed_matrix(shape, pose)) @ matrix(tube.mount, pose)
    return p @ motion[:3, :3].T + motion[:3, 3]


def skin(tube: Tubular, n: int, random: np.random.Generator) -> Array:
    """Random points of a tube's outside: its surface, its flat ends, its round ends: (n, 3)."""
    s = random.uniform(0, tube.axis.length, n)
    s[: n // 10] = 0.0
    s[n // 10 : n // 5] = tube.axis.length
    share = np.ones(n)
    share[: n // 5] = np.sqrt(random.uniform(0, 1, n // 5))
    points = surface(tube, s, random.uniform(0, 2 * np.pi, n), share)
    for k, where in ((0, slice(0, n // 10)), (1, slice(n // 10, n // 5))):
        if not tube.flat[k]:
            end = float(s[where][0])
            v = random.normal(size=(n // 10, 3))
            v *= float(tube.section.height_at(end)) / 2 / np.linalg.norm(v, axis=1)[:, None]
            points[where] = tube.axis.at(end) + v
    return points


def distance_to_tube(tube: Tubular, p: Array) -> float:
    """How far a point is from a tube's outside, by sampling finer and finer [mm]."""
    best = np.inf
    for end, flat in zip((0.0, tube.axis.length), tube.flat, strict=True):
        if not flat:
            continue
        # Straight onto the flat end where the foot lies on it; its rim belongs to the surface below.
        at, (height, width) = tube.axis.at(end), tube.axis.frame(end)
        h, w = tube.section.radii_at(end)
        arm = p - at
        if np.hypot(arm @ width / w, arm @ height / h) <= 1 + 1e-9:
            best = min(best, abs(float(arm @ np.cross(width, height))))
    centre, width = np.array([tube.axis.length / 2, np.pi]), np.array([tube.axis.length / 2, np.pi])
    for _ in range(14):
        s, v = np.meshgrid(*(np.linspace(-1, 1, 61)[:, None] * width + centre).T)
        s = np.clip(s.ravel(), 0, tube.axis.length)
        far = np.linalg.norm(surface(tube, s, v.ravel()) - p, axis=1)
        k = int(far.argmin())
        best = min(best, float(far[k]))
        centre = np.array([s[k], v.ravel()[k]])
        width = width / 5
    return best
