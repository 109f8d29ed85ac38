"""Kernels: the certified gap between a tube and a shape over positions, compiled.

The tube T is the union of its sections E(s), ellipses (or circles) square to the axis c(s); the shape
is a signed distance D (negative inside) in its own axes; the motion is a chain of turns and shifts
that takes the tube's points into those axes. `measure` splits boxes of parameters (along the tube,
around it, and the motions) best-first until the lowest bound is within the tolerance of the lowest
value attained. What is searched over a box (modes), and why its bounds hold:

BALLS   (s, v): balls about the section's own middle line: about c(s) + m cos v·M with radius rho(v), where
        A >= B are the half widths, M the direction of A, m = A - B²/A and
        rho² = B² sin² v + (B²/A)² cos² v; of a circle the one ball about c(s). In the section's plane they are
        the discs that touch the ellipse inside, so every disc inside E(s) lies in one of them, and E(s) is
        their union. So min D - rho over a box never exceeds D on the sections of that box: a bound from
        below, whatever the bend and taper. It is not attained where the balls reach beyond T: past a flat
        end, or sideways where the tube tapers. Attained is only D at a real point of T, the section's
        point that faces the shape (`_touch`). Where the two stay apart while the box shrinks, the box is
        turned into boxes of the next two kinds.
SIDE    (s, v): points c + A cos v·M + B sin v·N of the surface.
CAP     (share, v): points of a flat end's section, from the middle line (share 0) to its edge (1).
ROUND   (v): the balls of a rounded end's section, which belong to T.
DEPTH   (s, v): balls as in BALLS, less those parts beyond a flat end: radius min(rho, distance along the
        axis to a flat end). Used once the two are known to overlap: depth is the largest of rho - D over these
        balls and of -D over the surface (SIDE, CAP).

If T and the shape have no point in common, D on T is least on T's boundary, which SIDE, CAP and ROUND
cover. If they overlap, either a boundary point of T is inside the shape (SIDE, CAP, ROUND and every point
tried finds it) or the whole shape is inside T, which `distance` tests by one point of the shape.

Bounds over a box with centre q and half widths h, for f(x) = D(X(x)) - r(x), columns J_i = dX/dx_i:

B >= |X(x) - X(q)|, Q >= sum |X_ij| h_i h_j (all i, j) over the box; then X(x) - X(q) = sum J_i d_i + R with
|R| <= Q/2, and the part of it along any direction e is at most b(e) = min(B, sum |J_i·e| h_i + Q/2).

first    f >= f(q) - B - sum |r_i| h_i: distances are 1-Lipschitz.
second   f >= f(q) - sum |g·J_i - r_i| h_i - Q/2 - Qr/2, where D is convex (a convex shape's signed distance
         is convex, inside too) and g is its gradient, or any subgradient, at X(q), |g| <= 1. Qr bounds the
         second derivative of r from above.
rings    D = P(w, y) with w the distance from the ring's axis and P convex. Where P grows with w, D is convex
         near enough: w itself is convex, so the same bound holds. Where P falls, at the rate fall = -dP/dw,
         w <= w(q) + d_u + d_t²/(2 (w(q) + d_u)), d_u along the arm and d_t square to it and the axis; so
         second holds less fall·b_t²/(2 (w(q) - b_u)). Near the axis, from w <= w(q) + b_p with b_p square to the
         axis:  f >= f(q) - fall·b_p - |P_y| b(y) - sum |r_i| h_i.

B, Q by the chain (`_move`), step after step. A turn by t about an axis keeps lengths; the new column is
axis × arm, its own second derivative the arm, and the mixed ones axis × the columns before it, of which
only the part square to the axis counts, over the box at most b_perp = min(sum |X_i| h_i, sum |J_i,perp| h_i
+ Q). So Q += 2 b_perp h_t + (|arm| + b_perp) h_t², B += (|arm| + b_perp) h_t: a tube that lies along the steering
axis costs nothing. A shift adds |h| to B; a shift along a circle of radius R adds R h to B and R h² to Q.
Bounds of a piece's own derivatives are made once (`pieces`).

Rounding: coordinates stay below 10 m, so a value is good to 1e-11 mm, taken as `ROUNDING`; a gradient is a
difference over its length, good to `NOISE` over that length, and enters the second bound with that
doubt times B. What was pruned is remembered: the bound returned is the least of all that was ever set aside.

Numba keeps the compiled code beside this file or, where that is read-only, in the user's cache folder;
where neither can be written it compiles anew in each process. It notices changes of this file only: all
compiled code stays here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar, cast

import numpy as np
from numba import njit
from numpy.typing import NDArray

from frame3d.bodies.mounts import SHIFT, TURN
from frame3d.bodies.shapes import BOX, DISC, TORUS

Array = NDArray[np.float64]
Order = NDArray[np.int64]
Signed = tuple[float, float, float, float, float, float, float]
F = TypeVar("F", bound=Callable[..., object])

ROUNDING = 1e-9
"""Error of one value [mm]."""
NOISE = 1e-11
"""Error of a difference of coordinates [mm]."""
FAR = 1e300

BALLS, DEPTH, ROUND, SIDE, CAP_START, CAP_END = range(6)
"""How a box runs over a tube piece: see above."""

VALUE, BOUND, BOXES, STATE, INSIDE, LEAST, ROW, MODE, U, V = range(10)
P, Q, POSE = 10, 13, 16
"""Where a result's numbers are: see `measure`."""
RESULT = 20
SEPARATE, OVERLAP, APART = 0, 1, 2
"""What a result's state says; APART: only that the gap is above the cutoff."""

KEY, HOW, PIECE, SPLIT, CENTRE = 0, 1, 2, 3, 4
"""Where a kept box's numbers are: bound, mode, piece, dimension to split (-1: turn into surface)."""


def compiled(function: F) -> F:
    """The function compiled by numba when first called, kept on disk where that can be written."""
    try:
        return cast(
            F,
            njit(  # type: ignore[call-overload]  # numba's stubs leave out the last two options
                cache=True,
                error_model="numpy",
                no_cpython_wrapper=function.__name__ not in ("measure", "signed"),
                no_cfunc_wrapper=True,
            )(function),
        )
    except RuntimeError:  # no folder to keep it in
        return cast(F, njit(error_model="numpy")(function))


@compiled
def _profile(par: Array, r: float, y: float) -> tuple[float, float, float, float]:
    """Signed distance to a convex profile, its gradient and that gradient's noise.

    par: edge count, then per edge its start (r, y), outward normal (r, y) and length; edges that
    lie at negative r are left out.
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
            inside = d
            ir = nr
            iy = ny
        if d > 0.0:
            t = dy * nr - dr * ny
            if t < 0.0:
                q = dr * dr + dy * dy
                if q < best:
                    best, br, by = q, dr, dy
            elif t > par[k + 4]:
                er = dr + par[k + 4] * ny
                ey = dy - par[k + 4] * nr
                q = er * er + ey * ey
                if q < best:
                    best, br, by = q, er, ey
            else:
                return d, nr, ny, 0.0  # a convex profile: no other edge is nearer
    if inside <= 0.0:
        return inside, ir, iy, 0.0
    out = math.sqrt(best)
    return out, br / out, by / out, NOISE / out


@compiled
def signed(kind: int, par: Array, x: float, y: float, z: float) -> Signed:
    """Signed distance of a point, its gradient (3), distance from the axis, fall, gradient's noise.

    The gradient is a unit vector everywhere, at kinks one of the possible ones; `fall` is how fast the
    distance falls away from a ring's axis, 0 where the distance is convex.
    """
    if kind <= DISC:  # turned about y
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
    # CAPSULE: hull of a ball of radius par[1] at the origin and one of par[2] at (0, 0, par[0]). On the
    # cone between them the normal rises by sin a = (par[1] - par[2]) / par[0].
    length = par[0]
    w = math.sqrt(x * x + y * y)
    ux = 1.0
    uy = 0.0
    noise = 0.0
    if w > 0.0:
        ux = x / w
        uy = y / w
        noise = NOISE / w
    at = 0.0 if par[1] >= par[2] else length
    if length > abs(par[1] - par[2]):
        sa = (par[1] - par[2]) / length
        ca = math.sqrt((1.0 - sa) * (1.0 + sa))
        along = z * ca - w * sa
        if along > 0.0 and along < length * ca:
            return w * ca + z * sa - par[1], ca * ux, ca * uy, sa, 0.0, 0.0, noise
        at = 0.0 if along <= 0.0 else length
    radius = par[1] if at == 0.0 else par[2]
    d = math.sqrt(w * w + (z - at) * (z - at))
    if d == 0.0:
        return -radius, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0
    return d - radius, x / d, y / d, (z - at) / d, 0.0, 0.0, NOISE / d


@compiled
def _move(
    ops: Array, m: Array, h: Array, p: Array, cols: Array, n: int, first: float, second: float
) -> tuple[float, float]:
    """Take a point and the first n columns of its derivatives through the motion; returns (B, Q)."""
    for k in range(ops.shape[0]):
        dim = int(ops[k, 1])
        value = ops[k, 8]
        step = 0.0
        if dim >= 0:
            value += m[2 + dim] * ops[k, 9]
            step = h[2 + dim] * abs(ops[k, 9])
        ax = ops[k, 5]
        ay = ops[k, 6]
        az = ops[k, 7]
        if ops[k, 0] == TURN:
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
            square = 0.0
            for j in range(n):
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
                square += math.sqrt(kx * kx + ky * ky + kz * kz) * h[j]
            if dim >= 0:
                sign = ops[k, 9]
                cols[2 + dim, 0] += sign * (c * vx - s * ux)
                cols[2 + dim, 1] += sign * (c * vy - s * uy)
                cols[2 + dim, 2] += sign * (c * vz - s * uz)
                square = min(first, square + second)
                arm = math.sqrt(ux * ux + uy * uy + uz * uz) + square
                second += 2.0 * square * step + arm * step * step
                first += arm * step
        elif ops[k, 0] == SHIFT:
            p[0] += value * ax
            p[1] += value * ay
            p[2] += value * az
            if dim >= 0:
                cols[2 + dim, 0] += ops[k, 9] * ax
                cols[2 + dim, 1] += ops[k, 9] * ay
                cols[2 + dim, 2] += ops[k, 9] * az
                first += step
        else:  # CIRCLE: by -(cos v · point + sin v · axis), both as long as the radius
            c = math.cos(value)
            s = math.sin(value)
            for i in range(3):
                p[i] -= c * ops[k, 2 + i] + s * ops[k, 5 + i]
                if dim >= 0:
                    cols[2 + dim, i] += ops[k, 9] * (s * ops[k, 2 + i] - c * ops[k, 5 + i])
            if dim >= 0:
                radius = math.sqrt(ax * ax + ay * ay + az * az)
                second += radius * step * step
                first += radius * step
    return first, second


@compiled
def _point(
    piece: Array, mode: int, u: float, v: float, p: Array, cols: Array, w: Array
) -> tuple[float, float, float]:
    """A point c + x·M + y·N (a ball's centre or on the surface) into p, its derivatives into cols[0:2].

    Into w: tangent T, turning K (T' = kappa K), M, M', N, N'; M is the direction of the larger half width, N
    the other. One of them, F, is the held direction e made square to the tangent, F = (e - t T)/√(1 - t²)
    with t = e·T; the other is T × F. Returns the ball's radius and its two derivatives.
    """
    s = u
    if mode == CAP_START:
        s = 0.0
    elif mode == CAP_END:
        s = piece[1]
    a = piece[12] + s * piece[13]
    radius = a
    radius_u = piece[13]
    radius_v = 0.0
    flat = mode <= ROUND and piece[19] == 0.0  # a round section's ball: on the axis
    x = x_u = x_v = y = y_u = y_v = 0.0
    if not flat:
        b = piece[14] + s * piece[15]
        c = math.cos(v)
        si = math.sin(v)
        n = b * b / a if a > 0.0 else 0.0
        if mode <= ROUND:
            n_u = b / a * (2.0 * piece[15] - b / a * piece[13])
            x = (a - n) * c
            x_u = (piece[13] - n_u) * c
            x_v = (n - a) * si
            radius = math.sqrt((b * si) ** 2 + (n * c) ** 2)
            radius_u = (b * piece[15] * si * si + n * n_u * c * c) / radius
            radius_v = (b * b - n * n) * si * c / radius
        elif mode == SIDE:
            x = a * c
            x_u = piece[13] * c
            x_v = -a * si
            y = b * si
            y_u = piece[15] * si
            y_v = b * c
        else:
            x = (a - n + u * n) * c
            x_u = n * c
            x_v = (n - a - u * n) * si
            y = u * b * si
            y_u = b * si
            y_v = u * b * c
    kappa = piece[0]
    if kappa == 0.0:
        for i in range(3):
            w[0, i] = piece[5 + i]
            w[2, i] = piece[16 + i]
            w[3, i] = 0.0
            w[4, i] = piece[8 + i]
            w[5, i] = 0.0
            p[i] = piece[2 + i] + s * piece[5 + i]
    else:
        c = math.cos(s * kappa)
        si = math.sin(s * kappa)
        t = 0.0
        ek = 0.0
        for i in range(3):
            out = c * piece[5 + i] + si * piece[8 + i]
            p[i] = piece[2 + i] + piece[11] * out
            w[0, i] = -si * piece[5 + i] + c * piece[8 + i]
            w[1, i] = -out
            t += piece[16 + i] * w[0, i]
            ek -= piece[16 + i] * out
        if not flat:
            root = math.sqrt(1.0 - t * t)
            f = 2 if piece[19] < 2.0 else 4
            g = 6 - f
            for i in range(3):
                square = piece[16 + i] - t * w[0, i]
                w[f, i] = square / root
                w[f + 1, i] = (
                    kappa / root * (square * t * ek / root**2 - ek * w[0, i] - t * w[1, i])
                )
            for i in range(3):
                j = (i + 1) % 3
                k = (i + 2) % 3
                w[g, i] = w[0, j] * w[f, k] - w[0, k] * w[f, j]
                w[g + 1, i] = (
                    kappa * (w[1, j] * w[f, k] - w[1, k] * w[f, j])
                    + w[0, j] * w[f + 1, k]
                    - w[0, k] * w[f + 1, j]
                )
    along = 1.0 if mode <= SIDE else 0.0
    for i in range(3):
        cols[0, i] = along * w[0, i]
        cols[1, i] = 0.0
        if not flat:
            p[i] += x * w[2, i] + y * w[4, i]
            cols[0, i] += x_u * w[2, i] + y_u * w[4, i] + along * (x * w[3, i] + y * w[5, i])
            cols[1, i] = x_v * w[2, i] + y_v * w[4, i]
    return radius, radius_u, radius_v


@compiled
def _to_flat(piece: Array, s: float) -> tuple[float, float]:
    """Distance along the axis to the nearer flat end, and its derivative."""
    start = piece[20] + s
    end = piece[21] + piece[1] - s
    return (start, 1.0) if start <= end else (end, -1.0)


@compiled
def _evaluate(
    piece: Array,
    mode: int,
    kind: int,
    par: Array,
    ops: Array,
    m: Array,
    h: Array,
    n: int,
    p: Array,
    cols: Array,
    w: Array,
    state: Array,
) -> tuple[float, float]:
    """Value at a box's centre and the lower bound over it.

    Leaves in `p` the point or ball's centre and in `cols` its derivatives, both in the shape's axes;
    in `state` D, its gradient (3), the radius and its derivative along the tube.
    """
    for j in range(2, n):
        for i in range(3):
            cols[j, i] = 0.0
    hu = h[0]
    hv = h[1]
    radius, along, around = _point(piece, mode, m[0], m[1], p, cols, w)
    r_first = r_second = 0.0
    if mode <= ROUND:
        first = piece[27] * hu + piece[28] * hv
        second = piece[29] * hu * hu + 2.0 * piece[30] * hu * hv + piece[31] * hv * hv
        r_first = piece[32] * hu + piece[33] * hv
        r_second = piece[34] * hu * hu + 2.0 * piece[35] * hu * hv + piece[36] * hv * hv
    else:
        radius = along = around = 0.0
        if mode == SIDE:
            first = piece[22] * hu + piece[23] * hv
            second = piece[24] * hu * hu + 2.0 * piece[25] * hu * hv + piece[26] * hv * hv
        else:
            reach = piece[23]
            if piece[19] == 0.0:
                reach *= min(1.0, m[0] + hu)
            first = piece[23] * hu + reach * hv
            second = 2.0 * piece[23] * hu * hv + reach * hv * hv
    first, second = _move(ops, m, h, p, cols, n, first, second)
    d, gx, gy, gz, far, fall, noise = signed(kind, par, p[0], p[1], p[2])
    state[0] = d
    state[1] = gx
    state[2] = gy
    state[3] = gz
    state[4] = radius
    state[5] = along
    bound = d - radius - first - r_first
    slack = 0.5 * second + 2.0 * noise * first
    if fall > 0.0:
        ux = p[0] / far if far > 0.0 else 1.0
        uz = p[2] / far if far > 0.0 else 0.0
        bu = bt = by = bp = 0.5 * second
        for j in range(n):
            cx = cols[j, 0]
            cz = cols[j, 2]
            bu += abs(ux * cx + uz * cz) * h[j]
            bt += abs(ux * cz - uz * cx) * h[j]
            by += abs(cols[j, 1]) * h[j]
            bp += math.sqrt(cx * cx + cz * cz) * h[j]
        bu = min(first, bu)
        bt = min(first, bt)
        lost = fall * min(first, bp) + abs(gy) * min(first, by) + noise * first
        bound = max(bound, d - radius - lost - r_first)
        slack = slack + 0.5 * fall * bt * bt / (far - bu) if far > 2.0 * bu else FAR
    for j in range(2, n):
        slack += abs(gx * cols[j, 0] + gy * cols[j, 1] + gz * cols[j, 2]) * h[j]
    gu = gx * cols[0, 0] + gy * cols[0, 1] + gz * cols[0, 2]
    gv = gx * cols[1, 0] + gy * cols[1, 1] + gz * cols[1, 2]
    own = abs(gu - along) * hu + abs(gv - around) * hv + 0.5 * r_second
    bound = max(bound, d - radius - slack - own)
    if mode == DEPTH:
        flat, rise = _to_flat(piece, m[0])
        own = min(first + hu, slack + abs(gu - rise) * hu + abs(gv) * hv)
        bound = max(bound, d - flat - own)
        radius = min(radius, flat)
        state[4] = radius
    return d - radius, bound - ROUNDING


@compiled
def _touch(
    piece: Array,
    mode: int,
    kind: int,
    par: Array,
    ops: Array,
    m: Array,
    h: Array,
    n: int,
    p: Array,
    cols: Array,
    w: Array,
    state: Array,
) -> float:
    """Signed distance of the section's point that faces the shape, near a ball just evaluated.

    The section is the one where the ball touches the tube, not the one of its middle. Leaves the
    point in `p`, the gradient there in `state`.
    """
    v = m[0]
    m[0] = min(max(v - state[4] * state[5], 0.0), piece[1])
    radius, _, _ = _point(piece, mode, m[0], m[1], p, cols, w)
    for i in range(3):
        cols[0, i] = w[0, i]
    _move(ops, m, h, p, cols, n, 0.0, 0.0)
    m[0] = v
    dot = state[1] * cols[0, 0] + state[2] * cols[0, 1] + state[3] * cols[0, 2]
    nx = state[1] - dot * cols[0, 0]
    ny = state[2] - dot * cols[0, 1]
    nz = state[3] - dot * cols[0, 2]
    size = math.sqrt(nx * nx + ny * ny + nz * nz)
    if size > 1e-9:
        p[0] -= radius * nx / size
        p[1] -= radius * ny / size
        p[2] -= radius * nz / size
    d, gx, gy, gz, _, _, _ = signed(kind, par, p[0], p[1], p[2])
    state[0] = d
    state[1] = gx
    state[2] = gy
    state[3] = gz
    state[4] = 0.0
    return d


@compiled
def _note(out: Array, row: int, mode: int, m: Array, n: int, p: Array, state: Array) -> None:
    """Write down where the least value so far lies, with the two points, in the shape's axes."""
    out[INSIDE] = 1.0 if mode == DEPTH and state[0] < 0.0 else 0.0
    out[ROW] = row
    out[MODE] = mode
    out[U] = m[0]
    out[V] = m[1]
    for i in range(3):
        out[P + i] = p[i] - state[4] * state[1 + i]
        out[Q + i] = p[i] - state[0] * state[1 + i]
    for j in range(2, n):
        out[POSE + j - 2] = m[j]


@compiled
def _push(store: Array, order: Order, count: int, item: int) -> int:
    order[count] = item
    i = count
    while i > 0:
        parent = (i - 1) // 2
        if store[order[parent], KEY] <= store[order[i], KEY]:
            break
        order[parent], order[i] = order[i], order[parent]
        i = parent
    return count + 1


@compiled
def _pop(store: Array, order: Order, count: int) -> tuple[int, int]:
    top = order[0]
    count -= 1
    order[0] = order[count]
    i = 0
    while True:
        child = 2 * i + 1
        if child >= count:
            break
        if child + 1 < count and store[order[child + 1], KEY] < store[order[child], KEY]:
            child += 1
        if store[order[i], KEY] <= store[order[child], KEY]:
            break
        order[i], order[child] = order[child], order[i]
        i = child
    return top, count


@compiled
def _skin(rows: Array, n: int, wait: Array) -> int:
    """Surface boxes, into `wait`, for the part of a tube that its last box of balls stands for.

    After that box itself, if it is of DEPTH. Returns how many there are.
    """
    box = wait.shape[0] - 1
    row = int(wait[box, PIECE])
    length = rows[row, 1]
    oval = rows[row, 19] != 0.0
    deep = wait[box, HOW] == DEPTH
    k = 0
    for mode in range(SIDE - 1 if deep else SIDE, CAP_END + 1):
        end = 0.0 if mode == CAP_START else length
        if mode > SIDE:
            if row != (0 if mode == CAP_START else rows.shape[0] - 1):
                continue
            if abs(wait[box, CENTRE] - end) > wait[box, CENTRE + n] + 1e-9:
                continue
        ball = mode < SIDE or (mode > SIDE and rows[row, 20 if mode == CAP_START else 21] > 0.0)
        for i in range(1 if ball else (2 if oval else 4)):
            for j in range(wait.shape[1]):
                wait[k, j] = wait[box, j]
            if mode >= SIDE:
                wait[k, HOW] = ROUND if ball else mode
            if mode > SIDE:
                wait[k, CENTRE] = end if ball else 0.5
                wait[k, CENTRE + n] = 0.0 if ball else 0.5
            if not ball:
                if not oval:
                    wait[k, CENTRE + 1] = (i + 0.5) * math.pi / 2
                    wait[k, CENTRE + n + 1] = math.pi / 4
                elif i == 1:
                    wait[k, CENTRE + 1] = -wait[k, CENTRE + 1]
            k += 1
    return k


@compiled
def _measure(
    rows: Array,
    kind: int,
    par: Array,
    ops: Array,
    low: Array,
    high: Array,
    n: int,
    tolerance: float,
    cutoff: float,
    deep: bool,
    store: Array,
    order: Order,
    out: Array,
) -> None:
    """`measure` of one pair, once; deep: the greatest depth of two that are known to overlap."""
    last = rows.shape[0] - 1
    limit = store.shape[0] - 16
    wide = CENTRE + 2 * n
    used = boxes = started = count = 0 * n  # of a constant numba would compile for that value too
    p = np.empty(3)
    cols = np.empty((n, 3))
    w = np.empty((6, 3))
    state = np.empty(6)
    m = np.empty(n)
    h = np.empty(n)
    wait = np.empty((16, wide))  # boxes to be looked at next; last the one that they come from
    best = out[VALUE] if deep else FAR
    least = FAR
    aside = FAR
    while True:
        slot = -1
        split = -2
        if started <= last:
            for j in range(n):
                centre = half = 0.0
                if j == 0:
                    centre = half = rows[started, 1] / 2
                elif j > 1:
                    centre = 0.5 * (low[j - 2] + high[j - 2])
                    half = 0.5 * (high[j - 2] - low[j - 2])
                elif rows[started, 19] != 0.0:
                    centre = half = math.pi / 2
                wait[15, CENTRE + j] = centre
                wait[15, CENTRE + n + j] = half
            wait[15, KEY] = -FAR
            wait[15, HOW] = DEPTH if deep else BALLS
            wait[15, PIECE] = started
            split = -1 if deep else 0
            started += 1
            whole = True
        else:
            if count == 0:
                break
            floor = store[order[0], KEY]
            if floor >= best - tolerance or floor > cutoff or boxes >= limit:
                aside = min(aside, floor)
                break
            slot, count = _pop(store, order, count)
            for j in range(wide):
                wait[15, j] = store[slot, j]
            split = int(wait[15, SPLIT])
            whole = False
            if split < 0:
                least = min(least, floor)
        if split < 0:
            waiting = _skin(rows, n, wait)
        else:
            waiting = 1 if whole else 2
            if not whole:
                wait[15, CENTRE + n + split] *= 0.5
            for k in range(waiting):
                for j in range(wide):
                    wait[k, j] = wait[15, j]
                if not whole:
                    wait[k, CENTRE + split] += (2 * k - 1) * wait[15, CENTRE + n + split]
        for k in range(waiting):
            row = int(wait[k, PIECE])
            mode = int(wait[k, HOW])
            for j in range(n):
                m[j] = wait[k, CENTRE + j]
                h[j] = wait[k, CENTRE + n + j]
            value, bound = _evaluate(rows[row], mode, kind, par, ops, m, h, n, p, cols, w, state)
            boxes += 1
            bound = max(bound, wait[k, KEY])
            split = 0
            widest = -1.0
            for j in range(n):
                spread = math.sqrt(cols[j, 0] ** 2 + cols[j, 1] ** 2 + cols[j, 2] ** 2) + 1e-6
                if spread * h[j] > widest:
                    widest = spread * h[j]
                    split = j
            if mode == BALLS:
                if state[0] < 0.0:
                    value = state[0]  # the ball's middle is inside
                    state[4] = 0.0
                elif value < best:
                    d = _touch(rows[row], mode, kind, par, ops, m, h, n, p, cols, w, state)
                    if d - value > max(value - bound, 0.5 * tolerance):
                        split = -1
                    value = d
                else:
                    value = FAR
            if value < best:
                best = value
                _note(out, row, mode, m, n, p, state)
            if best < 0.0 and not deep:
                out[STATE] = OVERLAP
                out[VALUE] = best
                out[BOUND] = -FAR
                out[BOXES] = boxes
                return
            if bound >= best - tolerance or bound > cutoff:
                aside = min(aside, bound)
            else:
                if slot < 0:
                    slot = used
                    used += 1
                for j in range(wide):
                    store[slot, j] = wait[k, j]
                store[slot, KEY] = bound
                store[slot, SPLIT] = split
                count = _push(store, order, count, slot)
                slot = -1
    out[VALUE] = best
    out[BOUND] = min(best, aside)
    out[BOXES] = boxes
    out[LEAST] = min(least, aside)
    out[STATE] = APART if out[BOUND] > cutoff else (OVERLAP if deep else SEPARATE)


@compiled
def measure(
    rows: Array,
    row_at: Order,
    kinds: Order,
    pars: Array,
    par_at: Order,
    ops: Array,
    op_at: Order,
    motions: Order,
    low: Array,
    high: Array,
    tolerance: float,
    cutoff: float,
    only_least: bool,
    deep: bool,
    store: Array,
    order: Order,
    out: Array,
) -> None:
    """Smallest gap of tubes to shapes over all positions, or the greatest depth, pair after pair.

    Args:
        rows: (n, 37) float, the tubes' pieces in the shapes' axes (see `pieces`), pair i's from
            row_at[i] on; row_at and the like are one longer than there are pairs.
        kinds, pars, par_at: the shapes (see `pieces.numbers_of`).
        ops: (k, 10) float, the motions' steps in the shapes' axes (see `motion`), from op_at[i] on.
        motions: how many motions each pair has.
        low, high: (pairs, 4) float, their ranges [mm or radians].
        tolerance: width of the certificates [mm].
        cutoff: stop once every bound is above it [mm]: the gap then is known to be larger.
        only_least: whether the least value so far is a cutoff too.
        deep: whether the pairs are known to overlap.
        store, order: (boxes, 16) float and (boxes,) int64 to work in; they limit how many boxes are
            looked at.
        out: (pairs, 20) float, the results: the value found, at the start the least one known where
            `deep`; the proven bound; how many boxes; state; 1 if the deepest ball's centre is inside the
            shape; least bound of a ball (below 0 the whole shape may be inside the tube); piece, mode,
            u, v; the tube's point and the shape's (3 + 3) in the shape's axes; pose (4).
    """
    for i in range(kinds.shape[0]):
        for again in range(2):
            _measure(
                rows[row_at[i] : row_at[i + 1]],
                kinds[i],
                pars[par_at[i] : par_at[i + 1]],
                ops[op_at[i] : op_at[i + 1]],
                low[i],
                high[i],
                2 + motions[i],
                tolerance,
                cutoff,
                deep or again == 1,
                store,
                order,
                out[i],
            )
            if out[i, STATE] != OVERLAP:
                break
        if only_least and out[i, STATE] != APART:
            cutoff = min(cutoff, out[i, VALUE])
