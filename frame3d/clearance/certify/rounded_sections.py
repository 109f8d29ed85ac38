r"""Rounded outlines (`geometry.rounded`) as sections of tubes and of what cuts them, compiled.

Places are (u, v) in the section, shares of its half widths a along M and b along N::

          v = 1   .---------------.        corner k of radius r_k lies in the direction of its signs;
                .'|               |        its arc's centre is r_k inside of both sides
                | + arc's centre  |
                |        o        | u = 1

The whole outline is convex: all of it lies inwards of its tangent in any of its points.
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
def misses(piece: Piece, a: float, b: float, m1: float, m2: float, h1: float, h2: float) -> bool:
    """Return whether a patch (middle and half widths in u and v) lies outside of the outline."""
    for k in range(4):
        s1 = _sign(k, 0)
        s2 = _sign(k, 1)
        r = piece.rounds[k]
        p = a * (s1 * m1 - h1) - (a - r)
        q = b * (s2 * m2 - h2) - (b - r)
        if p > 0.0 and q > 0.0 and p * p + q * q > r * r:
            return True
    return False


@compiled
def nearest(
    piece: Piece,
    a: float,
    b: float,
    m1: float,
    m2: float,
    h1: float,
    h2: float,
    rim: Array,
) -> tuple[float, float]:
    """Return the place about which a patch is bounded: its middle, or a point of the outline near it.

    On the outline where the patch reaches it and is not large.

    Args:
        piece: of the tube.
        a: half width along M [mm].
        b: half width along N [mm].
        m1: middle of the patch, u, with m2, v.
        m2: see m1.
        h1: half width of the patch in u, with h2 in v.
        h2: see h1.
        rim: written to: the outward unit normal there in (u, v); zero inside of the outline.
    """
    x1 = m1
    x2 = m2
    rim[0] = 0.0
    rim[1] = 0.0
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
        r = piece.rounds[k]
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
        break
    return x1, x2


@compiled
def side(piece: Piece, a: float, b: float, u: float, v: float, rim: Array) -> tuple[float, float]:
    """Return the signed distance of a place from the outline, and how far around it it is even [mm].

    Args:
        piece: what cuts.
        a: half width along M [mm].
        b: half width along N [mm].
        u: place along M [mm].
        v: place along N [mm].
        rim: written to: the distance's gradient along M and N.

    Returns:
        The distance, negative inside; and a length l > 0 such that within any e < l of the place its
        gradient changes by no more than 1/(l - e) per mm, if there is one; else what is not above 0.
        Such are the radius of the sharpest corner and the distance on top of it (no convex outline
        bends more sharply there), and beside a flat side how far the arcs are off.
    """
    least = min(piece.rounds[0], piece.rounds[1], piece.rounds[2], piece.rounds[3])
    f = abs(u) - a
    rim[0] = 1.0 if u >= 0.0 else -1.0
    rim[1] = 0.0
    if abs(v) - b > f:
        f = abs(v) - b
        rim[0] = 0.0
        rim[1] = 1.0 if v >= 0.0 else -1.0
    off = 1e300
    on_arc = False
    for k in range(4):
        s1 = _sign(k, 0)
        s2 = _sign(k, 1)
        r = piece.rounds[k]
        p = s1 * u - (a - r)
        q = s2 * v - (b - r)
        if p > 0.0 and q > 0.0:
            size = math.sqrt(p * p + q * q)
            if size - r >= f:
                f = size - r
                rim[0] = s1 * p / size
                rim[1] = s2 * q / size
                on_arc = True
        elif rim[0] != 0.0 and rim[0] * s1 > 0.0:
            off = min(off, -q)
        elif rim[1] != 0.0 and rim[1] * s2 > 0.0:
            off = min(off, -p)
    even = least + f
    if not on_arc:
        even = max(even, min(off, 0.5 * (off + least + f), min(a, b) + f))
    return f, even
