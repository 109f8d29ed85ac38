"""Pieces, cutters and motions of pairs taken from the frame's axes into each shape's own, compiled.

The search works in the shape's axes. What a tube, a shape or two mounts give is made once, in the
frame's axes (`numbers`); here it is taken into the axes of one pair after another, in place.

A link's motion in the side view, with complex numbers x + i z: a turn e = exp(i p) and a shift c about
the bottom bracket's centre are, about a point a, the turn e and the shift c + (e - 1) a. A solid of
revolution about y with no step after needs only the shift of its own centre, seen from the turned axes.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence

from frame3d.bodies.motion.mounts import CIRCLE, SWING, TURN
from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.records import (
    BOX_KIND,
    CAPSULE_KIND,
    PRISM_KIND,
    CutterPiece,
    Knot,
    MotionStep,
    PairNumbers,
    Piece,
    Place,
    ShapeNumbers,
)
from frame3d.geometry.arrays import Array, Ints


@compiled
def _turn_into(place: Place, v: Array) -> None:
    """Write a direction's components in the shape's axes over those in the frame's."""
    x = v[0]
    y = v[1]
    z = v[2]
    for i in range(3):
        v[i] = place.axes[i, 0] * x + place.axes[i, 1] * y + place.axes[i, 2] * z


@compiled
def _piece_into(place: Place, piece: Piece) -> None:
    """Take a tube's or cutter's piece into the shape's axes."""
    for i in range(3):
        piece.origin[i] -= place.origin[i]
    _turn_into(place, piece.origin)
    _turn_into(place, piece.out)
    _turn_into(place, piece.tangent)
    _turn_into(place, piece.major)
    _turn_into(place, piece.held)


@compiled
def _steepest(step: float, p: float, q: float, v: float, w: float) -> tuple[float, float]:
    """Return bounds of a Hermite cubic's first and second derivative between two rows.

    The second derivative is linear, so its extremes are at the ends; those of the first are at the
    ends and where the second is 0.
    """
    low = (6.0 * (q - p) / step - 4.0 * v - 2.0 * w) / step
    high = (2.0 * v + 4.0 * w - 6.0 * (q - p) / step) / step
    u = 0.0
    if low != high:
        u = min(max(low / (low - high), 0.0), 1.0)
    middle = v + step * (low * u + (high - low) * u * u / 2.0)
    return max(abs(v), abs(w), abs(middle)), max(abs(low), abs(high))


@compiled
def _swing_into(
    place: Place, step: MotionStep, rows: Array, knots: Sequence[Knot], spins: bool
) -> None:
    """Write a link's table in the shape's axes, with bounds of its derivatives.

    Args:
        place: of the shape.
        step: a SWING with its spacing; written to.
        rows: (n, 8) float: x, z, turn, their derivatives by travel, cosine and sine of the turn
            [mm, radians].
        knots: n rows; written to.
        spins: whether turns about the shape's own centre make no difference.
    """
    about = complex(place.about[0], place.about[1])
    if spins:
        about = complex(place.origin[0], place.origin[2])
    else:
        x = about.real - place.origin[0]
        z = about.imag - place.origin[2]
        for i in range(3):
            step.point[i] = place.axes[i, 0] * x + place.axes[i, 2] * z
    for i in range(3):
        step.axis[i] = -place.axes[i, 1]  # nose up
    turn_first = turn_second = first = second = 0.0
    before = slope_before = complex(0.0, 0.0)
    for k in range(len(rows)):
        turn = rows[k, 2]
        rate = rows[k, 5]
        whole = complex(rows[k, 6], rows[k, 7])
        shift = complex(rows[k, 0], rows[k, 1]) + (whole - 1.0) * about
        slope = complex(rows[k, 3], rows[k, 4]) + 1j * rate * whole * about
        if spins:
            slope = (slope - 1j * rate * shift) / whole
            shift = shift / whole
            turn = rate = 0.0
        knot = knots[k]
        knot.turn = turn
        knot.turn_rate = rate
        for i in range(3):
            across = place.axes[i, 0]
            up = place.axes[i, 2]
            knot.shift[i] = across * shift.real + up * shift.imag
            knot.shift_rate[i] = across * slope.real + up * slope.imag
        if k > 0:
            last = knots[k - 1]
            a, b = _steepest(step.spacing, last.turn, turn, last.turn_rate, rate)
            turn_first = max(turn_first, a)
            turn_second = max(turn_second, b)
            a, b = _steepest(step.spacing, before.real, shift.real, slope_before.real, slope.real)
            c, d = _steepest(step.spacing, before.imag, shift.imag, slope_before.imag, slope.imag)
            first = max(first, a * a + c * c)
            second = max(second, b * b + d * d)
        before = shift
        slope_before = slope
    step.turn_bound = math.sqrt(turn_first * turn_first + turn_second)
    step.shift_bound = math.sqrt(first)
    step.bend_bound = math.sqrt(second)


@compiled
def _step_into(place: Place, step: MotionStep) -> None:
    """Take a turn, shift or circle into the shape's axes; a circle's radius is its point's x."""
    if step.kind == CIRCLE:
        # Forward adds radius·(cos q, 0, -sin q): clockwise seen from the right side.
        radius = step.factor * step.point[0]
        for i in range(3):
            step.point[i] = -radius * place.axes[i, 0]
            step.axis[i] = radius * place.axes[i, 2]
        step.factor = 1.0
        return
    for i in range(3):
        step.point[i] -= place.origin[i]
    _turn_into(place, step.point)
    _turn_into(place, step.axis)


@compiled
def _changes_nothing(step: MotionStep, shape: ShapeNumbers) -> bool:
    """Return whether the last step before the shape's own axes is a turn about its own axis."""
    if step.kind != TURN or shape.kind in (BOX_KIND, PRISM_KIND):
        return False
    other = 1 if shape.kind == CAPSULE_KIND else 2
    off_axis: float = max(abs(step.axis[0]), abs(step.axis[other]))
    off_point: float = max(abs(step.point[0]), abs(step.point[other]))
    return off_axis < 1e-12 and off_point < 1e-9


@compiled
def into_axes(
    pairs: MutableSequence[PairNumbers],
    places: Sequence[Place],
    limits: Array,
    of_limits: Ints,
    counts: Ints,
    rows: Array,
    pieces: MutableSequence[Piece],
    steps: MutableSequence[MotionStep],
    knots: MutableSequence[Knot],
    cutters: MutableSequence[CutterPiece],
    moved: Ints,
) -> None:
    """Take pairs into their shapes' axes, in place, and drop motions that change nothing.

    Args:
        pairs: with their slices; `steps`, `motions`, `low` and `high` are written to.
        places: of the shapes.
        limits: (sets, ranges, 2) float, of every motion of several sets [mm or radians].
        of_limits: (pairs,), which set each pair has.
        counts: (sets,), how many motions each set has.
        rows: (knots, 8) float, the motions of links in the side view (see `_swing_into`).
        pieces: of the tubes, in the frame's axes.
        steps: of the motions, in the frame's axes, with the index of their range.
        knots: as many as rows; written to.
        cutters: what cuts the tubes, in the frame's axes.
        moved: (pairs, ranges), -1 throughout; the index of each range among the pair's motions where it
            is one of them.
    """
    for i in range(len(pairs)):
        pair = pairs[i]
        place = places[i]
        for k in range(pair.pieces[0], pair.pieces[1]):
            _piece_into(place, pieces[k])
        for k in range(pair.cutters[0], pair.cutters[1]):
            _piece_into(place, cutters[k].piece)
        first = pair.steps[0]
        last = pair.steps[1]
        is_round = pair.shape.kind not in (BOX_KIND, CAPSULE_KIND, PRISM_KIND)
        for k in range(first, last):
            step = steps[k]
            if step.kind == SWING:
                low = pair.knots[0] + step.knots[0]
                high = pair.knots[0] + step.knots[1]
                spins = k == last - 1 and is_round and abs(place.axes[1, 1]) > 1.0 - 1e-12
                _swing_into(place, step, rows[low:high], knots[low:high], spins)
            else:
                _step_into(place, step)
        while last > first and _changes_nothing(steps[last - 1], pair.shape):
            last -= 1
        pair.steps[1] = last
        count = 0
        own = of_limits[i]
        for r in range(counts[own]):
            for k in range(first, last):
                if steps[k].motion == r:
                    moved[i, r] = count
            if moved[i, r] >= 0:
                pair.low[count] = limits[own, r, 0]
                pair.high[count] = limits[own, r, 1]
                count += 1
        pair.motions = count
        for k in range(first, last):
            if steps[k].motion >= 0:
                steps[k].motion = moved[i, steps[k].motion]
