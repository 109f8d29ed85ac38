r"""Rounded outlines (`geometry.rounded`) as sections of tubes and of what cuts them, compiled.

Places are (u, v) in the section, shares of its half widths a along M and b along N::

          v = 1   .---------------.        corner k of radius r_k lies in the direction of its signs;
                .'|               |        its arc's centre is r_k inside of both sides
                | + arc's centre  |
                |        o        | u = 1

The whole outline is convex: all of it lies inwards of its tangent in any of its points.

A taper. In (u, v) a corner is a quarter of an ellipse: with alpha = a/r and beta = b/r, a place is
within it if and only if max(1 - alpha (1 - u), 0)² + max(1 - beta (1 - v), 0)² <= 1 (in the corner
+M +N). Both terms fall as alpha and beta grow, so what is in any section of a stretch is within the
outline of the stretch's largest alpha and beta; as quotients of linear sizes those are at its ends.
Such an outline is convex, and reaches in the direction (n1, n2) as far as

    |n1| + |n2| - (|n1|/alpha + |n2|/beta - hypot(n1/alpha, n2/beta)).
"""

from __future__ import annotations

import math

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.records import Piece
from frame3d.geometry.arrays import Array


@compiled
def _sign(k: int, which: int) -> float:
    """Return the sign of corner k along M (which 0) or N (1)."""
    if which == 0:
        return 1.0 if k in (0, 3) else -1.0
    return 1.0 if k < 2 else -1.0


@compiled
def _tapers(piece: Piece) -> bool:
    """Return whether the section changes along a piece."""
    changes = piece.steepest
    for k in range(4):
        changes += abs(piece.round_slopes[k])
    return changes > 0.0


@compiled
def _ratios(piece: Piece, k: int, s: float, h: float) -> tuple[float, float]:
    """Return the largest a/r and b/r of corner k between s - h and s + h, from above."""
    alpha = beta = 0.0
    for i in range(2):
        at = s - h if i == 0 else s + h
        r = piece.rounds[k] + at * piece.round_slopes[k]
        alpha = max(alpha, (piece.a + at * piece.a_slope) / r)
        beta = max(beta, (piece.b + at * piece.b_slope) / r)
    return alpha * (1.0 + 1e-12), beta * (1.0 + 1e-12)


@compiled
def misses(piece: Piece, s: float, h: float, m1: float, m2: float, h1: float, h2: float) -> bool:
    """Return whether a patch lies outside of all sections of a stretch of a piece.

    Args:
        piece: of the tube.
        s: middle of the stretch along the piece [mm].
        h: half its length [mm].
        m1: middle of the patch, u, with m2, v.
        m2: see m1.
        h1: half width of the patch in u, with h2 in v.
        h2: see h1.
    """
    for k in range(4):
        s1 = _sign(k, 0)
        s2 = _sign(k, 1)
        alpha, beta = _ratios(piece, k, s, h)
        p = 1.0 - alpha * (1.0 - (s1 * m1 - h1))
        q = 1.0 - beta * (1.0 - (s2 * m2 - h2))
        if p > 0.0 and q > 0.0 and p * p + q * q > 1.0 + 1e-12:
            return True
    return False


@compiled
def _reach(alpha: float, beta: float, n1: float, n2: float) -> float:
    """Return how much less far than a rectangle an outline reaches, see the module."""
    p = abs(n1) / alpha
    q = abs(n2) / beta
    return p + q - math.sqrt(p * p + q * q)


@compiled
def nearest(
    piece: Piece,
    s: float,
    h: float,
    m1: float,
    m2: float,
    h1: float,
    h2: float,
    rim: Array,
) -> tuple[float, float, float]:
    """Return the place about which a patch is bounded: its middle, or a point of the outline near it.

    On the outline of the section at s where the patch reaches it and is not large.

    Args:
        piece: of the tube.
        s: middle of the box along the piece [mm].
        h: half its length [mm].
        m1: middle of the patch, u, with m2, v.
        m2: see m1.
        h1: half width of the patch in u, with h2 in v.
        h2: see h1.
        rim: written to: the outward unit normal there in (u, v); zero inside of the outline.

    Returns:
        u and v; how far the sections from s - h to s + h reach over the tangent there at most.
    """
    a = piece.a + s * piece.a_slope
    b = piece.b + s * piece.b_slope
    x1 = m1
    x2 = m2
    rim[0] = 0.0
    rim[1] = 0.0
    over = 0.0
    if abs(m1) >= 0.5 and abs(m1) + h1 >= 1.0 - 1e-12:
        x1 = 1.0 if m1 > 0.0 else -1.0
        rim[0] = x1
    if abs(m2) >= 0.5 and abs(m2) + h2 >= 1.0 - 1e-12:
        x2 = 1.0 if m2 > 0.0 else -1.0
        rim[0] = 0.0
        rim[1] = x2
    for k in range(4):
        s1 = _sign(k, 0)
        s2 = _sign(k, 1)
        r = piece.rounds[k] + s * piece.round_slopes[k]
        # Of the patch's furthest corner, then of the place itself, as seen from the arc's centre.
        p = a * (s1 * m1 + h1) - (a - r)
        q = b * (s2 * m2 + h2) - (b - r)
        if p <= 0.0 or q <= 0.0 or p * p + q * q <= r * r:
            continue
        p = max(a * s1 * x1 - (a - r), 0.0)
        q = max(b * s2 * x2 - (b - r), 0.0)
        size = math.sqrt(p * p + q * q)
        if size < 0.5 * r:
            continue
        x1 = s1 * (a - r + p * r / size) / a
        x2 = s2 * (b - r + q * r / size) / b
        n1 = s1 * a * p
        n2 = s2 * b * q
        size = math.sqrt(n1 * n1 + n2 * n2)
        rim[0] = n1 / size
        rim[1] = n2 / size
        if h > 0.0 and _tapers(piece):
            alpha, beta = _ratios(piece, k, s, h)
            over = _reach(a / r, b / r, rim[0], rim[1]) - _reach(alpha, beta, rim[0], rim[1])
            over = max(over, 0.0) + 1e-14
        break
    return x1, x2, over


@compiled
def side(piece: Piece, s: float, u: float, v: float, rim: Array) -> tuple[float, float, float]:
    """Return the signed distance of a place from an outline, and how it changes around it.

    Args:
        piece: what cuts.
        s: where along it the outline is [mm].
        u: place along M [mm].
        v: place along N [mm].
        rim: written to: the distance's gradient along M and N.

    Returns:
        The distance, negative inside; a length l > 0 such that within any e < l of the place its
        gradient changes by no more than 1/(l - e) per mm, if there is one, else what is not above 0;
        and how fast the distance changes along the piece at this u and v, by taper.
        Such an l are the radius of the sharpest corner and the distance on top of it (no convex outline
        bends more sharply there), and beside a flat side how far the arcs are off.
    """
    a = piece.a + s * piece.a_slope
    b = piece.b + s * piece.b_slope
    least = 1e300
    f = abs(u) - a
    rim[0] = 1.0 if u >= 0.0 else -1.0
    rim[1] = 0.0
    rate = -piece.a_slope
    if abs(v) - b > f:
        f = abs(v) - b
        rim[0] = 0.0
        rim[1] = 1.0 if v >= 0.0 else -1.0
        rate = -piece.b_slope
    off = 1e300
    on_arc = False
    for k in range(4):
        s1 = _sign(k, 0)
        s2 = _sign(k, 1)
        r = piece.rounds[k] + s * piece.round_slopes[k]
        least = min(least, r)
        p = s1 * u - (a - r)
        q = s2 * v - (b - r)
        if p > 0.0 and q > 0.0:
            size = math.sqrt(p * p + q * q)
            if size - r >= f:
                f = size - r
                rim[0] = s1 * p / size
                rim[1] = s2 * q / size
                on_arc = True
                slope = piece.round_slopes[k]
                rate = -(p * (piece.a_slope - slope) + q * (piece.b_slope - slope)) / size - slope
        elif rim[0] != 0.0 and rim[0] * s1 > 0.0:
            off = min(off, -q)
        elif rim[1] != 0.0 and rim[1] * s2 > 0.0:
            off = min(off, -p)
    even = least + f
    if not on_arc:
        even = max(even, min(off, 0.5 * (off + least + f), min(a, b) + f))
    return f, even, rate
