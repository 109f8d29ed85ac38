r"""A closed convex outline: a rectangle with a radius of its own at each corner, in closed form.

Seen along a tube, u along its section's height and v along its width::

                 u ^    F0
               r3 .-----+-----. r0        corner k lies between the sides F(k) and F(k+1)
                 |      |phi=0 |          centre of corner 0: (a - r0, b - r0)
              F3 +      o---> v+ F1       phi = 90 k in the middle of side k, and even along the
                 |             |          outline from there to the middle of the next side
               r2 '-----+-----' r1        a, b: half height and half width
                        F2

Equal radii make a rectangle. A D has two corners of half its width (a full round), and its flat at the
other two. What lies t inside is again such an outline: sizes less 2 t, radii less t.

All arrays hold n outlines or points, one each: a, b (n,), radii (n, 4).
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array

Rounds = tuple[float, float, float, float]
"""Radii of the four corners, in the order of the figure [mm]."""
SIGNS = np.array([[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]])
"""Where each corner lies: sign of u, sign of v."""
_OUT = 1 - np.pi / 4
"""What a corner of radius 1 takes from the full rectangle: its area."""
_FIRST = 1 / 6
"""First moment of that about the corner's centre, along u or v: 1/2 - 1/3."""
_SECOND = 1 / 3 - np.pi / 16
"""Second moment of that about the corner's centre."""


def _halves(a: Array, b: Array, radii: Array) -> Array:
    """Return half the straight length of each side, F0 to F3: (n, 4) [mm]."""
    r0, r1, r2, r3 = radii.T
    wide, tall = 2 * b, 2 * a
    return np.stack([wide - r0 - r3, tall - r0 - r1, wide - r1 - r2, tall - r2 - r3], axis=1) / 2


def place(phi: Array, a: Array, b: Array, radii: Array) -> tuple[Array, Array, Array]:
    """Return points of outlines: (n,) each [degrees, mm].

    Returns:
        (n, 2) u and v; (n, 2) the unit normal there; (n,) how much of the outline a radian of phi
        holds [mm], negative where the point lies on a corner's arc: so the sign tells which.
    """
    turns = np.asarray(phi, dtype=np.float64) % 360.0 / 90.0
    k = np.minimum(turns.astype(np.int64), 3)
    row = np.arange(len(k))
    r = radii[row, k]
    half = _halves(a, b, radii)
    before, arc, after = half[row, k], np.pi / 2 * r, half[row, (k + 1) % 4]
    whole = before + arc + after
    along = (turns - k) * whole - before
    angle = np.clip(along / r, 0.0, np.pi / 2)
    n0 = np.stack([np.cos(np.pi / 2 * k), np.sin(np.pi / 2 * k)], axis=1)
    n1 = np.stack([-n0[:, 1], n0[:, 0]], axis=1)
    normal = np.cos(angle)[:, None] * n0 + np.sin(angle)[:, None] * n1
    sizes = np.stack([a, b], axis=1)
    points = SIGNS[k] * (sizes - r[:, None]) + r[:, None] * normal
    points += np.minimum(along, 0.0)[:, None] * n1 - np.maximum(along - arc, 0.0)[:, None] * n0
    speed = whole / (np.pi / 2)
    return points, normal, np.where((along > 0) & (along < arc), -speed, speed)


def arc_shares(a: Array, b: Array, radii: Array) -> tuple[Array, Array]:
    """Return at which shares of its quarter of phi each corner's arc starts and ends: two (n, 4)."""
    half = _halves(a, b, radii)
    arcs = np.pi / 2 * radii
    whole = half + arcs + np.roll(half, -1, axis=1)
    return half / whole, (half + arcs) / whole


def arc_marks(a: Array, b: Array, radii: Array) -> list[tuple[float, float]]:
    """Return the phi at which each corner's arc of one outline starts and ends [degrees]."""
    first, last = arc_shares(a, b, radii)
    rows = zip(first[0].tolist(), last[0].tolist(), strict=True)
    return [(90.0 * (k + low), 90.0 * (k + high)) for k, (low, high) in enumerate(rows)]


def level(u: Array, v: Array, a: Array, b: Array, radii: Array) -> Array:
    """Return the signed distance of points from outlines, negative inside: (n,) each [mm].

    Inside it is that to the nearest side or arc.
    """
    found = np.maximum(np.abs(u) - a, np.abs(v) - b)
    for (su, sv), r in zip(SIGNS, radii.T, strict=True):
        p, q = su * u - (a - r), sv * v - (b - r)
        found = np.where((p > 0) & (q > 0), np.maximum(found, np.hypot(p, q) - r), found)
    return np.asarray(found)


def phi_of(u: Array, v: Array, a: Array, b: Array, radii: Array) -> Array:
    """Return the phi of the outline's point nearest to each point: (n,) [degrees]."""
    half = _halves(a, b, radii)
    sides = np.stack([u - a, v - b, -u - a, -v - b], axis=1)
    k = np.argmax(sides, axis=1)
    row = np.arange(len(k))
    # Along side k from its middle, toward side k + 1.
    run = np.stack([v, -u, -v, u], axis=1)
    corner = np.stack([b, a, b, a], axis=1) - radii  # where side k ends, toward corner k
    middle = corner[row, k] - half[row, k]
    t = np.clip(run[row, k] - middle, -half[row, k], half[row, k])
    which = np.where(t >= 0, k, (k + 3) % 4)
    arcs = np.pi / 2 * radii
    whole = half + arcs + np.roll(half, -1, axis=1)
    share = np.where(t >= 0, t, whole[row, which] + t) / whole[row, which]
    found = 90.0 * (which + share)
    for i, (su, sv) in enumerate(SIGNS):
        r = radii[:, i]
        p, q = su * u - (a - r), sv * v - (b - r)
        on = (p > 0) & (q > 0)
        # From the normal of side i toward that of side i + 1.
        turn = np.arctan2(q, p) if i % 2 == 0 else np.arctan2(p, q)
        found = np.where(on, 90.0 * (i + (half[:, i] + turn * r) / whole[:, i]), found)
    return np.asarray(found % 360.0)


def outer_polygon(a: float, b: float, radii: Rounds, count: int) -> Array:
    """Return a polygon about an outline, anticlockwise with v to the right and u up: (4 count, 2).

    Its sides touch the outline in `count` even steps of their direction from side to side; it stands
    out by r (1/cos(pi / (4 count)) - 1) at most, r the largest radius.
    """
    turn = np.pi / 2 / count * np.arange(4 * count)
    k = np.arange(4 * count) // count
    normal = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    r = np.array(radii)[k]
    out = np.sum(normal * SIGNS[k] * (np.array([a, b]) - r[:, None]), axis=1) + r
    after, beyond = np.roll(normal, -1, axis=0), np.roll(out, -1)
    cross = normal[:, 0] * after[:, 1] - normal[:, 1] * after[:, 0]
    u = (out * after[:, 1] - beyond * normal[:, 1]) / cross
    v = (beyond * normal[:, 0] - out * after[:, 0]) / cross
    return np.stack([u, v], axis=1)[::-1]


def support(u: Array, v: Array, a: Array, b: Array, radii: Array) -> Array:
    """Return how far outlines reach in directions (u, v), times their length: (n,) each -> (n,) [mm].

    That is the largest u p + v q of an outline's points (p, q): on the arc of the corner there.
    """
    k = np.where(u >= 0, np.where(v >= 0, 0, 3), np.where(v >= 0, 1, 2))
    r = radii[np.arange(len(k)), k]
    return np.asarray(np.abs(u) * (a - r) + np.abs(v) * (b - r) + r * np.hypot(u, v))


def furthest(a: Array, b: Array, radii: Array) -> Array:
    """Return the distance of the outline's furthest point from the middle: (n,) [mm]."""
    found = np.maximum(a, b)
    for r in radii.T:
        p, q = a - r, b - r
        # A corner whose arc bulges past the middle has no furthest point of its own.
        found = np.maximum(found, np.where((p >= 0) & (q >= 0), np.hypot(p, q) + r, np.hypot(a, b)))
    return np.asarray(found)


def girth(a: Array, b: Array, radii: Array) -> Array:
    """Return the circumference: (n,) [mm]."""
    return np.asarray(4 * (a + b) - (2 - np.pi / 2) * radii.sum(axis=1))


def area(a: Array, b: Array, radii: Array) -> Array:
    """Return the area: (n,) [mm²]."""
    return np.asarray(4 * a * b - _OUT * (radii**2).sum(axis=1))


def moments(a: Array, b: Array, radii: Array) -> tuple[Array, Array]:
    """Return first and second moments of area about the middle, along u and v: two (n, 2).

    From those of the full rectangle less what lies beyond each corner's arc: a square less a quarter
    of a disc, moved by the parallel axis theorem (derived).

    Returns:
        ∫ u dA, ∫ v dA [mm³]; ∫ u² dA, ∫ v² dA [mm⁴].
    """
    sizes = np.stack([a, b], axis=1)
    first = np.zeros_like(sizes)
    second = 4 * (a * b)[:, None] * sizes**2 / 3
    for signs, r in zip(SIGNS, radii.T, strict=True):
        out = sizes - r[:, None]
        small, low, square = _OUT * r**2, _FIRST * r**3, _SECOND * r**4
        first = first - signs * (small[:, None] * out + low[:, None])
        second = second - (small[:, None] * out**2 + 2 * out * low[:, None] + square[:, None])
    return first, second


def last_in(u: Array, v: Array, du: float, dv: float, a: float, b: float, radii: Rounds) -> Array:
    """Return the largest z for which (u + z du, v + z dv) is on an outline: (n,); nan where none is.

    A line leaves the outline where it leaves the rectangle around it, or on the arc of that corner.
    """
    low, high = np.full(len(u), -np.inf), np.full(len(u), np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):
        for x, d, half in ((u, du, a), (v, dv, b)):
            if abs(d) < 1e-12:
                aside = np.abs(x) > half
                low, high = np.where(aside, np.inf, low), np.where(aside, -np.inf, high)
            else:
                one, other = (-half - x) / d, (half - x) / d
                low = np.maximum(low, np.minimum(one, other))
                high = np.minimum(high, np.maximum(one, other))
        found = np.where(high >= low, high, np.nan)
        square = du * du + dv * dv
        at_u, at_v = u + found * du, v + found * dv
        for (su, sv), r in zip(SIGNS, radii, strict=True):
            cu, cv = su * (a - r), sv * (b - r)
            on = (su * (at_u - cu) > 0) & (sv * (at_v - cv) > 0)
            pu, pv = u - cu, v - cv
            middle = -(pu * du + pv * dv) / square
            under = (r * r - (pu * dv - pv * du) ** 2 / square) / square
            arc = middle + np.sqrt(np.where(under >= 0, under, np.nan))
            found = np.where(on, arc, found)
    return np.asarray(found)


def signs_kept(before: tuple[Array, Array], after: tuple[Array, Array], rounds: Rounds) -> Rounds:
    """Return the radii of an outline whose directions are named anew.

    Args:
        before: the directions of u and v that `rounds` holds for, (3,) each.
        after: the new ones, along the same lines, either way.
        rounds: the radii.
    """
    r0, r1, r2, r3 = rounds
    if float(before[0] @ after[0]) < 0:
        r0, r1, r2, r3 = r1, r0, r3, r2
    if float(before[1] @ after[1]) < 0:
        r0, r1, r2, r3 = r3, r2, r1, r0
    return r0, r1, r2, r3
