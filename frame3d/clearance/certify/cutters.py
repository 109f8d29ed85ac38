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
from collections.abc import Sequence

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import (
    CutEdge,
    CutterLevel,
    CutterPiece,
    Piece,
    SectionFrame,
)
from frame3d.clearance.certify.signed_distance import FAR


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
    level.value = b * (r - 1.0)
    for i in range(3):
        level.gradient[i] = cu * frame.major[i] + cv * frame.minor[i] + ct * frame.tangent[i]
    level.from_axis = b * r
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
    edge: CutEdge,
) -> bool:
    """Return whether a whole patch lies inside a cutter; else write `edge` for the nearest cutter.

    Args:
        piece: the tube's piece.
        cutters: the pieces of all cutters.
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
        edge: written to.
    """
    mx = frame.major[0]
    my = frame.major[1]
    mz = frame.major[2]
    nx = frame.minor[0]
    ny = frame.minor[1]
    nz = frame.minor[2]
    ex = a * x1 * mx + b * x2 * nx
    ey = a * x1 * my + b * x2 * ny
    ez = a * x1 * mz + b * x2 * nz
    x = frame.point[0] + ex
    y = frame.point[1] + ey
    z = frame.point[2] + ez
    swing = (piece.widest * piece.turn + piece.steepest) * h
    wide = math.sqrt((a * e1) ** 2 + (b * e2) ** 2)
    reach = math.sqrt(h * h + wide * wide) + swing + 0.5 * piece.curvature * h * h
    edge.value = FAR
    edge.holds = False
    i = 0
    while i < len(cutters):
        cutter = cutters[i]
        _level(cutters, i, cutter.until, x, y, z, own, level)
        f = max(level.value, level.beyond)
        if f < -cutter.steepest * reach:
            return True
        if f < edge.value:
            edge.value = f
            lean = cutter.steepest * reach
            least = level.from_axis - lean - cutter.jump * reach
            edge.holds = False
            if least > 0.0 and level.beyond + reach < level.value - lean:
                gx = level.gradient[0]
                gy = level.gradient[1]
                gz = level.gradient[2]
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
                turn = piece.turn
                rest = 0.5 * piece.curvature * h * h + piece.steepest * turn * h * h
                rest += 0.5 * piece.widest * (turn * turn + piece.turn_rate) * h * h
                rest += h * (e1 + e2) * (piece.steepest + piece.widest * turn)
                rest *= cutter.steepest
                rest += 0.5 * (1.0 / least + cutter.bend) * reach * reach
                if level.to_station < 2.0 * reach:
                    rest += cutter.jump * reach
                edge.rest = rest
                edge.holds = True
        i = cutter.until
    return False
