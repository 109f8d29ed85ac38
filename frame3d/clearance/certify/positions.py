"""Position of an axis point, with derivatives and bounds, after a chain of turns and shifts, compiled.

A box has parameters x_i (place along the tube, then the motions) with half widths h_i about its
middle. C is the axis point, C0 that of the middle, J_i = dC/dx_i. Two bounds go with the point through
the chain, named as in the code:

    first  >= |C - C0|  in the box,
    second >= sum over all i, j of |d²C/dx_i dx_j| h_i h_j.

A turn by t about an axis (unit vector e, through the point O)::

              e                    dC/dt   =  e × (C - O),   |dC/dt| = arm
              ^    arm             d²C/dt² has the length arm
              |<--------->* C      d²C/dt dx_i  =  e × J_i: only the part of J_i square to e counts
              O

keeps all lengths. Over the box the mixed terms add up to at most k = min(first, sum |e × J_i| h_i +
second). So

    second grows by 2 k h_t + (arm + k) h_t²,     first by (arm + k) h_t,

and a tube that lies along the steering axis costs nothing. A shift adds h_t to `first`. A shift along a
circle of radius R adds R h_t to `first` and R h_t² to `second`.

A swing turns by p(t) about a point and shifts that point by d(t). Both come from a table with cubics
(Hermite) between its rows, so that p' and d' are continuous and |p'|, |p''|, |d'|, |d''| have bounds p1,
p2, d1, d2. With √(p1² + p2) h_t in place of h_t it is bounded like a turn: p'' adds p2 arm h_t² to
`second`, and p2 h_t² to the square of the angle by which sections turn. Its shift adds d1 h_t to `first`
and d2 h_t² to `second`.
"""

from __future__ import annotations

import math

from frame3d.bodies.motion.mounts import CIRCLE, SHIFT, SWING, TURN
from frame3d.clearance.certify.compiled import compiled
from frame3d.geometry.arrays import Array


@compiled
def axis(piece: Array, s: float, p: Array, vec: Array, n: int) -> None:
    """Write the axis point at s to p, and to vec its derivative and the section's frame.

    vec[0] is the derivative dC/ds, vec[n] the angular velocity of the section per mm, vec[2n] the
    tangent T, vec[2n + 1] the direction M of the section's larger half width.

    Of the section's two directions one, F, is the held direction e made square to the tangent:
    F = (e - t T)/√(1 - t²) with t = e·T. The other is G = T × F.

    Args:
        piece: a row of `search_input.pieces_of`.
        s: place along the piece from its start [mm].
        p: (3,) float, written to.
        vec: (2n + 2, 3) float, written to.
        n: number of parameters.
    """
    if piece[0] == 0.0:
        for i in range(3):
            p[i] = piece[2 + i] + s * piece[5 + i]
            vec[0, i] = piece[5 + i]
            vec[n, i] = 0.0
            vec[2 * n, i] = piece[5 + i]
            vec[2 * n + 1, i] = piece[8 + i]
        return
    c = math.cos(s * piece[0])
    si = math.sin(s * piece[0])
    t = 0.0
    for i in range(3):
        out = c * piece[5 + i] + si * piece[8 + i]
        on = -si * piece[5 + i] + c * piece[8 + i]
        p[i] = piece[2 + i] + piece[11] * out
        vec[0, i] = on
        vec[2 * n, i] = on
        t += piece[16 + i] * on
    root = math.sqrt(max(1.0 - t * t, 1e-12))
    kg = 0.0
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        f = (piece[16 + i] - t * vec[0, i]) / root
        g = (vec[0, j] * piece[16 + k] - vec[0, k] * piece[16 + j]) / root
        kg -= (c * piece[5 + i] + si * piece[8 + i]) * g
        vec[2 * n + 1, i] = f if piece[19] < 2.0 else g
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        binormal = piece[5 + j] * piece[8 + k] - piece[5 + k] * piece[8 + j]
        vec[n, i] = piece[0] * (binormal - t / root * kg * vec[0, i])


@compiled
def _cubic(u: float, gap: float, p: float, v: float, q: float, w: float) -> float:
    """Return the cubic from p (slope v) to q (slope w) over the length `gap`, at its fraction u."""
    r = 1.0 - u
    return p * (1.0 + 2.0 * u) * r * r + q * u * u * (3.0 - 2.0 * u) + gap * u * r * (v * r - w * u)


@compiled
def _slope(u: float, gap: float, p: float, v: float, q: float, w: float) -> float:
    """Return the slope of `_cubic`."""
    r = 1.0 - u
    return 6.0 * u * r * (q - p) / gap + v * r * (1.0 - 3.0 * u) + w * u * (3.0 * u - 2.0)


@compiled
def move(
    ops: Array, m: Array, h: Array, p: Array, vec: Array, n: int, second: float
) -> tuple[float, float, float]:
    """Move an axis point and its vectors from the tube's drawn place to the shape's axes.

    Args:
        ops: (k, 10) float, steps as in `motion.STEP`.
        m: value of each parameter [mm or radians], as in `bounds.evaluate`.
        h: half width of each parameter.
        p: (3,) float, the axis point; changed in place.
        vec: (2n + 2, 3) float, as from `axis`, with dC/dx_i and the angular velocity for each
            parameter i in rows i and n + i; changed in place.
        n: number of parameters.
        second: bound on the second derivatives of the axis alone.

    Returns:
        `first` and `second` (see the module), and the largest angle by which the motion turns
        sections within the box [radians].
    """
    first = h[0]
    spin = 0.0
    k = 0
    while k < ops.shape[0]:
        kind = ops[k, 0]
        dim = 1 + int(ops[k, 1])
        value = ops[k, 8]
        speed = ops[k, 9]
        step = u = gap = 0.0
        row = k
        if kind == SWING:
            gap = ops[k + 1, 0]
            span = min(int(m[dim] / gap), int(ops[k, 9]) - 2)
            row = k + 2 + span
            u = m[dim] / gap - span
            value = _cubic(u, gap, ops[row, 0], ops[row, 1], ops[row + 1, 0], ops[row + 1, 1])
            speed = _slope(u, gap, ops[row, 0], ops[row, 1], ops[row + 1, 0], ops[row + 1, 1])
            step = h[dim] * ops[k + 1, 1]
        elif dim > 0:
            value += m[dim] * speed
            step = h[dim] * abs(speed)
        if kind == TURN or (kind == SWING and ops[k + 1, 1] > 0.0):
            c = math.cos(value)
            s = math.sin(value)
            square = 0.0
            arm = 0.0
            for r in range(-1, 2 * n + 2):
                if r < 0:
                    x = p[0] - ops[k, 2]
                    y = p[1] - ops[k, 3]
                    z = p[2] - ops[k, 4]
                else:
                    x = vec[r, 0]
                    y = vec[r, 1]
                    z = vec[r, 2]
                # part along the axis + cos·(part square to it) + sin·(axis × it)
                along = ops[k, 5] * x + ops[k, 6] * y + ops[k, 7] * z
                vx = ops[k, 6] * z - ops[k, 7] * y
                vy = ops[k, 7] * x - ops[k, 5] * z
                vz = ops[k, 5] * y - ops[k, 6] * x
                wx = x - along * ops[k, 5]
                wy = y - along * ops[k, 6]
                wz = z - along * ops[k, 7]
                x = along * ops[k, 5] + c * wx + s * vx
                y = along * ops[k, 6] + c * wy + s * vy
                z = along * ops[k, 7] + c * wz + s * vz
                if r < 0:
                    p[0] = ops[k, 2] + x
                    p[1] = ops[k, 3] + y
                    p[2] = ops[k, 4] + z
                    arm = math.sqrt(vx * vx + vy * vy + vz * vz)
                    cx = c * vx - s * wx
                    cy = c * vy - s * wy
                    cz = c * vz - s * wz
                else:
                    vec[r, 0] = x
                    vec[r, 1] = y
                    vec[r, 2] = z
                    if r < n:
                        square += math.sqrt(vx * vx + vy * vy + vz * vz) * h[r]
            if dim > 0:
                vec[dim, 0] += speed * cx
                vec[dim, 1] += speed * cy
                vec[dim, 2] += speed * cz
                for i in range(3):
                    vec[n + dim, i] += speed * ops[k, 5 + i]
                square = min(first, square + second)
                arm += square
                second += 2.0 * square * step + arm * step * step
                first += arm * step
                spin += step
        if kind == SWING:
            for i in range(3):
                a = ops[row, 2 + i]
                b = ops[row, 5 + i]
                d = ops[row + 1, 2 + i]
                e = ops[row + 1, 5 + i]
                p[i] += _cubic(u, gap, a, b, d, e)
                vec[dim, i] += _slope(u, gap, a, b, d, e)
            first += ops[k + 1, 2] * h[dim]
            second += ops[k + 1, 3] * h[dim] * h[dim]
            k += 1 + int(ops[k, 9])
        elif kind == SHIFT:
            for i in range(3):
                p[i] += value * ops[k, 5 + i]
                if dim > 0:
                    vec[dim, i] += speed * ops[k, 5 + i]
            first += step
        elif kind == CIRCLE:  # by -(cos v · point + sin v · axis), both as long as the radius
            c = math.cos(value)
            s = math.sin(value)
            size = 0.0
            for i in range(3):
                size += ops[k, 5 + i] ** 2
                p[i] -= c * ops[k, 2 + i] + s * ops[k, 5 + i]
                if dim > 0:
                    vec[dim, i] += speed * (s * ops[k, 2 + i] - c * ops[k, 5 + i])
            size = math.sqrt(size)
            second += size * step * step
            first += size * step
        k += 1
    return first, second, spin
