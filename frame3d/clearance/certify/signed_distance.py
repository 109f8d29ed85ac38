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
from typing import TypeAlias

from frame3d.bodies.shapes import BOX, DISC, TORUS
from frame3d.clearance.certify.compiled import compiled
from frame3d.geometry.arrays import Array

Signed: TypeAlias = tuple[float, float, float, float, float, float, float]

FAR = 1e300
NOISE = 1e-11
"""Error of a difference of two coordinates that stay below 10 m [mm]."""


@compiled
def _profile(par: Array, r: float, y: float) -> tuple[float, float, float, float]:
    """Return the signed distance to a convex profile, its gradient (r, y) and that gradient's noise.

    Args:
        par: edge count, then per edge its start (r, y), outward normal (r, y) and length; edges that
            lie at negative r are left out.
        r: distance of the point from the axis [mm].
        y: its place along the axis [mm].
    """
    inside = -FAR
    best = FAR
    ir = iy = br = by = 0.0
    for i in range(int(par[0])):
        k = 1 + 5 * i
        dr = r - par[k]
        dy = y - par[k + 1]
        nr = par[k + 2]
        ny = par[k + 3]
        d = dr * nr + dy * ny
        if d > inside:
            inside, ir, iy = d, nr, ny
        if d > 0.0:
            t = dy * nr - dr * ny
            if 0.0 <= t <= par[k + 4]:
                return d, nr, ny, 0.0  # a convex profile: no other edge is nearer
            if t > 0.0:
                dr += par[k + 4] * ny
                dy -= par[k + 4] * nr
            q = dr * dr + dy * dy
            if q < best:
                best, br, by = q, dr, dy
    if inside <= 0.0 or best == 0.0:
        return inside, ir, iy, 0.0
    out = math.sqrt(best)
    return out, br / out, by / out, NOISE / out


@compiled
def signed(kind: int, par: Array, x: float, y: float, z: float) -> Signed:
    """Return a point's signed distance, its gradient (3), distance from the axis, fall, gradient noise.

    The gradient is a unit vector everywhere, at kinks one of the possible ones. `fall` is how fast the
    distance decreases away from the axis of a torus or ring, 0 where the distance is convex. The
    distance from the axis is 0 for a box or capsule.

    Args:
        kind: TORUS, RING, DISC, BOX or CAPSULE.
        par: the shape's numbers as `search_input.numbers_of` gives them.
        x: the point in the shape's axes [mm], with y and z.
        y: see x.
        z: see x.
    """
    if kind <= DISC:  # solids of revolution about y
        w = math.sqrt(x * x + z * z)
        ux = 1.0
        uz = 0.0
        noise = 0.0
        if w > 0.0:
            ux = x / w
            uz = z / w
            noise = NOISE / w
        if kind == TORUS:
            a = w - par[0]
            d = math.sqrt(a * a + y * y)
            gr = 0.0
            gy = 1.0
            if d > 0.0:
                gr = a / d
                gy = y / d
                noise += NOISE / d
            d -= par[1]
        else:
            d, gr, gy, own = _profile(par, w, y)
            noise += own
        fall = 0.0 if kind == DISC else max(0.0, -gr)
        return d, gr * ux, gy, gr * uz, w, fall, noise
    if kind == BOX:
        qx = abs(x) - par[0]
        qy = abs(y) - par[1]
        qz = abs(z) - par[2]
        sx = 1.0 if x >= 0.0 else -1.0
        sy = 1.0 if y >= 0.0 else -1.0
        sz = 1.0 if z >= 0.0 else -1.0
        ox = max(qx, 0.0)
        oy = max(qy, 0.0)
        oz = max(qz, 0.0)
        d = math.sqrt(ox * ox + oy * oy + oz * oz)
        if d > 0.0:
            return d - par[3], sx * ox / d, sy * oy / d, sz * oz / d, 0.0, 0.0, NOISE / d
        if qx >= qy and qx >= qz:
            return qx - par[3], sx, 0.0, 0.0, 0.0, 0.0, 0.0
        if qy >= qz:
            return qy - par[3], 0.0, sy, 0.0, 0.0, 0.0, 0.0
        return qz - par[3], 0.0, 0.0, sz, 0.0, 0.0, 0.0
    # CAPSULE: hull of a ball of radius par[1] at the origin and one of radius par[2] at (0, 0, par[0]).
    # On the cone between them the normal's z is sin a = (par[1] - par[2]) / par[0].
    length = par[0]
    w = math.sqrt(x * x + y * y)
    at = 0.0 if par[1] >= par[2] else length
    if length > abs(par[1] - par[2]):
        sa = (par[1] - par[2]) / length
        ca = math.sqrt((1.0 - sa) * (1.0 + sa))
        along = z * ca - w * sa
        if 0.0 < along < length * ca:
            ux = x / w if w > 0.0 else 1.0
            uy = y / w if w > 0.0 else 0.0
            noise = NOISE / w if w > 0.0 else 0.0
            return w * ca + z * sa - par[1], ca * ux, ca * uy, sa, 0.0, 0.0, noise
        at = 0.0 if along <= 0.0 else length
    radius = par[1] if at == 0.0 else par[2]
    d = math.sqrt(w * w + (z - at) * (z - at))
    if d == 0.0:
        return -radius, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0
    return d - radius, x / d, y / d, (z - at) / d, 0.0, 0.0, NOISE / d
