"""Kernels: branch and bound for the gap between a tube and a shape over positions, compiled.

The tube is a canal surface x(u), the shape a signed distance D (positive outside) in its own axes, the
motion a chain of rotations and shifts that takes a tube point into those axes: X(u, q). A box of
parameters (position along the tube, around it, and the motions q) with centre m and half widths h is
bounded from below in two ways, and the better one counts:

    first order   D(X(m)) - B,                       B >= |X - X(m)| over the box, as |D(x) - D(y)| <= |x - y|
    second order  D(X(m)) - sum |D'·X_i| h_i - Q/2 - k B²/2,   Q >= sum |X_ij| h_i h_j over the box

where -k bounds the curvature of D from below: 0 for convex shapes (their distance is convex), and
1/(distance from the shape's axis) for rings, whose profile's distance is convex while the circle about
the axis turns away. B and Q follow from the chain's speeds (see `_move`). Rounding is covered by
`ROUNDING`. Boxes are split best-first until the lowest bound is within the tolerance of the lowest
value found: then the gap lies between the two.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from frame3d.bodies.mounts import SHIFT, TURN
from frame3d.bodies.shapes import BOX, DISC, RING, TORUS

ROUNDING = 1e-9
"""Covers float rounding of one evaluation [mm]: coordinates below 4 m carry errors below 1e-12."""

LATERAL, CENTRE, CAP_START, CAP_END = 0, 1, 2, 3
"""How a box runs over a tube piece: its surface (s, angle), its axis less the radius (s), a flat end
(share of the radius, angle)."""


@njit(cache=True, inline="always")
def _polygon(par, n, r, y):
    """Signed distance to a convex polygon (counter-clockwise r, y pairs from par[1]) and its gradient."""
    inside = -1e300
    ir = 0.0
    iy = 0.0
    best = 1e300
    br = 0.0
    by = 0.0
    for i in range(n):
        ar = par[1 + 2 * i]
        ay = par[2 + 2 * i]
        j = i + 1 if i + 1 < n else 0
        er = par[1 + 2 * j] - ar
        ey = par[2 + 2 * j] - ay
        length = math.sqrt(er * er + ey * ey)
        # outward normal of a counter-clockwise edge
        nr = ey / length
        ny = -er / length
        d = (r - ar) * nr + (y - ay) * ny
        if d > inside:
            inside = d
            ir = nr
            iy = ny
        t = ((r - ar) * er + (y - ay) * ey) / (length * length)
        t = 0.0 if t < 0.0 else (1.0 if t > 1.0 else t)
        pr = r - ar - t * er
        py = y - ay - t * ey
        q = pr * pr + py * py
        if q < best:
            best = q
            br = pr
            by = py
    if inside <= 0.0:
        return inside, ir, iy
    out = math.sqrt(best)
    if out < 1e-300:
        return 0.0, ir, iy
    return out, br / out, by / out


@njit(cache=True)
def signed(kind, par, x, y, z):
    """Signed distance of a point, its gradient, and the distance from the axis (huge if convex)."""
    if kind == TORUS:
        rho = math.sqrt(x * x + z * z)
        a = rho - par[0]
        d = math.sqrt(a * a + y * y)
        if d < 1e-12 or rho < 1e-12:
            return d - par[1], 0.0, 0.0, 0.0, rho
        return d - par[1], a / d * x / rho, y / d, a / d * z / rho, rho
    if kind in (RING, DISC):
        rho = math.sqrt(x * x + z * z)
        d, gr, gy = _polygon(par, int(par[0]), rho, y)
        far = rho if kind == RING else 1e300
        if rho < 1e-12:
            return d, 0.0, gy, 0.0, far
        return d, gr * x / rho, gy, gr * z / rho, far
    if kind == BOX:
        qx = abs(x) - par[0]
        qy = abs(y) - par[1]
        qz = abs(z) - par[2]
        sx = 1.0 if x >= 0 else -1.0
        sy = 1.0 if y >= 0 else -1.0
        sz = 1.0 if z >= 0 else -1.0
        ox = max(qx, 0.0)
        oy = max(qy, 0.0)
        oz = max(qz, 0.0)
        d = math.sqrt(ox * ox + oy * oy + oz * oz)
        if d > 0.0:
            return d - par[3], sx * ox / d, sy * oy / d, sz * oz / d, 1e300
        if qx >= qy and qx >= qz:
            return qx - par[3], sx, 0.0, 0.0, 1e300
        if qy >= qz:
            return qy - par[3], 0.0, sy, 0.0, 1e300
        return qz - par[3], 0.0, 0.0, sz, 1e300
    # CAPSULE: hull of a sphere r0 at the origin and a sphere r1 at (0, 0, L)
    length = par[0]
    r0 = par[1]
    r1 = par[2]
    rho = math.sqrt(x * x + y * y)
    if length <= abs(r0 - r1) + 1e-12:
        lift = 0.0 if r0 >= r1 else length
        big = max(r0, r1)
        d = math.sqrt(rho * rho + (z - lift) * (z - lift))
        if d < 1e-12:
            return -big, 0.0, 0.0, 1.0, 1e300
        return d - big, x / d, y / d, (z - lift) / d, 1e300
    # On the cone the normal is (cos a, sin a) with sin a = (r0 - r1)/L; feet by projection along it.
    sa = (r0 - r1) / length
    ca = math.sqrt(1.0 - sa * sa)
    t = z - rho * sa / ca
    if t < 0.0:
        t = 0.0
    elif t > length:
        t = length
    else:
        d = rho * ca + z * sa - r0
        if rho < 1e-12:
            return d, ca, 0.0, sa, 1e300
        return d, ca * x / rho, ca * y / rho, sa, 1e300
    r = r0 if t == 0.0 else r1
    d = math.sqrt(rho * rho + (z - t) * (z - t))
    if d < 1e-12:
        return -r, 0.0, 0.0, 1.0, 1e300
    return d - r, x / d, y / d, (z - t) / d, 1e300


@njit(cache=True)
def _move(ops, q, h, p, cols, nd, b1, qq, first):
    """Take a point (and the columns of its derivatives) through the motion, with the bounds B and Q.

    A turn is an isometry, so it keeps the lengths of what went before; its own column is axis × arm,
    its own second derivative is the arm, and the mixed ones are the columns before it. Returns (B, Q).
    """
    for k in range(ops.shape[0]):
        kind = int(ops[k, 0])
        dim = int(ops[k, 1])
        ax = ops[k, 5]
        ay = ops[k, 6]
        az = ops[k, 7]
        value = ops[k, 8]
        step = 0.0
        if dim >= 0:
            value += q[first + dim] * ops[k, 9]
            step = h[first + dim] * abs(ops[k, 9])
        if kind == TURN:
            dx = p[0] - ops[k, 2]
            dy = p[1] - ops[k, 3]
            dz = p[2] - ops[k, 4]
            c = math.cos(value)
            s = math.sin(value)
            dot = ax * dx + ay * dy + az * dz
            ux = dx - dot * ax
            uy = dy - dot * ay
            uz = dz - dot * az
            vx = ay * dz - az * dy
            vy = az * dx - ax * dz
            vz = ax * dy - ay * dx
            p[0] = ops[k, 2] + dot * ax + c * ux + s * vx
            p[1] = ops[k, 3] + dot * ay + c * uy + s * vy
            p[2] = ops[k, 4] + dot * az + c * uz + s * vz
            for j in range(nd):
                wx = cols[j, 0]
                wy = cols[j, 1]
                wz = cols[j, 2]
                dw = ax * wx + ay * wy + az * wz
                kx = ay * wz - az * wy
                ky = az * wx - ax * wz
                kz = ax * wy - ay * wx
                cols[j, 0] = dw * ax + c * (wx - dw * ax) + s * kx
                cols[j, 1] = dw * ay + c * (wy - dw * ay) + s * ky
                cols[j, 2] = dw * az + c * (wz - dw * az) + s * kz
            if dim >= 0:
                sign = ops[k, 9]
                cols[first + dim, 0] += sign * (c * vx - s * ux)
                cols[first + dim, 1] += sign * (c * vy - s * uy)
                cols[first + dim, 2] += sign * (c * vz - s * uz)
                arm = math.sqrt(ux * ux + uy * uy + uz * uz) + b1
                qq += 2.0 * b1 * step + arm * step * step
                b1 += arm * step
        elif kind == SHIFT:
            p[0] += value * ax
            p[1] += value * ay
            p[2] += value * az
            if dim >= 0:
                cols[first + dim, 0] += ops[k, 9] * ax
                cols[first + dim, 1] += ops[k, 9] * ay
                cols[first + dim, 2] += ops[k, 9] * az
                b1 += step
        else:  # CIRCLE about y in the side view: shift by -radius·(cos v, 0, sin v)
            radius = ops[k, 2]
            c = math.cos(value)
            s = math.sin(value)
            p[0] -= radius * c
            p[2] -= radius * s
            if dim >= 0:
                cols[first + dim, 0] += ops[k, 9] * radius * s
                cols[first + dim, 2] -= ops[k, 9] * radius * c
                qq += abs(radius) * step * step
                b1 += abs(radius) * step
    return b1, qq


@njit(cache=True)
def axis_point(piece, s, p, t, n):
    """Point, tangent and turning direction (tangent' = kappa·n) of a piece at s."""
    if piece[0] == 0.0:
        for i in range(3):
            t[i] = piece[5 + i]
            p[i] = piece[2 + i] + s * t[i]
            n[i] = 0.0
        return
    radius = piece[11]
    phi = s / radius
    c = math.cos(phi)
    si = math.sin(phi)
    for i in range(3):
        out = c * piece[5 + i] + si * piece[8 + i]
        p[i] = piece[2 + i] + radius * out
        t[i] = -si * piece[5 + i] + c * piece[8 + i]
        n[i] = -out


@njit(cache=True)
def surface_point(piece, mode, u, v, hu, hv, p, cols, w):
    """A surface point of a tube piece with its two derivatives; returns (B, Q) for the half widths.

    Section: p = axis + a·cos v·W + b·sin v·H, W the lateral direction made square to the tangent
    (piece[18] says which direction is lateral) and H = tangent × W.
    """
    length = piece[1]
    s = u
    share = 1.0
    if mode == CAP_START:
        s = 0.0
        share = u
    elif mode == CAP_END:
        s = length
        share = u
    t = w[0]
    n = w[1]
    axis_point(piece, s, p, t, n)
    kappa = 0.0 if piece[0] == 0.0 else 1.0 / piece[11]
    da = (piece[13] - piece[12]) / length
    db = (piece[15] - piece[14]) / length
    a = piece[12] + da * s
    b = piece[14] + db * s
    lat = int(piece[18])
    tl = t[lat]
    wl = math.sqrt(1.0 - tl * tl)
    dtl = kappa * n[lat]
    cv = math.cos(v)
    sv = math.sin(v)
    for i in range(3):
        e = 1.0 if i == lat else 0.0
        w[2, i] = (e - tl * t[i]) / wl
        w[3, i] = (-dtl * t[i] - tl * kappa * n[i]) / wl + (e - tl * t[i]) * tl * dtl / (wl**3)
    # H = T × W, H' = T' × W + T × W'
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        w[4, i] = t[j] * w[2, k] - t[k] * w[2, j]
        w[5, i] = kappa * (n[j] * w[2, k] - n[k] * w[2, j]) + t[j] * w[3, k] - t[k] * w[3, j]
    big = max(max(piece[12], piece[13]), max(piece[14], piece[15]))
    for i in range(3):
        radial = a * cv * w[2, i] + b * sv * w[4, i]
        around = -a * sv * w[2, i] + b * cv * w[4, i]
        if mode == LATERAL:
            cols[0, i] = (
                t[i] + da * cv * w[2, i] + db * sv * w[4, i] + a * cv * w[3, i] + b * sv * w[5, i]
            )
            cols[1, i] = around
        else:
            cols[0, i] = radial
            cols[1, i] = share * around
        p[i] += share * radial
    if mode == LATERAL:
        slope = max(abs(da), abs(db))
        turn = piece[16] * kappa  # bounds |W'| and |H'|
        bend = piece[17] * kappa * kappa  # bounds |W''| and |H''|
        speed = 1.0 + slope + big * turn
        first = speed * hu + big * hv
        second = (
            (kappa + big * bend + 2.0 * slope * turn) * hu * hu
            + 2.0 * (slope + big * turn) * hu * hv
            + big * hv * hv
        )
        return first, second
    reach = min(1.0, share + hu) * big
    return big * hu + reach * hv, 2.0 * big * hu * hv + reach * hv * hv


@njit(cache=True)
def _bound(piece, mode, kind, par, ops, m, h, nd, p, cols, w, out):
    """Value at the box's centre and a lower bound over the box; out[j] = slack by dimension."""
    first = 1 if mode == CENTRE else 2
    for j in range(nd):
        for i in range(3):
            cols[j, i] = 0.0
    radius = 0.0
    slope = 0.0
    if mode == CENTRE:
        axis_point(piece, m[0], p, w[0], w[1])
        for i in range(3):
            cols[0, i] = w[0, i]
        slope = (piece[13] - piece[12]) / piece[1]
        # Spheres that touch a cone inside have its radius times the cosine of its half angle.
        cone = 1.0 / math.sqrt(1.0 + slope * slope)
        radius = (piece[12] + slope * m[0]) * cone
        slope *= cone
        kappa = 0.0 if piece[0] == 0.0 else 1.0 / piece[11]
        b1 = h[0]
        qq = kappa * h[0] * h[0]
    else:
        b1, qq = surface_point(piece, mode, m[0], m[1], h[0], h[1], p, cols, w)
    b1, qq = _move(ops, m, h, p, cols, nd, b1, qq, first)
    d, gx, gy, gz, far = signed(kind, par, p[0], p[1], p[2])
    value = d - radius
    low1 = value - b1 - abs(slope) * h[0]
    slack = 0.0
    for j in range(nd):
        g = gx * cols[j, 0] + gy * cols[j, 1] + gz * cols[j, 2]
        if j == 0:
            g -= slope
        slack += abs(g) * h[j]
        speed = math.sqrt(cols[j, 0] ** 2 + cols[j, 1] ** 2 + cols[j, 2] ** 2)
        out[j] = speed * h[j]
    low2 = -1e300
    if far > b1 * 1.0000001:
        low2 = value - slack - 0.5 * qq
        if far < 1e299:
            low2 -= 0.5 * b1 * b1 / (far - b1)
    return value, max(low1, low2) - ROUNDING


@njit(cache=True)
def _push(keys, order, count, key, item):
    order[count] = item
    keys[item] = key
    i = count
    while i > 0:
        parent = (i - 1) // 2
        if keys[order[parent]] <= keys[order[i]]:
            break
        order[parent], order[i] = order[i], order[parent]
        i = parent
    return count + 1


@njit(cache=True)
def _pop(keys, order, count):
    top = order[0]
    count -= 1
    order[0] = order[count]
    i = 0
    while True:
        left = 2 * i + 1
        if left >= count:
            break
        child = left
        if left + 1 < count and keys[order[left + 1]] < keys[order[left]]:
            child = left + 1
        if keys[order[i]] <= keys[order[child]]:
            break
        order[i], order[child] = order[child], order[i]
        i = child
    return top, count


@njit(cache=True)
def search(pieces, modes, kind, par, ops, low, high, tolerance, cutoff, limit):
    """Smallest value of D(X) - radius over all pieces, modes and motions.

    Args:
        pieces: (n, 20) float, tube pieces (see `frame3d.clearance.pieces.pieces_of`).
        modes: (n, 4) bool, which of LATERAL, CENTRE, CAP_START, CAP_END each piece is searched in.
        kind, par: the shape.
        ops: (k, 10) float, the motion's steps: kind, dimension or -1, point (3), axis (3), offset,
            factor.
        low, high: (d,) float, range of each motion.
        tolerance: [mm].
        cutoff: stop once every bound is above it [mm]: the gap then is known to be larger.
        limit: most boxes.

    Returns:
        (found, bound, where, boxes): smallest value found, proven lower bound [mm], (9,) float: piece,
        mode, u, v, motions...; number of boxes looked at.
    """
    nq = low.shape[0]
    wide = 2 + nq
    capacity = 1024
    keys = np.empty(capacity)
    order = np.empty(capacity, np.int64)
    centre = np.empty((capacity, wide))
    half = np.empty((capacity, wide))
    tags = np.empty((capacity, 2), np.int64)
    used = 0
    count = 0
    p = np.empty(3)
    cols = np.empty((wide, 3))
    w = np.empty((6, 3))
    spread = np.empty(wide)
    m = np.empty(wide)
    h = np.empty(wide)
    where = np.zeros(9)
    best = 1e300
    boxes = 0
    for i in range(pieces.shape[0]):
        for mode in range(4):
            if not modes[i, mode]:
                continue
            first = 1 if mode == CENTRE else 2
            nd = first + nq
            top = pieces[i, 1] if mode in (LATERAL, CENTRE) else 1.0
            # Around the tube in quarters: a whole turn in one box has no useful derivative.
            quarters = 1 if mode == CENTRE else 4
            for quarter in range(quarters):
                m[0] = top / 2
                h[0] = top / 2
                if first == 2:
                    m[1] = (quarter + 0.5) * math.pi / 2
                    h[1] = math.pi / 4
                for j in range(nq):
                    m[first + j] = 0.5 * (low[j] + high[j])
                    h[first + j] = 0.5 * (high[j] - low[j])
                value, bound = _bound(pieces[i], mode, kind, par, ops, m, h, nd, p, cols, w, spread)
                boxes += 1
                if value < best:
                    best = value
                    _note(where, i, mode, first, m, nq)
                if used + 2 >= capacity:
                    capacity *= 2
                    keys, order, centre, half, tags = _grow(
                        keys, order, centre, half, tags, capacity
                    )
                for j in range(nd):
                    centre[used, j] = m[j]
                    half[used, j] = h[j]
                tags[used, 0] = i
                tags[used, 1] = mode
                count = _push(keys, order, count, bound, used)
                used += 1
    floor = best
    while count > 0:
        floor = keys[order[0]]
        if floor >= best - tolerance or floor > cutoff or boxes >= limit:
            break
        item, count = _pop(keys, order, count)
        i = tags[item, 0]
        mode = tags[item, 1]
        first = 1 if mode == CENTRE else 2
        nd = first + nq
        parent = keys[item]
        # Split where the tube point moves most.
        for j in range(nd):
            m[j] = centre[item, j]
            h[j] = half[item, j]
        _bound(pieces[i], mode, kind, par, ops, m, h, nd, p, cols, w, spread)
        split = 0
        for j in range(1, nd):
            if spread[j] > spread[split]:
                split = j
        if used + 2 >= capacity:
            capacity *= 2
            keys, order, centre, half, tags = _grow(keys, order, centre, half, tags, capacity)
        h[split] *= 0.5
        middle = m[split]
        for side in range(2):
            m[split] = middle + (h[split] if side else -h[split])
            value, bound = _bound(pieces[i], mode, kind, par, ops, m, h, nd, p, cols, w, spread)
            boxes += 1
            bound = max(bound, parent)
            if value < best:
                best = value
                _note(where, i, mode, first, m, nq)
            if bound < best - tolerance:
                slot = item if side == 0 else used
                if side == 1:
                    used += 1
                for j in range(nd):
                    centre[slot, j] = m[j]
                    half[slot, j] = h[j]
                tags[slot, 0] = i
                tags[slot, 1] = mode
                count = _push(keys, order, count, bound, slot)
        if count == 0:
            floor = best - tolerance
    if count == 0:
        floor = best - tolerance
    return best, min(floor, best), where, boxes


@njit(cache=True)
def _note(where, i, mode, first, m, nq):
    where[0] = i
    where[1] = mode
    where[2] = m[0]
    where[3] = m[1] if first == 2 else 0.0
    for j in range(nq):
        where[4 + j] = m[first + j]


@njit(cache=True)
def _grow(keys, order, centre, half, tags, capacity):
    k = np.empty(capacity)
    o = np.empty(capacity, np.int64)
    c = np.empty((capacity, centre.shape[1]))
    f = np.empty((capacity, half.shape[1]))
    t = np.empty((capacity, 2), np.int64)
    n = keys.shape[0]
    k[:n] = keys
    o[:n] = order
    c[:n] = centre
    f[:n] = half
    t[:n] = tags
    return k, o, c, f, t
