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
from collections.abc import Sequence

from frame3d.bodies.motion.mounts import CIRCLE, SHIFT, SWING, TURN
from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.records import Knot, MotionStep, Piece, SectionFrame
from frame3d.geometry.arrays import Array


@compiled
def axis(piece: Piece, s: float, frame: SectionFrame) -> None:
    """Write the section's frame at s, and how it changes along the piece (parameter 0).

    Of the section's two directions one, F, is the held direction e made square to the tangent:
    F = (e - t T)/√(1 - t²) with t = e·T. The other is G = T × F.

    Args:
        piece: a tube's piece.
        s: place along the piece from its start [mm].
        frame: written to; `rate` and `spin` of parameter 0 only.
    """
    if piece.curvature == 0.0:
        for i in range(3):
            frame.point[i] = piece.origin[i] + s * piece.tangent[i]
            frame.rate[0, i] = piece.tangent[i]
            frame.spin[0, i] = 0.0
            frame.tangent[i] = piece.tangent[i]
            frame.major[i] = piece.major[i]
        _complete(frame)
        return
    c = math.cos(s * piece.curvature)
    si = math.sin(s * piece.curvature)
    t = 0.0
    for i in range(3):
        out = c * piece.out[i] + si * piece.tangent[i]
        on = -si * piece.out[i] + c * piece.tangent[i]
        frame.point[i] = piece.origin[i] + piece.radius * out
        frame.rate[0, i] = on
        frame.tangent[i] = on
        t += piece.held[i] * on
    root = math.sqrt(max(1.0 - t * t, 1e-12))
    kg = 0.0
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        f = (piece.held[i] - t * frame.tangent[i]) / root
        g = (frame.tangent[j] * piece.held[k] - frame.tangent[k] * piece.held[j]) / root
        kg -= (c * piece.out[i] + si * piece.tangent[i]) * g
        frame.major[i] = g if piece.is_across else f
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        binormal = piece.out[j] * piece.tangent[k] - piece.out[k] * piece.tangent[j]
        frame.spin[0, i] = piece.curvature * (binormal - t / root * kg * frame.tangent[i])
    _complete(frame)


@compiled
def _complete(frame: SectionFrame) -> None:
    """Write the section's third direction, N = T × M."""
    for i in range(3):
        j = (i + 1) % 3
        k = (i + 2) % 3
        frame.minor[i] = frame.tangent[j] * frame.major[k] - frame.tangent[k] * frame.major[j]


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
def _turned(
    step: MotionStep, c: float, s: float, x: float, y: float, z: float
) -> tuple[float, float, float, float]:
    """Return a vector turned about a step's axis (cosine c, sine s), and how long it is square to it."""
    ex = step.axis[0]
    ey = step.axis[1]
    ez = step.axis[2]
    # part along the axis + cos·(part square to it) + sin·(axis × it)
    along = ex * x + ey * y + ez * z
    vx = ey * z - ez * y
    vy = ez * x - ex * z
    vz = ex * y - ey * x
    return (
        along * ex + c * (x - along * ex) + s * vx,
        along * ey + c * (y - along * ey) + s * vy,
        along * ez + c * (z - along * ez) + s * vz,
        math.sqrt(vx * vx + vy * vy + vz * vz),
    )


@compiled
def _turn(
    step: MotionStep, value: float, frame: SectionFrame, n: int, h: Array
) -> tuple[float, float]:
    """Turn a frame about a step's axis.

    Returns:
        `arm`, the distance of the axis point from the step's axis, and sum |e × J_i| h_i.
    """
    c = math.cos(value)
    s = math.sin(value)
    px = step.point[0]
    py = step.point[1]
    pz = step.point[2]
    x, y, z, arm = _turned(
        step, c, s, frame.point[0] - px, frame.point[1] - py, frame.point[2] - pz
    )
    frame.point[0] = px + x
    frame.point[1] = py + y
    frame.point[2] = pz + z
    x, y, z, _ = _turned(step, c, s, frame.tangent[0], frame.tangent[1], frame.tangent[2])
    frame.tangent[0] = x
    frame.tangent[1] = y
    frame.tangent[2] = z
    x, y, z, _ = _turned(step, c, s, frame.major[0], frame.major[1], frame.major[2])
    frame.major[0] = x
    frame.major[1] = y
    frame.major[2] = z
    square = 0.0
    for i in range(n):
        x, y, z, part = _turned(step, c, s, frame.rate[i, 0], frame.rate[i, 1], frame.rate[i, 2])
        frame.rate[i, 0] = x
        frame.rate[i, 1] = y
        frame.rate[i, 2] = z
        square += part * h[i]
        x, y, z, _ = _turned(step, c, s, frame.spin[i, 0], frame.spin[i, 1], frame.spin[i, 2])
        frame.spin[i, 0] = x
        frame.spin[i, 1] = y
        frame.spin[i, 2] = z
    _complete(frame)
    return arm, square


@compiled
def move(
    steps: Sequence[MotionStep],
    knots: Sequence[Knot],
    m: Array,
    h: Array,
    frame: SectionFrame,
    n: int,
    second: float,
) -> tuple[float, float, float]:
    """Move a section's frame from the tube's drawn place to the shape's axes.

    Args:
        steps: the motion's steps.
        knots: the rows of its tables.
        m: value of each parameter [mm or radians], as in `bounds.evaluate`.
        h: half width of each parameter.
        frame: as from `axis`, with the other parameters' `rate` and `spin` 0; changed in place.
        n: number of parameters.
        second: bound on the second derivatives of the axis alone.

    Returns:
        `first` and `second` (see the module), and the largest angle by which the motion turns
        sections within the box [radians].
    """
    first = h[0]
    spin = 0.0
    for number in range(len(steps)):
        step = steps[number]
        dim = 1 + step.motion
        value = step.value
        speed = step.factor
        way = u = 0.0
        row = 0 * dim
        if step.kind == SWING:
            rows = step.knots[1] - step.knots[0]
            place = (m[dim] - step.value) / step.spacing
            span = min(max(int(place), 0), rows - 2)
            row = step.knots[0] + span
            u = place - span
            p = knots[row]
            q = knots[row + 1]
            value = _cubic(u, step.spacing, p.turn, p.turn_rate, q.turn, q.turn_rate)
            speed = _slope(u, step.spacing, p.turn, p.turn_rate, q.turn, q.turn_rate)
            way = h[dim] * step.turn_bound
        elif dim > 0:
            value += m[dim] * speed
            way = h[dim] * abs(speed)
        if step.kind == TURN or (step.kind == SWING and step.turn_bound > 0.0):
            arm, square = _turn(step, value, frame, n, h)
            if dim > 0:
                for i in range(3):
                    j = (i + 1) % 3
                    k = (i + 2) % 3
                    across = step.axis[j] * (frame.point[k] - step.point[k])
                    across -= step.axis[k] * (frame.point[j] - step.point[j])
                    frame.rate[dim, i] += speed * across
                    frame.spin[dim, i] += speed * step.axis[i]
                square = min(first, square + second)
                arm += square
                second += 2.0 * square * way + arm * way * way
                first += arm * way
                spin += way
        if step.kind == SWING:
            p = knots[row]
            q = knots[row + 1]
            for i in range(3):
                a = p.shift[i]
                b = p.shift_rate[i]
                d = q.shift[i]
                e = q.shift_rate[i]
                frame.point[i] += _cubic(u, step.spacing, a, b, d, e)
                frame.rate[dim, i] += _slope(u, step.spacing, a, b, d, e)
            first += step.shift_bound * h[dim]
            second += step.bend_bound * h[dim] * h[dim]
        elif step.kind == SHIFT:
            for i in range(3):
                frame.point[i] += value * step.axis[i]
                if dim > 0:
                    frame.rate[dim, i] += speed * step.axis[i]
            first += way
        elif step.kind == CIRCLE:  # by -(cos v · point + sin v · axis), both as long as the radius
            c = math.cos(value)
            s = math.sin(value)
            size = 0.0
            for i in range(3):
                size += step.axis[i] ** 2
                frame.point[i] -= c * step.point[i] + s * step.axis[i]
                if dim > 0:
                    frame.rate[dim, i] += speed * (s * step.point[i] - c * step.axis[i])
            size = math.sqrt(size)
            second += size * way * way
            first += size * way
    return first, second, spin
