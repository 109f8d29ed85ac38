"""Signed distances and gradients of the shapes at a point, compiled.

The signed distance of a convex shape is convex, inside too, and exact on both sides. A torus or ring is
not convex. Its signed distance is D = P(w, y): w is the distance from the shape's axis (y) and P the
signed distance to its convex profile, which is convex in (w, y)::

    y ^        profile
      |      +---------+           left of the profile P falls as w grows: `fall` = -dP/dw > 0
      |      |  P < 0  |           right of it, above and below: `fall` = 0
      |      +---------+
      +-----------------------> w = sqrt(x² + z²)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeAlias

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.records import (
    BOX_KIND,
    DISC_KIND,
    PRISM_KIND,
    TORUS_KIND,
    Edge,
    ShapeNumbers,
)

Signed: TypeAlias = tuple[float, float, float, float, float, float, float]

FAR = 1e300
NOISE = 1e-11
"""Error of a difference of two coordinates that stay below 10 m [mm]."""


@compiled
def _profile(edges: Sequence[Edge], r: float, y: float) -> tuple[float, float, float, float]:
    """Return the signed distance to a convex profile, its gradient (r, y) and that gradient's noise.

    Args:
        edges: the profile's edges; those that lie at negative r are left out.
        r: distance of the point from the axis, or its x in a prism [mm].
        y: its place along the axis, or its y [mm].
    """
    inside = -FAR
    best = FAR
    ir = iy = br = by = 0.0
    for i in range(len(edges)):
        edge = edges[i]
        dr = r - edge.radius
        dy = y - edge.y
        nr = edge.normal_radius
        ny = edge.normal_y
        d = dr * nr + dy * ny
        if d > inside:
            inside, ir, iy = d, nr, ny
        if d > 0.0:
            t = dy * nr - dr * ny
            if 0.0 <= t <= edge.length:
                return d, nr, ny, 0.0  # a convex profile: no other edge is nearer
            if t > 0.0:
                dr += edge.length * ny
                dy -= edge.length * nr
            q = dr * dr + dy * dy
            if q < best:
                best, br, by = q, dr, dy
    if inside <= 0.0 or best == 0.0:
        return inside, ir, iy, 0.0
    out = math.sqrt(best)
    return out, br / out, by / out, NOISE / out


@compiled
def signed(shape: ShapeNumbers, edges: Sequence[Edge], x: float, y: float, z: float) -> Signed:
    """Return a point's signed distance, its gradient (3), distance from the axis, fall, gradient noise.

    The gradient is a unit vector everywhere, at kinks one of the possible ones. `fall` is how fast the
    distance decreases away from the axis of a torus or ring, 0 where the distance is convex. The
    distance from the axis is 0 for a box, capsule or prism.

    Args:
        shape: the shape.
        edges: of its profile, where it has one.
        x: the point in the shape's axes [mm], with y and z.
        y: see x.
        z: see x.
    """
    if shape.kind <= DISC_KIND:  # solids of revolution about y
        w = math.sqrt(x * x + z * z)
        ux = 1.0
        uz = 0.0
        noise = 0.0
        if w > 0.0:
            ux = x / w
            uz = z / w
            noise = NOISE / w
        if shape.kind == TORUS_KIND:
            a = w - shape.ring
            d = math.sqrt(a * a + y * y)
            gr = 0.0
            gy = 1.0
            if d > 0.0:
                gr = a / d
                gy = y / d
                noise += NOISE / d
            d -= shape.radius
        else:
            d, gr, gy, own = _profile(edges, w, y)
            noise += own
        fall = 0.0 if shape.kind == DISC_KIND else max(0.0, -gr)
        return d, gr * ux, gy, gr * uz, w, fall, noise
    if shape.kind == BOX_KIND:
        qx = abs(x) - shape.half[0]
        qy = abs(y) - shape.half[1]
        qz = abs(z) - shape.half[2]
        sx = 1.0 if x >= 0.0 else -1.0
        sy = 1.0 if y >= 0.0 else -1.0
        sz = 1.0 if z >= 0.0 else -1.0
        ox = max(qx, 0.0)
        oy = max(qy, 0.0)
        oz = max(qz, 0.0)
        d = math.sqrt(ox * ox + oy * oy + oz * oz)
        if d > 0.0:
            return d - shape.radius, sx * ox / d, sy * oy / d, sz * oz / d, 0.0, 0.0, NOISE / d
        if qx >= qy and qx >= qz:
            return qx - shape.radius, sx, 0.0, 0.0, 0.0, 0.0, 0.0
        if qy >= qz:
            return qy - shape.radius, 0.0, sy, 0.0, 0.0, 0.0, 0.0
        return qz - shape.radius, 0.0, 0.0, sz, 0.0, 0.0, 0.0
    if shape.kind == PRISM_KIND:
        d, gr, gy, noise = _profile(edges, x, y)
        qz = abs(z) - shape.length
        sz = 1.0 if z >= 0.0 else -1.0
        if d > 0.0 and qz > 0.0:
            out = math.sqrt(d * d + qz * qz)
            return out, gr * d / out, gy * d / out, sz * qz / out, 0.0, 0.0, noise + NOISE / out
        if d >= qz:
            return d, gr, gy, 0.0, 0.0, 0.0, noise
        return qz, 0.0, 0.0, sz, 0.0, 0.0, 0.0
    # A capsule. On the cone between its balls the normal's z is sin a = (difference of radii) / length.
    length = shape.length
    w = math.sqrt(x * x + y * y)
    at = 0.0 if shape.radius >= shape.end_radius else length
    if length > abs(shape.radius - shape.end_radius):
        sa = (shape.radius - shape.end_radius) / length
        ca = math.sqrt((1.0 - sa) * (1.0 + sa))
        along = z * ca - w * sa
        if 0.0 < along < length * ca:
            ux = x / w if w > 0.0 else 1.0
            uy = y / w if w > 0.0 else 0.0
            noise = NOISE / w if w > 0.0 else 0.0
            return w * ca + z * sa - shape.radius, ca * ux, ca * uy, sa, 0.0, 0.0, noise
        at = 0.0 if along <= 0.0 else length
    radius = shape.radius if at == 0.0 else shape.end_radius
    d = math.sqrt(w * w + (z - at) * (z - at))
    if d == 0.0:
        return -radius, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0
    return d - radius, x / d, y / d, (z - at) / d, 0.0, 0.0, NOISE / d
