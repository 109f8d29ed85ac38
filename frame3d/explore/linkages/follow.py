r"""Follow n linkages of one topology through their strokes, compiled.

The formulas are those of `frame3d.linkage.blocks`, with the same names; what a pose must meet is what
`frame3d.linkage.trace` asks of the first poses that it tries, a little stricter, so that a linkage which
is clean here is followed by it in one go to the same poses:

    rows of each linkage ── constants of its blocks ── for each stroke: blocks in order ── axle
                                                            |
                                                   against the stroke before

Angles between neighbouring strokes are taken from their sines, as no arc tangent is needed for what is
small: asin(x) = x + x³/6 + 3x⁵/40 is good to 5e-5 rad at 0.4.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from frame3d.explore.linkages.compiled import compiled
from frame3d.explore.linkages.program import Whole
from frame3d.geometry.arrays import Array, Complex, Mask

_ZERO: Final = 1e-12
"""As `program.ZERO`."""
_NEAR: Final = 1.001e-6
"""Points of a link so near to each other count as lying on each other; a little more than in `solve`."""
_REGULAR: Final = 2e-7
_AGREE: Final = 0.149
_NOISE: Final = 0.9e-6
_TURN: Final = 0.398
"""The limits of `trace`, each a little stricter."""
_RANK: Final = 1e-6
"""As `mobility.RANK`, stricter: the least singular value is at least the determinant over the powers of
the matrix's norm."""
_STILL: Final = 1e-5
"""Share of all turning below which the axle's link may stand still."""


@compiled
def _inverse(number: complex) -> complex:
    """Return 1 over a number, infinite or NaN for 0, where numba's own division would raise."""
    return number.conjugate() * (1 / (number.real * number.real + number.imag * number.imag))


@compiled
def follow(  # compiled: no objects
    blocks: Whole,
    before: Mask,
    terms: Whole,
    signs: Array,
    touching: Whole,
    present: Mask,
    axle_link: int,
    brake_link: int,
    points: Complex,
    strokes: Array,
    is_tested: bool,
    clean: Mask,
    length: Array,
    axle: Complex,
    turning: Array,
    last: Complex,
) -> None:
    """Follow n linkages; their points (n, p) are complex, x + i·z [mm].

    Args:
        blocks: and the following up to `brake_link`, of the `Program`.
        before: see `blocks`.
        terms: see `blocks`.
        signs: see `blocks`.
        touching: see `blocks`.
        present: see `blocks`.
        axle_link: see `blocks`.
        brake_link: see `blocks`.
        points: as drawn, at full extension.
        strokes: of the shock, (1, k) for all or (n, k) [mm].
        is_tested: whether to hold the linkage as drawn, and each pose against the one before; the
            strokes begin at 0 then. Otherwise a linkage is clean where its poses exist.
        clean: out, whether nothing was doubtful, (n,).
        length: out, of the shock at full extension, (n,) [mm].
        axle: out, the axle's position and its first two derivatives by the stroke, (3, n, k).
        turning: out, the angular velocity of the caliper's link, (n, k) [rad/mm].
        last: out, exp(i·θ) of the links at the last stroke, (n, links).
    """
    count, links, rows = len(points), before.shape[1], len(present) + 1
    shock, wheel = rows - 2, rows - 1
    steps = strokes.shape[1]
    arms = np.empty((rows, links + 1), dtype=np.complex128)
    first = np.empty((len(blocks), 4), dtype=np.complex128)
    fixed = np.empty((len(blocks), 4))
    unit = np.empty((3, links), dtype=np.complex128)
    rate = np.empty((2, links))
    acceleration = np.empty((2, links))
    earlier = np.empty(links, dtype=np.complex128)
    for n in range(count):
        clean[n] = True
        arms[:] = 0
        for t in range(len(terms)):
            arms[terms[t, 0], terms[t, 1]] += signs[t] * points[n, terms[t, 2]]
        drawn = arms[shock, links]
        for link in range(links):
            drawn += arms[shock, link]
        whole = abs(drawn)
        length[n] = whole

        # Sizes, and whether the linkage is like the one that the program was made of.
        mean = 0j
        for p in range(points.shape[1]):
            mean += points[n, p]
        mean *= 1 / (points.shape[1] + 1)
        size = abs(mean)
        for p in range(points.shape[1]):
            size = max(size, abs(points[n, p] - mean))
        square, scale = 0.0, 1.0
        for row in range(shock + 1):
            norm = 0.0
            for link in range(links):
                arm = arms[row, link]
                norm += arm.real * arm.real + arm.imag * arm.imag
                if (abs(arm) > _ZERO * size) != present[row, link]:
                    clean[n] = False
            square += norm
            scale *= np.sqrt(norm) if row == shock else norm
        for t in range(len(touching)):
            if abs(points[n, touching[t, 0]] - points[n, touching[t, 1]]) < _NEAR:
                clean[n] = False

        # Constants of the blocks.
        for b in range(len(blocks)):
            kind, one, two, row = blocks[b, 0], blocks[b, 1], blocks[b, 2], blocks[b, 3]
            if kind == 0:
                centre, arm = arms[row, links], arms[row, one]
                along = centre.conjugate() * arm
                if along.imag == 0:
                    clean[n] = False
                fixed[b, 0] = abs(centre) ** 2 + abs(arm) ** 2
                fixed[b, 1] = along.real * along.real + along.imag * along.imag
                fixed[b, 2] = np.sign(along.imag)
                first[b, 0] = _inverse(along)
            else:
                a, c = arms[row, one], arms[row, two]
                centre = arms[row, links]
                for link in range(links):
                    if link != one and link != two:
                        centre += arms[row, link]
                across = centre.conjugate() * -a
                if across.imag == 0:
                    clean[n] = False
                fixed[b, 0] = a.real * a.real + a.imag * a.imag
                fixed[b, 1] = fixed[b, 0] - (c.real * c.real + c.imag * c.imag)
                fixed[b, 2] = np.sign(across.imag)
                first[b, 0], first[b, 1] = _inverse(a), _inverse(c)
        if not clean[n]:
            continue

        sign, before_stroke = 1.0, 0.0
        for k in range(steps):
            stroke = strokes[n if len(strokes) > 1 else 0, k]
            now, then = k % 2, (k + 1) % 2
            determinant = 1.0
            for b in range(len(blocks)):
                kind, one, two, row = blocks[b, 0], blocks[b, 1], blocks[b, 2], blocks[b, 3]
                if kind == 0:
                    left = whole - stroke
                    along_ = (left * left - fixed[b, 0]) / 2
                    beside = fixed[b, 2] * np.sqrt(fixed[b, 1] - along_ * along_)
                    e = complex(along_, beside) * first[b, 0]
                    turn = left / beside
                    faster = -(1 + turn * turn * along_) / beside
                    unit[0, one] = e
                    d = complex(-e.imag, e.real) * turn
                    unit[1, one] = d
                    f = e * faster + d * turn
                    unit[2, one] = complex(-f.imag, f.real)
                    rate[now, one], acceleration[now, one] = turn, faster
                    determinant /= -turn
                else:
                    centre, moved, bent = arms[row, links], 0j, 0j
                    for link in range(links):
                        if before[b, link]:
                            arm = arms[row, link]
                            centre += arm * unit[0, link]
                            moved += arm * unit[1, link]
                            bent += arm * unit[2, link]
                    base = centre.real * centre.real + centre.imag * centre.imag
                    share = (base + fixed[b, 1]) / (2 * base)
                    beside = fixed[b, 2] * np.sqrt(fixed[b, 0] / base - share * share)
                    ae = -centre * complex(share, beside)
                    be = -centre - ae
                    det = -base * beside
                    determinant *= det
                    over = 1 / det
                    against1, against2 = -over * be.conjugate(), over * ae.conjugate()
                    turn1 = against1.real * moved.real - against1.imag * moved.imag
                    turn2 = against2.real * moved.real - against2.imag * moved.imag
                    ta, tb = complex(-ae.imag, ae.real), complex(-be.imag, be.real)
                    bent += -ae * (turn1 * turn1) - be * (turn2 * turn2)
                    faster1 = against1.real * bent.real - against1.imag * bent.imag
                    faster2 = against2.real * bent.real - against2.imag * bent.imag
                    ia, ib = first[b, 0], first[b, 1]
                    unit[0, one], unit[0, two] = ae * ia, be * ib
                    unit[1, one], unit[1, two] = ta * turn1 * ia, tb * turn2 * ib
                    unit[2, one] = (ta * faster1 - ae * (turn1 * turn1)) * ia
                    unit[2, two] = (tb * faster2 - be * (turn2 * turn2)) * ib
                    rate[now, one], rate[now, two] = turn1, turn2
                    acceleration[now, one], acceleration[now, two] = faster1, faster2
            if not np.isfinite(determinant):
                clean[n] = False
                break
            at, pace, curve = arms[wheel, links], 0j, 0j
            for link in range(links):
                arm = arms[wheel, link]
                at += arm * unit[0, link]
                pace += arm * unit[1, link]
                curve += arm * unit[2, link]
            axle[0, n, k], axle[1, n, k], axle[2, n, k] = at, pace, curve
            turning[n, k] = 0.0 if brake_link < 0 else rate[now, brake_link]
            if not is_tested:
                continue
            if k == 0:
                sign = np.sign(determinant)
                norm = np.sqrt(square)
                if abs(determinant) <= _RANK * max(size, norm) * norm ** (links - 1):
                    clean[n] = False
                together = 0.0
                for link in range(links):
                    together += rate[0, link] ** 2
                if abs(rate[0, axle_link]) <= _STILL * np.sqrt(together):
                    clean[n] = False
            else:
                step = (stroke - before_stroke) / 2
                turned = off = jump = fastest = 0.0
                for link in range(links):
                    since = unit[0, link] * earlier[link].conjugate()
                    s = since.imag
                    grown = s + s * s * s / 6 + 0.075 * s * s * s * s * s
                    if since.real <= 0:
                        clean[n] = False
                    turned = max(turned, abs(grown))
                    off = max(off, abs(grown - step * (rate[now, link] + rate[then, link])))
                    more = rate[now, link] - rate[then, link]
                    mean_ = step * (acceleration[now, link] + acceleration[then, link])
                    jump = max(jump, abs(more - mean_))
                    fastest = max(fastest, abs(rate[now, link]), abs(rate[then, link]))
                if off > _AGREE * turned + _NOISE or jump > _AGREE * fastest or turned > _TURN:
                    clean[n] = False
            if determinant * sign <= _REGULAR * scale:
                clean[n] = False
            if not clean[n]:
                break
            earlier[:] = unit[0]
            before_stroke = stroke
        last[n] = unit[0]
