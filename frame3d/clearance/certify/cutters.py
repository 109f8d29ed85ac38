r"""Effect of the bodies that cut a tube on the bounds of its boxes, compiled.

The metal of a cut tube is its sweep T without the insides of its cutters. A cutter is a sweep too,
and has a level f::

      section of the cutter, a >= b             the cut tube, from the side
                _ . - . _                        _____________
            .'      ^ b   '.                            f > 0 \     f < 0,
           (        +---> a )  f < 0 inside             metal  \  no metal
            '.             .'                    _______________\
                ' - . - '      f = 0                             f = 0, the cut's edge

With r = hypot(u/a, v/b) of a point's place (u, v) square to the cutter's axis, f = b (r - 1); for a
round cutter that is the distance from its surface. Square to the axis |grad f| <= 1. Along the axis f
changes with the taper of the section and with its turn t about the axis,

    f_s = b' (r - 1) + (b/r) (u/a (t v - u a'/a)/a - v/b (t u + v b'/b)/b),

which is f_s/(1 - kappa q) per mm, q the point's place toward the centre of the bend. So f changes by
at most L per mm. It follows:

- A box whose middle lies deeper than L times the box's reach holds no metal, and is dropped.
- Metal has f >= 0, so there D >= D - l f for every l >= 0. With f0 and its gradient n at x0

      f(x) <= f0 + n·(x - x0) + k |x - x0|²/2,    k = 1/least + bend.

  `least` is the least b r in the box (square to the axis the second derivatives of b r are at most
  1/(b r)); `bend` is what turn and taper add. Where the box reaches a station of the cutter the
  gradient jumps, which adds jump |x - x0|. So another plane lies below D, of gradient g - l·n.
  With the l that makes this plane level along the tube, the bound of a box at the cut's edge is
  off only by the square of the box's size. At the rim of the section, where all its other places lie
  inwards, the plane may fall outwards at no cost.
"""

from __future__ import annotations

import math

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array

LOW, HIGH, STEEPEST, JUMP, BEND, UNTIL = range(26, 32)
"""Indices of what a cutter's row has beyond a tube's (see `search_input.cutters_of`): limits of the
place along it; then of the whole cutter L, jump and bend; the first row of the next cutter."""
WIDTH = 32
"""Numbers of a cutter's row."""

LEVEL, ALONG, ACROSS, ASIDE, REST, HOLDS = range(6)
"""Indices of what `cut` writes about the nearest cutter: f0; the slopes of f along the tube and with
u and v of the tube's section; by how much f may exceed that linear form in the box; 1 if all of these
hold, 0 if only f0 does."""


@compiled
def _level(
    rows: Array,
    first: int,
    until: int,
    x: float,
    y: float,
    z: float,
    p: Array,
    vec: Array,
    out: Array,
) -> None:
    """Write to `out` the level of one cutter at a point and what goes with it.

    The cutter's rows are first to until - 1. `out`: 0 level; 1:4 its gradient; 4 b r; 5 how far the
    point lies beyond the cutter's ends (negative: between them); 6 distance along the axis from the
    nearest station [mm]. p and vec are work space.
    """
    best = FAR
    at = first
    there = 0.0
    for i in range(first, until):
        dx = x - rows[i, 2]
        dy = y - rows[i, 3]
        dz = z - rows[i, 4]
        along = dx * rows[i, 5] + dy * rows[i, 6] + dz * rows[i, 7]
        if rows[i, 0] == 0.0:
            s = min(max(along, rows[i, LOW]), rows[i, HIGH])
            square = dx * dx + dy * dy + dz * dz - along * along + (along - s) ** 2
        else:
            on = dx * rows[i, 8] + dy * rows[i, 9] + dz * rows[i, 10]
            turn = math.atan2(on, along)
            whole = rows[i, 0] * rows[i, 1]
            if turn < 0.5 * whole - math.pi:
                turn += 2.0 * math.pi
            turn = min(max(turn, 0.0), whole)
            s = turn * rows[i, 11]
            radius = rows[i, 11]
            square = dx * dx + dy * dy + dz * dz + radius * radius
            square -= 2.0 * radius * (along * math.cos(turn) + on * math.sin(turn))
        if square < best:
            best = square
            at = i
            there = s
    axis(rows[at], there, p, vec, 1)
    held = min(max(there, 0.0), rows[at, 1])
    a = rows[at, 12] + held * rows[at, 13]
    b = rows[at, 14] + held * rows[at, 15]
    dx = x - p[0]
    dy = y - p[1]
    dz = z - p[2]
    nx = vec[2, 1] * vec[3, 2] - vec[2, 2] * vec[3, 1]
    ny = vec[2, 2] * vec[3, 0] - vec[2, 0] * vec[3, 2]
    nz = vec[2, 0] * vec[3, 1] - vec[2, 1] * vec[3, 0]
    u = (dx * vec[3, 0] + dy * vec[3, 1] + dz * vec[3, 2]) / a
    v = (dx * nx + dy * ny + dz * nz) / b
    r = math.sqrt(u * u + v * v)
    cu = cv = ct = 0.0
    if r > 0.0:
        cu = b / a * u / r
        cv = v / r
        ct = -rows[at, 15] - cu * u * rows[at, 13] + (r - cv * v) * rows[at, 15]
        if rows[at, 0] > 0.0:
            turn = vec[1, 0] * vec[2, 0] + vec[1, 1] * vec[2, 1] + vec[1, 2] * vec[2, 2]
            ct += turn * (cu * b * v - cv * a * u)
            dx = x - rows[at, 2]
            dy = y - rows[at, 3]
            dz = z - rows[at, 4]
            along = dx * rows[at, 5] + dy * rows[at, 6] + dz * rows[at, 7]
            on = dx * rows[at, 8] + dy * rows[at, 9] + dz * rows[at, 10]
            ct *= rows[at, 11] / math.sqrt(along * along + on * on)
        if there != held:
            ct = 0.0  # beyond its ends the cutter has no taper
    out[0] = b * (r - 1.0)
    for i in range(3):
        out[1 + i] = cu * vec[3, i] + ct * vec[2, i]
    out[1] += cv * nx
    out[2] += cv * ny
    out[3] += cv * nz
    out[4] = b * r
    out[5] = max(-rows[at, 20] - there, there - rows[at, 1] - rows[at, 21])
    out[6] = min(abs(there), abs(rows[at, 1] - there))


@compiled
def cut(
    piece: Array,
    rows: Array,
    p: Array,
    vec: Array,
    n: int,
    a: float,
    b: float,
    x1: float,
    x2: float,
    e1: float,
    e2: float,
    h: float,
    own: Array,
    frame: Array,
    level: Array,
    knife: Array,
) -> bool:
    """Return whether a whole patch lies inside a cutter; else write `knife` for the nearest cutter.

    Args:
        piece: the tube's piece.
        rows: (m, 32) float, all cutters.
        p: (3,) float, the tube's axis point before any motion.
        vec: (2n + 2, 3) float, the vectors with it, see `positions.axis`.
        n: number of parameters.
        a: larger half width of the tube's section [mm].
        b: smaller half width [mm].
        x1: place of the patch in the section (u), with x2 (v).
        x2: see x1.
        e1: half width of the patch in u.
        e2: half width of the patch in v.
        h: half its length along the tube [mm].
        own: (3,) work space.
        frame: (4, 3) work space.
        level: (7,) work space.
        knife: (6,) or more, written to: see `LEVEL`.
    """
    nx = vec[2 * n, 1] * vec[2 * n + 1, 2] - vec[2 * n, 2] * vec[2 * n + 1, 1]
    ny = vec[2 * n, 2] * vec[2 * n + 1, 0] - vec[2 * n, 0] * vec[2 * n + 1, 2]
    nz = vec[2 * n, 0] * vec[2 * n + 1, 1] - vec[2 * n, 1] * vec[2 * n + 1, 0]
    ex = a * x1 * vec[2 * n + 1, 0] + b * x2 * nx
    ey = a * x1 * vec[2 * n + 1, 1] + b * x2 * ny
    ez = a * x1 * vec[2 * n + 1, 2] + b * x2 * nz
    swing = (piece[22] * piece[24] + piece[23]) * h
    wide = math.sqrt((a * e1) ** 2 + (b * e2) ** 2)
    reach = math.sqrt(h * h + wide * wide) + swing + 0.5 * piece[0] * h * h
    knife[LEVEL] = FAR
    knife[HOLDS] = 0.0
    i = 0
    while i < rows.shape[0]:
        until = int(rows[i, UNTIL])
        _level(rows, i, until, p[0] + ex, p[1] + ey, p[2] + ez, own, frame, level)
        f = max(level[0], level[5])
        if f < -rows[i, STEEPEST] * reach:
            return True
        if f < knife[LEVEL]:
            knife[LEVEL] = f
            lean = rows[i, STEEPEST] * reach
            least = level[4] - lean - rows[i, JUMP] * reach
            knife[HOLDS] = 0.0
            if least > 0.0 and level[5] + reach < level[0] - lean:
                gx = level[1]
                gy = level[2]
                gz = level[3]
                # How the point moves along the tube: tangent, taper, and turn of the section.
                tx = vec[0, 0] + piece[13] * x1 * vec[2 * n + 1, 0] + piece[15] * x2 * nx
                ty = vec[0, 1] + piece[13] * x1 * vec[2 * n + 1, 1] + piece[15] * x2 * ny
                tz = vec[0, 2] + piece[13] * x1 * vec[2 * n + 1, 2] + piece[15] * x2 * nz
                tx += vec[n, 1] * ez - vec[n, 2] * ey
                ty += vec[n, 2] * ex - vec[n, 0] * ez
                tz += vec[n, 0] * ey - vec[n, 1] * ex
                knife[ALONG] = gx * tx + gy * ty + gz * tz
                knife[ACROSS] = a * (
                    gx * vec[2 * n + 1, 0] + gy * vec[2 * n + 1, 1] + gz * vec[2 * n + 1, 2]
                )
                knife[ASIDE] = b * (gx * nx + gy * ny + gz * nz)
                turn = piece[24]
                rest = 0.5 * piece[0] * h * h + piece[23] * turn * h * h
                rest += 0.5 * piece[22] * (turn * turn + piece[25]) * h * h
                rest += h * (e1 + e2) * (piece[23] + piece[22] * turn)
                rest *= rows[i, STEEPEST]
                rest += 0.5 * (1.0 / least + rows[i, BEND]) * reach * reach
                if level[6] < 2.0 * reach:
                    rest += rows[i, JUMP] * reach
                knife[REST] = rest
                knife[HOLDS] = 1.0
        i = until
    return False
