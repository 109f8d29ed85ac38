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
round cutter that is the distance from its surface. Of a rounded outline (`rounded_sections`) f is the
distance itself, and `side` tells what stands for b r below. Square to the axis |grad f| <= 1. Along
the axis f changes with the taper of the section and with its turn t about the axis,

    f_s = b' (r - 1) + (b/r) (u/a (t v - u a'/a)/a - v/b (t u + v b'/b)/b),

which is f_s/(1 - kappa q) per mm, q the point's place toward the centre of the bend. So f changes by
at most L per mm. It follows:

- A box whose middle lies deeper than L times the box's reach holds no metal, and is dropped.
- Metal has f >= 0, so there D >= D - l f for every l >= 0, and D >= D - l1 f1 - l2 f2 where two
  cutters meet. With f0 and its gradient n at x0

      f(x) <= f0 + n·(x - x0) + k |x - x0|²/2,    k = 1/least + bend.

  `least` is the least b r in the box (square to the axis the second derivatives of b r are at most
  1/(b r)); `bend` is what turn and taper add. Of a straight round cutter only the part of x - x0
  square to axis and n counts. Where the box reaches a station of the cutter the
  gradient jumps, which adds jump |x - x0|. So another plane lies below D, of gradient g - l·n, and
  the l that gives the highest bound is found (`lifted`): a linear programme with a handful of
  corners. The bound of a box at the cut's edge, or at the corner of two cuts, is then off only by the
  square of the box's size. At the rim of the section, where all its other places lie inwards, the
  plane may fall outwards at no cost.

Rounded outlines that taper or bend. Let (m, n) be the unit normal of the outline at the point's foot,
a', b', r' the slopes of its half sizes and corners. On a side f_s = -a' m - b' n + t (m v - n u), on an
arc that and r' (m + n - 1) more (in the quarter of its corner). With sigma = hypot(a', b') + √2 |r'|
and w no less than the point's distance from the axis, |f_s| <= A = sigma + |t| w; a step ds along the
axis turns the normal, as seen in the section, by at most A ds/l, where 1/l bounds how fast it turns
per mm across (`side`). Let g = 1 - kappa w <= 1 - kappa q. Then the derivatives of grad f are, at most,

    across, across     1/l
    across, along      skew/l + (|w'|-frame's turn T (1 + L) + A kappa/g)/g,       skew = A/g
    along, along       skew²/l + (T' w + T² w)/g² + T L/g,

T and T' bounds of the frame's turn and of its change (`Piece.turn`, `turn_rate`): f_s depends on
(m, n), of length 1, with the factors a', b', r' (sigma in all) and t times the place; its own change
with t is T' w, that with the place t t w; and grad f is turned with the frame, T L. The norm of the
whole is at most (1 + skew)²/l + 2 mixed + straight, the rest of which is `bend`. All of it holds where
w <= `far`: so l is cut down to far less the point's distance, and is divided by (1 + skew)². Over the
box l falls by no more than the way across, and 2 sigma times that along; `steepest` + `jump` is more.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import (
    CutEdge,
    CutterLevel,
    CutterPiece,
    Piece,
    SectionFrame,
    Work,
)
from frame3d.clearance.certify.rounded_sections import side
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array

INSIDE = 1e-9
"""How deep inside a cutter counts as on its surface [mm]."""


@compiled
def _level(
    cutters: Sequence[CutterPiece],
    first: int,
    until: int,
    x: float,
    y: float,
    z: float,
    frame: SectionFrame,
    level: CutterLevel,
) -> None:
    """Write the level of one cutter at a point, and what goes with it.

    Its pieces are `first` to `until` - 1; `frame` is work space.
    """
    best = FAR
    at = first
    there = 0.0
    for i in range(first, until):
        piece = cutters[i].piece
        dx = x - piece.origin[0]
        dy = y - piece.origin[1]
        dz = z - piece.origin[2]
        along = dx * piece.tangent[0] + dy * piece.tangent[1] + dz * piece.tangent[2]
        if piece.curvature == 0.0:
            s = min(max(along, cutters[i].low), cutters[i].high)
            square = dx * dx + dy * dy + dz * dz - along * along + (along - s) ** 2
        else:
            out = dx * piece.out[0] + dy * piece.out[1] + dz * piece.out[2]
            turn = math.atan2(along, out)
            whole = piece.curvature * piece.length
            if turn < 0.5 * whole - math.pi:
                turn += 2.0 * math.pi
            turn = min(max(turn, 0.0), whole)
            s = turn * piece.radius
            square = dx * dx + dy * dy + dz * dz + piece.radius * piece.radius
            square -= 2.0 * piece.radius * (out * math.cos(turn) + along * math.sin(turn))
        if square < best:
            best = square
            at = i
            there = s
    piece = cutters[at].piece
    axis(piece, there, frame)
    held = min(max(there, 0.0), piece.length)
    a = piece.a + held * piece.a_slope
    b = piece.b + held * piece.b_slope
    dx = x - frame.point[0]
    dy = y - frame.point[1]
    dz = z - frame.point[2]
    u = (dx * frame.major[0] + dy * frame.major[1] + dz * frame.major[2]) / a
    v = (dx * frame.minor[0] + dy * frame.minor[1] + dz * frame.minor[2]) / b
    r = math.sqrt(u * u + v * v)
    cu = cv = ct = 0.0
    if r > 0.0:
        cu = b / a * u / r
        cv = v / r
        ct = -piece.b_slope - cu * u * piece.a_slope + (r - cv * v) * piece.b_slope
    level.value = b * (r - 1.0)
    level.from_axis = b * r
    if piece.is_rounded:
        level.value, even, ct = side(piece, held, a * u, b * v, level.across)
        cu = level.across[0]
        cv = level.across[1]
        even = min(even, cutters[at].far - math.sqrt((a * u) ** 2 + (b * v) ** 2))
        level.from_axis = even / (1.0 + cutters[at].skew) ** 2
    if r > 0.0 or piece.is_rounded:
        if piece.curvature > 0.0:
            turn = 0.0
            for i in range(3):
                turn += frame.spin[0, i] * frame.tangent[i]
            ct += turn * (cu * b * v - cv * a * u)
            dx = x - piece.origin[0]
            dy = y - piece.origin[1]
            dz = z - piece.origin[2]
            along = dx * piece.tangent[0] + dy * piece.tangent[1] + dz * piece.tangent[2]
            out = dx * piece.out[0] + dy * piece.out[1] + dz * piece.out[2]
            ct *= piece.radius / math.sqrt(along * along + out * out)
        if there != held:
            ct = 0.0  # beyond its ends the cutter has no taper
    for i in range(3):
        level.gradient[i] = cu * frame.major[i] + cv * frame.minor[i] + ct * frame.tangent[i]
    level.beyond = max(-cutters[at].from_start - there, there - piece.length - cutters[at].to_end)
    level.to_station = min(abs(there), abs(piece.length - there))


@compiled
def cut(
    piece: Piece,
    cutters: Sequence[CutterPiece],
    frame: SectionFrame,
    a: float,
    b: float,
    x1: float,
    x2: float,
    e1: float,
    e2: float,
    h: float,
    own: SectionFrame,
    level: CutterLevel,
    edges: MutableSequence[CutEdge],
) -> bool:
    """Return whether a whole patch lies inside a cutter; else write the levels of the nearest two.

    Args:
        piece: the tube's piece.
        cutters: what cuts it.
        frame: of the tube's section before any motion, see `positions.axis`.
        a: larger half width of the section [mm].
        b: smaller half width [mm].
        x1: place of the patch in the section (u), with x2 (v).
        x2: see x1.
        e1: half width of the patch in u.
        e2: half width of the patch in v.
        h: half its length along the tube [mm].
        own: work space.
        level: work space.
        edges: two, written to, the nearer cutter first.
    """
    x = frame.point[0] + a * x1 * frame.major[0] + b * x2 * frame.minor[0]
    y = frame.point[1] + a * x1 * frame.major[1] + b * x2 * frame.minor[1]
    z = frame.point[2] + a * x1 * frame.major[2] + b * x2 * frame.minor[2]
    swing = (piece.widest * piece.turn + piece.steepest) * h
    wide = math.sqrt((a * e1) ** 2 + (b * e2) ** 2)
    reach = math.sqrt(h * h + wide * wide) + swing + 0.5 * piece.curvature * h * h
    for k in range(2):
        edges[k].value = FAR
        edges[k].holds = False
        edges[k].weight = 0.0
    i = piece.cutters[0]
    while i < piece.cutters[1]:
        cutter = cutters[i]
        _level(cutters, i, i + cutter.count, x, y, z, own, level)
        f = max(level.value, level.beyond)
        if reach > 0.0 and f < -cutter.steepest * reach:
            return True
        if f < edges[1].value:
            if f < edges[0].value:
                edges[1] = edges[0]
                edge = edges[0]
            else:
                edge = edges[1]
            edge.value = f
            edge.holds = False
            least = level.from_axis - (cutter.steepest + cutter.jump) * reach
            if least > 0.0 and level.beyond + reach < level.value - cutter.steepest * reach:
                _slopes(piece, frame, level.gradient, a, b, x1, x2, edge)
                turn = piece.turn
                rest = 0.5 * piece.curvature * h * h + piece.steepest * turn * h * h
                rest += 0.5 * piece.widest * (turn * turn + piece.turn_rate) * h * h
                rest += h * (e1 + e2) * (piece.steepest + piece.widest * turn)
                rest *= cutter.steepest
                side = reach
                if cutter.bend == 0.0 and not cutter.piece.is_oval:
                    slack = swing + 0.5 * piece.curvature * h * h
                    side = min(reach, _aside(frame, own, level, a * e1, b * e2, h) + slack)
                rest += 0.5 / least * side * side + 0.5 * cutter.bend * reach * reach
                if level.to_station < 2.0 * reach:
                    rest += cutter.jump * reach
                edge.rest = rest
                edge.holds = True
        i += cutter.count
    return False


@compiled
def _aside(
    frame: SectionFrame, own: SectionFrame, level: CutterLevel, wide: float, tall: float, h: float
) -> float:
    """Return how far a patch reaches around a straight round cutter: square to its axis and to n."""
    most = 0.0
    for k in range(3):
        part = 0.0
        for i in range(3):
            to = frame.rate[0, i] * h if k == 0 else frame.major[i] * wide
            if k == 2:
                to = frame.minor[i] * tall
            j = (i + 1) % 3
            m = (i + 2) % 3
            around = own.tangent[j] * level.gradient[m] - own.tangent[m] * level.gradient[j]
            part += to * around
        most += abs(part)
    return most


@compiled
def _slopes(
    piece: Piece,
    frame: SectionFrame,
    gradient: Array,
    a: float,
    b: float,
    x1: float,
    x2: float,
    edge: CutEdge,
) -> None:
    """Write the slopes of a level along the tube and across its section."""
    gx = gradient[0]
    gy = gradient[1]
    gz = gradient[2]
    mx = frame.major[0]
    my = frame.major[1]
    mz = frame.major[2]
    nx = frame.minor[0]
    ny = frame.minor[1]
    nz = frame.minor[2]
    ex = a * x1 * mx + b * x2 * nx
    ey = a * x1 * my + b * x2 * ny
    ez = a * x1 * mz + b * x2 * nz
    # How the point moves along the tube: tangent, taper, and turn of the section.
    ta = piece.a_slope * x1
    tb = piece.b_slope * x2
    tx = frame.rate[0, 0] + ta * mx + tb * nx
    ty = frame.rate[0, 1] + ta * my + tb * ny
    tz = frame.rate[0, 2] + ta * mz + tb * nz
    tx += frame.spin[0, 1] * ez - frame.spin[0, 2] * ey
    ty += frame.spin[0, 2] * ex - frame.spin[0, 0] * ez
    tz += frame.spin[0, 0] * ey - frame.spin[0, 1] * ex
    edge.along = gx * tx + gy * ty + gz * tz
    edge.u = a * (gx * mx + gy * my + gz * mz)
    edge.v = b * (gx * nx + gy * ny + gz * nz)


@compiled
def _lift(
    l1: float,
    l2: float,
    edges: Sequence[CutEdge],
    tilt: float,
    h: float,
    v1: float,
    v2: float,
    n1: float,
    n2: float,
    over: float,
    e1: float,
    e2: float,
) -> float:
    """Return how far the plane of slopes (tilt/h, v1, v2) falls in a patch, less l1, l2 times levels.

    The least over the patch, h long to both sides, of the plane without its value at its place, less
    the most that l1 times the first level and l2 times the second may add.
    """
    p = edges[0]
    q = edges[1]
    least = -abs(tilt - h * (l1 * p.along + l2 * q.along))
    least -= fall(v1 - l1 * p.u - l2 * q.u, v2 - l1 * p.v - l2 * q.v, n1, n2, over, e1, e2)
    if l1 > 0.0:
        least -= l1 * (p.value + p.rest)
    if l2 > 0.0:
        least -= l2 * (q.value + q.rest)
    return least


@compiled
def lifted(
    edges: Sequence[CutEdge],
    tilt: float,
    h: float,
    v1: float,
    v2: float,
    n1: float,
    n2: float,
    over: float,
    e1: float,
    e2: float,
) -> float:
    """Return the highest of `_lift` over all weights, which are kept in `edges`.

    `_lift` is concave and piecewise linear in the weights l1, l2 >= 0, so it is highest at a corner of
    its pieces: where two of these vanish: l1, l2, and the plane's slopes along the tube and in two
    directions across (at the rim along and square to it). All corners are tried.
    """
    p = edges[0]
    q = edges[1]
    best = _lift(0.0, 0.0, edges, tilt, h, v1, v2, n1, n2, over, e1, e2)
    p.weight = 0.0
    q.weight = 0.0
    c = 1.0
    s = 0.0
    if n1 != 0.0 or n2 != 0.0:
        c = n1
        s = n2
    slope = tilt / h if h > 0.0 else 0.0
    of_plane = (slope, c * v1 + s * v2, c * v2 - s * v1)
    of_p = (p.along, c * p.u + s * p.v, c * p.v - s * p.u)
    of_q = (q.along, c * q.u + s * q.v, c * q.v - s * q.u)
    for i in range(3):
        for j in range(i + 1):
            for which in range(2 if i == j else 1):
                l1 = l2 = 0.0
                if i > j:
                    det = of_p[i] * of_q[j] - of_p[j] * of_q[i]
                    if not (p.holds and q.holds) or det == 0.0:
                        continue
                    l1 = (of_plane[i] * of_q[j] - of_plane[j] * of_q[i]) / det
                    l2 = (of_p[i] * of_plane[j] - of_p[j] * of_plane[i]) / det
                elif which == 0 and p.holds and of_p[i] != 0.0:
                    l1 = of_plane[i] / of_p[i]
                elif which == 1 and q.holds and of_q[i] != 0.0:
                    l2 = of_plane[i] / of_q[i]
                if l1 < 0.0 or l2 < 0.0 or l1 + l2 == 0.0:
                    continue
                this = _lift(l1, l2, edges, tilt, h, v1, v2, n1, n2, over, e1, e2)
                if this > best:
                    best = this
                    p.weight = l1
                    q.weight = l2
    return best


@compiled
def fall(v1: float, v2: float, n1: float, n2: float, over: float, e1: float, e2: float) -> float:
    """Return how far a plane of slopes (v1, v2) falls at most within a patch about its place.

    (n1, n2) is the rim's unit normal where that place is on the rim, as the rest of the section then
    lies inwards of it, or no further than `over` outwards; else zero.
    """
    most: float = abs(v1) * e1 + abs(v2) * e2
    if n1 != 0.0 or n2 != 0.0:
        rise = v1 * n1 + v2 * n2
        out = rise * (abs(n1) * e1 + abs(n2) * e2) if rise > 0.0 else -rise * over
        most = min(most, out + abs(v2 * n1 - v1 * n2) * (abs(n2) * e1 + abs(n1) * e2))
    return most


@compiled
def to_edge(piece: Piece, cutters: Sequence[CutterPiece], n: int, work: Work) -> None:
    """Move the middle of the patch in `work` to the edge that its cutters leave, where they can.

    By Newton steps: along the tube out of the cutter, first also around its rim where two cutters meet.
    """
    m = work.centre
    p = work.edges[0]
    q = work.edges[1]
    s = m[0]
    x1 = work.plane.place[0]
    x2 = work.plane.place[1]
    both = p.weight > 0.0 and q.weight > 0.0 and x1 * x1 + x2 * x2 > 1.0 - 1e-9
    both = both and not piece.is_rounded
    which = 1 if q.weight > p.weight else 0
    for again in range(4):
        if again > 0:
            axis(piece, s, work.frame)
            a = piece.a + s * piece.a_slope
            b = piece.b + s * piece.b_slope
            cut(
                piece, cutters, work.frame, a, b, x1, x2, 0.0, 0.0, 0.0,
                work.cutter_frame, work.level, work.edges,
            )  # fmt: skip
            which = 0
            if p.value >= -INSIDE:
                break
        if not work.edges[which].holds:
            break
        along = work.edges[which].along
        turn = 0.0
        step = -work.edges[which].value / along if abs(along) > 0.05 else 0.0
        if both and again == 0:
            p_turn = x1 * p.v - x2 * p.u
            q_turn = x1 * q.v - x2 * q.u
            det = p.along * q_turn - q.along * p_turn
            if abs(det) > 1e-3 * (abs(p_turn) + abs(q_turn)):
                step = (q.value * p_turn - p.value * q_turn) / det
                turn = (q.along * p.value - p.along * q.value) / det
        if abs(turn) > 0.5 or (step == 0.0 and turn == 0.0):
            break
        s = min(max(s + step, 0.0), piece.length)
        c = math.cos(turn)
        t = math.sin(turn)
        x1, x2 = c * x1 - t * x2, c * x2 + t * x1
    m[0] = s
    m[n] = x1
    m[n + 1] = x2
