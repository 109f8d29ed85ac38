"""Lower bound of a shape's signed distance D over a box of tube sections and positions, compiled.

A box holds the sections of a tube piece from s - h_s to s + h_s, at all positions whose motions x_i
lie within h_i of the box's middle. Its points are x = C + e, C the axis point, e = a u M + b v N::

              section in the box's middle       M, N    directions of the half widths
                   . - ~ ~ ~ - .                a >= b  half widths
                 '    b N        '              (u, v)  place in the section, u² + v² <= 1
                |       ^         |             V       (a g·M, b g·N), slopes of g·e in u and v
                |     C +---> a M |             n       V/|V|; g·e is least at (u, v) = -n
                 '               '
      - - - - - - ' - . x0. - ' - - - - - -     plane through x0, square to g:
                         | -g                   D >= D(x0) + g·(x - x0) where D is convex
                         v
      ~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~     surface of the shape, D = 0

J_i = dC/dx_i; x_i turns M and N with angular velocity w_i. `first` and `second` bound the movement of
C and its second derivatives (see `positions`); spin = sum |w_i| h_i. Against C, a point that keeps
its place (u, v) moves at most swing = a spin + |slope| h_s from where it is in the box's middle, so
it moves at most reach = first + swing.

The plane. Let g be the gradient of D at any point x0. Over one section g·e >= -|V|. Over the box
V = V0 + sum q_i d_i + R with |d_i| <= h_i and

    |R| <= rest = (a (spin² + |w_s'| h_s²) + 2 |slope| h_s spin) / 2,

so that with n = V0/|V0| and room = |V0| - sum |n·q_i| h_i - rest > 0

    |V| <= |V0| + sum n·q_i d_i + rest + (sum |q_i square to n| h_i + rest)² / (2 room),
    D >= D(x0) + g·(C0 - x0) - |V0| - sum |g·J_i - n·q_i| h_i - second/2 - rest - (...)² / (2 room).

The best x0 is the one whose plane touches the middle section in x0 itself: `face` looks for it. Where
room is too small, D(C0) - a - reach bounds D too, and for a convex D the same plane less min(reach,
sum |g·J_i| h_i + second/2 + swing).

Tori and rings. D = P(w, y) is convex in (w, y), w the distance from the shape's axis. Where P
grows with w the plane holds, as w is convex. Where P falls, at the rate fall = -dP/dw, let o be the
unit vector from the shape's axis to x0 and t the one square to it and to the axis::

             t ^            x      w, the distance of x from the axis,
               |                     is at most x·o + (x·t)² / (2 x·o):
          axis +------x0----> o    the plane loses l (x·t)² with l = fall / (2 min x·o)

As x0·t = 0, x·t = r + z, where r comes from the box's size and z = T·(c - c0) from the section, with
c = (u, v), c0 that of x0, and T = (a t·M, b t·N). About c = -n, (r + z)² <= 2 (|r| + |T·(n + c0)|)² +
2 (T·(c + n))², and for m = V·n > 4 l |T|²

    V·c - 2 l (T·(c + n))² >= V·c - 2 l (T·(c + n))² + m (|c|² - 1)/2
                           >= -V·n - |V square to n|² / (2 (m - 4 l |T|²)).

So room shrinks by 4 l |T|² and the bound by 2 l (|r| + |T·(n + c0)|)².

Patches. Where the middle section's own plane misses by more than the box's width costs (kinks, the
hole of a ring, a section that faces the shape flat), boxes hold parts of sections: u and v within
half widths e1, e2 of the place of x0. These cost |V0| times the half widths, and add to z.

Sections that are rounded outlines (`rounded_sections`) are always held in patches; a is then the
distance of their furthest place (u, v) from the axis wherever it bounds a section as a whole: of a
taper hypot(a, b), as a place that is in the outline here may be beyond a corner there. |slope| is
hypot(a', b') of the half widths, as |u| and |v| may both be 1. Along a taper the corners move in
(u, v). At their rim the places of a box may lie over the middle section's tangent, by `over`
(`rounded_sections.nearest`): a plane that falls outwards loses so much of its slope as well (`fall`).

Patches where something cuts the tube are dropped, or bounded by a second plane: see `cutters`.

Balls about the axis are sections of no width: D less their radius, which is linear along the tube.
No ball in the shape is larger than its largest, so D >= -inradius everywhere. That ends the search
where a tube runs right through a shape: there the depth is the same over whole ranges of positions,
with kinks of D in each, whose planes alone would have to be followed to boxes of the tolerance's size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.cutters import INSIDE, cut, fall, lifted
from frame3d.clearance.certify.positions import axis, move
from frame3d.clearance.certify.records import (
    CutEdge,
    CutterPiece,
    Edge,
    Found,
    Knot,
    MotionStep,
    Piece,
    Plane,
    Reading,
    SectionFrame,
    ShapeNumbers,
    Work,
)
from frame3d.clearance.certify.rounded_sections import nearest
from frame3d.clearance.certify.signed_distance import FAR, signed
from frame3d.geometry.arrays import Array

ROUNDING = 1e-9
"""Error of one value, coordinates below 10 m [mm]."""
TRIES = 12
"""Most points that are tried in one section."""
SECTION, PATCH, BALL, BALLS = range(4)
"""What a box holds of a piece: sections, patches of sections, the ball of a rounded end, or the balls
that measure a depth."""


@compiled
def face(
    shape: ShapeNumbers,
    edges: Sequence[Edge],
    frame: SectionFrame,
    a: float,
    b: float,
    x1: float,
    x2: float,
    tries: int,
    enough: float,
    far_off: float,
    plane: Plane,
    found: Found,
) -> float:
    """Find the least signed distance in a section, and the plane that bounds it best from below.

    Steps go against the gradient, with the two-point step sizes of Barzilai and Borwein (1988; from
    memory), and are kept inside the section; along its edge that is the secant method.

    Args:
        shape: the shape.
        edges: of its profile.
        frame: the section's.
        a: larger half width [mm].
        b: smaller half width [mm].
        x1: place (u, v) to begin at, with x2.
        x2: see x1.
        tries: most points that are tried.
        enough: stop when the plane's least over the section is so near to its value at x0 [mm].
        far_off: stop at the first point if its distance is above this [mm].
        plane: written to.
        found: written to: the nearest point and its foot on the shape.

    Returns:
        The least signed distance found [mm].
    """
    mx = frame.major[0]
    my = frame.major[1]
    mz = frame.major[2]
    nx = frame.minor[0]
    ny = frame.minor[1]
    nz = frame.minor[2]
    px = frame.point[0]
    py = frame.point[1]
    pz = frame.point[2]
    value = least = FAR
    o1 = o2 = w1 = w2 = 0.0
    for k in range(tries):
        x = px + a * x1 * mx + b * x2 * nx
        y = py + a * x1 * my + b * x2 * ny
        z = pz + a * x1 * mz + b * x2 * nz
        d, gx, gy, gz, far, fall, noise = signed(shape, edges, x, y, z)
        v1 = a * (gx * mx + gy * my + gz * mz)
        v2 = b * (gx * nx + gy * ny + gz * nz)
        size = math.sqrt(v1 * v1 + v2 * v2)
        miss = v1 * x1 + v2 * x2 + size
        if d < value:
            value = d
            found.tube_point[0] = x
            found.tube_point[1] = y
            found.tube_point[2] = z
            found.shape_point[0] = x - d * gx
            found.shape_point[1] = y - d * gy
            found.shape_point[2] = z - d * gz
        if k == 0:
            _read(plane.first, d, gx, gy, gz, far, fall, noise)
        if miss < least:
            least = miss
            _read(plane.best, d, gx, gy, gz, far, fall, noise)
            plane.point[0] = x
            plane.point[1] = y
            plane.point[2] = z
            plane.place[0] = x1
            plane.place[1] = x2
            plane.slope[0] = v1
            plane.slope[1] = v2
            plane.size = size
        if miss <= enough or (k == 0 and d > far_off):
            break
        d1 = x1 - o1
        d2 = x2 - o2
        change = d1 * (v1 - w1) + d2 * (v2 - w2)
        o1 = x1
        o2 = x2
        w1 = v1
        w2 = v2
        square = d1 * d1 + d2 * d2
        if change > 1e-9 * size * square:
            step = square / change
            x1 -= v1 * step
            x2 -= v2 * step
            over = x1 * x1 + x2 * x2
            if over > 1.0:
                over = 1.0 / math.sqrt(over)
                x1 *= over
                x2 *= over
        elif size > 0.0:
            x1 = -v1 / size
            x2 = -v2 / size
    return value


@compiled
def _read(
    reading: Reading,
    d: float,
    gx: float,
    gy: float,
    gz: float,
    far: float,
    fall: float,
    noise: float,
) -> None:
    """Write down what `signed` returned."""
    reading.value = d
    reading.gradient[0] = gx
    reading.gradient[1] = gy
    reading.gradient[2] = gz
    reading.axis_distance = far
    reading.fall = fall
    reading.noise = noise


@compiled
def _under(
    piece: Piece,
    how: int,
    reading: Reading,
    plane: Plane,
    frame: SectionFrame,
    h: Array,
    n: int,
    a: float,
    b: float,
    e1: float,
    e2: float,
    rise: float,
    first: float,
    second: float,
    spin: float,
    edges: Sequence[CutEdge],
    tilt: Array,
    found: Found,
) -> float:
    """Return a lower bound of D over a box's sections, patches or balls.

    Of balls the radius of the middle one is not yet taken off. `how` is SECTION, PATCH or BALL;
    `reading` is the plane's best, of BALL its first; e1, e2 are a patch's half widths, `rise` the
    slope of the balls' radius; first, second and spin belong to the motion (see the module); `edges`
    tells what cuts a patch (see `cutters.cut`). Writes to `tilt` what each parameter alone takes off
    the bound (positive: the half with the larger values is the higher one), and to `found.miss` the
    bound of a box of no width.
    """
    d = reading.value
    gx = reading.gradient[0]
    gy = reading.gradient[1]
    gz = reading.gradient[2]
    w0 = reading.axis_distance
    slope = reading.fall
    # (c1, c2) is -n; of a patch the plane's own place.
    x1 = x2 = c1 = c2 = v1 = v2 = size = 0.0
    mx = frame.major[0]
    my = frame.major[1]
    mz = frame.major[2]
    nx = frame.minor[0]
    ny = frame.minor[1]
    nz = frame.minor[2]
    widest = steep = bend = 0.0
    if how != BALL:
        x1 = plane.place[0]
        x2 = plane.place[1]
        v1 = plane.slope[0]
        v2 = plane.slope[1]
        size = plane.size
        widest = piece.widest
        steep = piece.steepest
        bend = piece.turn_rate
        c1 = x1
        c2 = x2
        if how == SECTION:
            c1 = -v1 / size if size > 0.0 else 0.0
            c2 = -v2 / size if size > 0.0 else 0.0
    swing = widest * spin + steep * h[0]
    reach = first + swing
    rest = 0.5 * (widest * (spin * spin + bend * h[0] * h[0]) + 2.0 * steep * h[0] * spin)
    doubt = 2.0 * reading.noise * (2.0 * (piece.widest if piece.is_rounded else a) + reach)
    plain = lin = par = perp = 0.0
    for i in range(n):
        g = gx * frame.rate[i, 0] + gy * frame.rate[i, 1] + gz * frame.rate[i, 2]
        if i == 0:
            g -= rise
        plain += abs(g) * h[i]
        q1 = q2 = 0.0
        if how != BALL:
            # (g × w_i)·M is the derivative of g·M
            cx = gy * frame.spin[i, 2] - gz * frame.spin[i, 1]
            cy = gz * frame.spin[i, 0] - gx * frame.spin[i, 2]
            cz = gx * frame.spin[i, 1] - gy * frame.spin[i, 0]
            q1 = a * (cx * mx + cy * my + cz * mz)
            q2 = b * (cx * nx + cy * ny + cz * nz)
            if i == 0 and b > 0.0:
                q1 += piece.a_slope * v1 / a
                q2 += piece.b_slope * v2 / b
        along = c1 * q1 + c2 * q2
        tilt[i] = (g + along) * h[i]
        lin += abs(tilt[i])
        if how == SECTION:
            par += abs(along) * h[i]
            perp += abs(c1 * q2 - c2 * q1) * h[i]
        else:
            perp += (abs(q1) * e1 + abs(q2) * e2) * h[i]
    patch = a * e1 + b * e2
    low: float = d - reach - patch
    base = d
    if how == SECTION:
        base = d - (v1 * x1 + v2 * x2) - size - doubt
        low = plane.first.value - a - reach
        if slope == 0.0:
            low = max(low, base - min(reach, plain + 0.5 * second + swing))
    elif how == BALL:
        low -= abs(rise) * h[0]
    found.miss = base
    lost = lin + 0.5 * second + rest + doubt
    room = size - par - rest
    if slope > 0.0:
        ux = 1.0
        uz = 0.0
        if w0 > 0.0:
            ux = (frame.point[0] if how == BALL else plane.point[0]) / w0
            uz = (frame.point[2] if how == BALL else plane.point[2]) / w0
        tang = 0.5 * second + swing
        for i in range(n):
            tang += abs(frame.rate[i, 2] * ux - frame.rate[i, 0] * uz) * h[i]
        tang = min(tang, reach)
        um = a * (mx * ux + mz * uz)
        un = b * (nx * ux + nz * uz)
        tm = a * (mz * ux - mx * uz)
        tn = b * (nz * ux - nx * uz)
        inner = frame.point[0] * ux + frame.point[2] * uz - reach
        if how == SECTION:
            inner -= math.sqrt(um * um + un * un)
            found.miss = plane.first.value - a
        else:
            inner += x1 * um + x2 * un - abs(um) * e1 - abs(un) * e2
            tang += abs(tm) * e1 + abs(tn) * e2
        if inner <= 0.0:
            room = -FAR
        elif how == SECTION:
            off = abs(tm * (x1 - c1) + tn * (x2 - c2))
            less = 2.0 * slope / inner * (tm * tm + tn * tn)
            room -= less
            lost += slope / inner * (tang + off) * (tang + off)
            if size > 1.5 * less:
                found.miss = base - slope / inner * off * off
        else:
            lost += 0.5 * slope / inner * tang * tang
    linear: float = -FAR
    if how == SECTION:
        if room > 0.25 * size:
            linear = base - lost - (perp + rest) * (perp + rest) / (2.0 * room)
    elif room > -FAR:
        if how == PATCH and (edges[0].holds or edges[1].holds):
            level = lifted(
                edges, tilt[0], h[0], v1, v2, plane.rim[0], plane.rim[1], plane.over, e1, e2
            )
            linear = d - lost + abs(tilt[0]) - perp + level
            for k in range(2):
                if edges[k].weight > 0.0:
                    tilt[0] -= h[0] * edges[k].weight * edges[k].along
        else:
            linear = d - lost - perp
            linear -= fall(v1, v2, plane.rim[0], plane.rim[1], plane.over, e1, e2)
    if linear > low - 1e-9:
        return linear
    for i in range(n):
        tilt[i] = 0.0
    return low


@compiled
def evaluate(
    piece: Piece,
    how: int,
    deep: bool,
    shape: ShapeNumbers,
    edges: Sequence[Edge],
    steps: Sequence[MotionStep],
    knots: Sequence[Knot],
    cutters: Sequence[CutterPiece],
    n: int,
    tolerance: float,
    ceiling: float,
    work: Work,
) -> tuple[float, float]:
    """Return D at a box's middle and a lower bound of D over the box.

    Args:
        piece: a tube's piece.
        how: SECTION, PATCH, BALL or BALLS.
        deep: whether sections are taken with the balls inside them.
        shape: the shape.
        edges: of its profile.
        steps: the motion's steps.
        knots: the rows of its tables.
        cutters: what cuts the tube.
        n: number of parameters without u and v.
        tolerance: width of the certificate [mm].
        ceiling: a bound above this may be as rough as it is: the box is then set aside [mm].
        work: `centre` and `half` give the box: place along the piece, motions, u, v. Written to:
            `tilt` (see `_under`), `found`, and `frame` at the middle.

    Returns:
        Value (FAR where the middle is inside a cutter) and lower bound [mm].
    """
    m = work.centre
    h = work.half
    frame = work.frame
    plane = work.plane
    found = work.found
    levels = work.edges
    for i in range(1, n):
        for j in range(3):
            frame.rate[i, j] = 0.0
            frame.spin[i, j] = 0.0
    axis(piece, m[0], frame)
    a = piece.a + m[0] * piece.a_slope
    b = piece.b + m[0] * piece.b_slope
    e1 = e2 = x1 = x2 = wide = tall = 0.0
    is_cut = how == PATCH and piece.cutters[1] > piece.cutters[0]
    for k in range(2):
        levels[k].holds = False
        levels[k].weight = 0.0
    found.is_cut_off = False
    if how == PATCH and piece.is_rounded:
        x1, x2, plane.over = nearest(piece, m[0], h[0], m[n], m[n + 1], h[n], h[n + 1], plane.rim)
        e1 = h[n] + abs(m[n] - x1)
        e2 = h[n + 1] + abs(m[n + 1] - x2)
    elif how == PATCH:
        # About its middle, or the point of the section's rim nearest to that.
        size = math.sqrt(m[n] ** 2 + m[n + 1] ** 2)
        corner = (abs(m[n]) + h[n]) ** 2 + (abs(m[n + 1]) + h[n + 1]) ** 2
        if size < 1.0 and not (is_cut and size >= 0.5 and corner >= 1.0):
            size = 1.0
        x1 = m[n] / size
        x2 = m[n + 1] / size
        is_rim = x1 * x1 + x2 * x2 > 1.0 - 1e-12
        plane.rim[0] = x1 if is_rim else 0.0
        plane.rim[1] = x2 if is_rim else 0.0
        plane.over = 0.0
        e1 = h[n] + abs(m[n] - x1)
        e2 = h[n + 1] + abs(m[n + 1] - x2)
    if is_cut and cut(
        piece, cutters, frame, a, b, x1, x2, e1, e2, h[0], work.cutter_frame, work.level, levels
    ):
        found.is_inside = False
        found.miss = found.enough = 0.0
        return FAR, FAR
    first, second, spin = move(steps, knots, m, h, frame, n, piece.curvature * h[0] * h[0])
    spin += piece.turn * h[0]
    tries = TRIES
    enough = max(0.05 * tolerance, 0.02 * (first + piece.widest * spin))
    if how != SECTION:
        tries -= TRIES - 1
    if how < BALL:
        wide = a
        tall = b
    # No point of the box is further than this from the first point that `face` tries.
    off = first + piece.widest * spin + piece.steepest * h[0]
    off += wide if how == SECTION else wide * e1 + tall * e2
    far_off = FAR if deep or how >= BALL else ceiling + off + ROUNDING
    value = face(shape, edges, frame, wide, tall, x1, x2, tries, enough, far_off, plane, found)
    found.is_inside = False
    found.enough = enough
    if value > far_off:
        found.miss = 0.0
        for i in range(n):
            work.tilt[i] = 0.0
        return FAR if is_cut else value, plane.first.value - off - ROUNDING
    bound = FAR
    miss = 0.0
    if how < BALL:
        bound = _under(
            piece, how, plane.best, plane, frame, h, n, wide, tall, e1, e2, 0.0,
            first, second, spin, levels, work.tilt, found,
        )  # fmt: skip
        if bound < -shape.inradius:
            bound = -shape.inradius
            for i in range(n):
                work.tilt[i] = 0.0
        miss = value - found.miss
    if how >= BALL or (deep and how == SECTION):
        radius = b
        rise = piece.b_slope
        low = under = -FAR
        # Balls as wide as the section, then those that touch a flat end.
        for flat in range(1 if how == BALL else 2):
            if flat == 1:
                radius = min(piece.before + m[0], piece.after + piece.length - m[0])
                rise = 1.0 if radius == piece.before + m[0] else -1.0
            ball = BALL + 0 * flat  # numba would compile `_under` anew for the constant
            under = _under(
                piece, ball, plane.first, plane, frame, h, n, 0.0, 0.0, e1, e2, rise,
                first, second, spin, levels, work.tilt, found,
            )  # fmt: skip
            deepest = shape.inradius + radius + abs(rise) * h[0]
            low = max(low, under - radius, -deepest)
        if how != BALL or low > under - radius:
            for i in range(n):
                work.tilt[i] = 0.0
        if low < bound:
            bound = low
            miss = 0.0
        radius = min(radius, b)
        inner = plane.first.value
        if radius > 0.0 and (inner - radius < value or how >= BALL):
            value = inner - radius
            for i in range(3):
                found.tube_point[i] = frame.point[i] - radius * plane.first.gradient[i]
                found.shape_point[i] = frame.point[i] - inner * plane.first.gradient[i]
            found.is_inside = inner < 0.0
    found.miss = miss
    if is_cut:
        is_inside = levels[0].value < -INSIDE
        if is_inside:
            value = FAR
        found.is_cut_off = is_inside or levels[0].weight > 0.0 or levels[1].weight > 0.0
    return value, bound - ROUNDING
