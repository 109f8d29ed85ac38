"""Tubes, cutters and shapes as rows of numbers for the compiled search."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import numpy as np

from frame3d.bodies.shapes import DISC, RING, Cutter, Shape, Tubular
from frame3d.clearance.certify import cutters
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline, Line, arc_axes
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, point, unit, vector
from frame3d.tubes.mitre import level

WIDTH = 27
"""Numbers of a tube piece's row: see `pieces_of`."""
FAR = 1e300
AROUND = 48
"""Samples around a tube, where its cuts are searched for."""
STEP = 1.0
"""Step of these samples along the tube [mm]."""


@lru_cache(maxsize=1024)
def pieces_of(tube: Tubular) -> Array:
    """Return a tube as pieces with a straight or circular axis and a linearly tapering section.

    Cached and read-only: a tube is measured against many shapes.

    Returns:
        (n, 27) float, a row for each piece::

            0         curvature, 0 for a line [1/mm]
            1         length
            2:5       start of a line, or centre of an arc
            5:8       direction of a line, or unit vector from the centre to an arc's start
            8:11      direction of a line's larger half width, or tangent at an arc's start
            11        radius of an arc
            12, 13    larger half width at the start, and its slope
            14, 15    smaller half width at the start, and its slope
            16:19     held direction of an arc (see `Centreline.frames`); normal of the bend if round
            19        0 if round, 1 if the larger half width lies along the held direction, else 2
            20, 21    distance from start and end to the nearest flat end or cut; 1e300 for none
            22:26     bounds over the piece, see `_bounds`
            26        1 if a cutter takes part of it

    Raises:
        ValueError: the tube has no length.
    """
    low, high = tube.span
    if high - low < 1e-9:
        raise ValueError(f"{tube.name} has no length")
    cuts = [(max(a, low), min(b, high)) for a, b in _cut_places(tube) if a < high and b > low]
    marks = [x for cut in cuts for x in cut]
    rows: list[Array] = []
    for row, a, b in _stretches(tube.axis, tube.section, low, high, marks):
        middle = (a + b) / 2
        row[26] = any(start < middle < end for start, end in cuts)
        before = [end for _, end in cuts if end < middle]
        after = [start for start, _ in cuts if start > middle]
        row[20] = min([a - x for x in (*before, *([low] if tube.flat[0] else []))], default=FAR)
        row[21] = min([x - b for x in (*after, *([high] if tube.flat[1] else []))], default=FAR)
        rows.append(row)
    made = np.array(rows)
    made.setflags(write=False)
    return made


@lru_cache(maxsize=1024)
def cutters_of(tube: Tubular) -> Array:
    """Return what cuts a tube, as rows for the compiled search, one cutter after another.

    Cached and read-only.

    Returns:
        (n, 32) float. 0:26 as in `pieces_of`, but 20, 21 are the distances to the cutter's ends,
        1e300 where it runs on. 26, 27 limits of the place along a line. Then of the whole cutter (see
        `cutters`): 28 how much its level changes per mm at most; 29 how much of that is along its
        axis; 30 what turn and taper add to its second derivatives; 31 first row of the next cutter.
    """
    rows: list[Array] = []
    for cutter in tube.cutters:
        axis, section, length = cutter.axis, cutter.section, cutter.axis.length
        low, high = (-FAR if cutter.runs_on[0] else 0.0), (FAR if cutter.runs_on[1] else length)
        own = []
        # Where an end is a bend, a line of 1 mm continues it.
        reach = [
            1.0 if isinstance(axis.pieces[at], Arc) else 0.0 for at in (0, -1)
        ]  # fmt: skip
        for row, a, b in _stretches(axis, section, -reach[0], length + reach[1], []):
            out = np.zeros(cutters.WIDTH)
            out[: WIDTH - 1] = row[: WIDTH - 1]
            out[20], out[21] = a - low, high - b
            out[cutters.LOW], out[cutters.HIGH] = 0.0, row[1]
            own.append(out)
        own[0][cutters.LOW], own[-1][cutters.HIGH] = -FAR, FAR
        steepest, jump, bend = _steepness(own)
        for row in own:
            row[cutters.STEEPEST] = steepest
            row[cutters.JUMP] = jump
            row[cutters.BEND] = bend
            row[cutters.UNTIL] = len(rows) + len(own)
        rows += own
    made = np.array(rows).reshape(-1, cutters.WIDTH)
    made.setflags(write=False)
    return made


def _steepness(rows: list[Array]) -> tuple[float, float, float]:
    """Return how steep a cutter's level is, on the safe side (see `cutters`).

    Returns:
        How much it changes per mm at most; how much of that is along the axis; what turn and taper
        add to its second derivatives.
    """
    kappa = max(float(row[0]) for row in rows)
    widest = max(float(row[22]) for row in rows)
    thinnest = min(float(min(row[14], row[14] + row[1] * row[15])) for row in rows)
    slope = max(float(row[23]) for row in rows)
    turn = max(float(row[24]) if row[19] > 0 else 0.0 for row in rows)
    twist = max(float(row[25]) if row[19] > 0 else 0.0 for row in rows)
    room = max(1.0 - 1.2 * kappa * widest, 0.05)
    flat = widest / thinnest
    along = (2 * slope * flat + turn * widest) / room
    mixed = (kappa + turn * (1 + 2 * flat**2) + 5 * slope * flat / thinnest) / room
    second = (4 * mixed * (along + kappa * widest) + twist * widest * flat) / room
    return math.hypot(1.0, along), along, 2 * mixed + second


def _stretches(
    axis: Centreline, section: Section, low: float, high: float, marks: list[float]
) -> Iterator[tuple[Array, float, float]]:
    """Yield a tube's pieces between two places, divided at stations and marks: row, start, end [mm]."""
    stations = np.union1d(np.union1d(section.s, _crossings(section)), marks)
    ends = [
        (float(at), float(at) + piece.length, piece)
        for at, piece in zip(axis.starts, axis.pieces, strict=False)
    ]
    # A line continues the axis beyond an end.
    for past, s, first in (
        (low < -1e-9, 0.0, True),
        (high > axis.length + 1e-9, axis.length, False),
    ):
        at, there, piece = ends[0 if first else -1]
        if past and isinstance(piece, Line):
            ends[0 if first else -1] = (low, there, piece) if first else (at, high, piece)
        elif past:
            line = Line(
                point(axis.at(s if not first else low)), point(axis.at(s if first else high))
            )
            ends = [(low, s, line), *ends] if first else [*ends, (s, high, line)]
    for at, there, piece in ends:
        start, end = max(at, low), min(there, high)
        # Where the piece itself starts: a line that is continued backwards still starts at 0.
        origin = max(at, 0.0) if isinstance(piece, Line) and piece in axis.pieces else at
        cuts = [start, *(float(s) for s in stations if start + 1e-9 < s < end - 1e-9), end]
        for a, b in pairwise(cuts):
            if b - a > 1e-9:
                yield _row(axis, piece, origin, section, a, b), a, b


def _cut_places(tube: Tubular) -> list[tuple[float, float]]:
    """Return the ranges along a tube in which something cuts it [mm]; overlapping ranges are merged."""
    found = [between for cutter in tube.cutters if (between := _between(tube, cutter)) is not None]
    joined: list[tuple[float, float]] = []
    for low, high in sorted(found):
        if joined and low <= joined[-1][1] + 1e-6:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return joined


def _between(tube: Tubular, cutter: Cutter) -> tuple[float, float] | None:
    """Return the range along a tube that a cutter cuts into [mm], or None.

    From samples, widened by two steps at each end.
    """
    if cutter.between is not None:
        return cutter.between
    low, high = tube.span
    s, turn = np.meshgrid(
        np.linspace(low, high, 2 + int((high - low) / STEP)),
        np.linspace(0.0, 2 * np.pi, AROUND, endpoint=False),
    )
    centre, up, across = tube.axis.frames(s.ravel())
    height, width = tube.section.radii_at(s.ravel())
    points = centre + (height * np.cos(turn.ravel()))[:, None] * up
    points += (width * np.sin(turn.ravel()))[:, None] * across
    inside = level(cutter, points)[0] < 0
    if not inside.any():
        return None
    places = s.ravel()[inside]
    return float(places.min()) - 2 * STEP, float(places.max()) + 2 * STEP


@lru_cache(maxsize=1024)
def numbers_of(shape: Shape) -> Array:
    """Return a shape's numbers for the compiled search; cached, so not to be changed.

    TORUS, BOX and CAPSULE as they are; RING and DISC: edge count, then per edge its start (radius,
    y), outward normal (radius, y) and length, without the edges at negative radius.
    """
    if shape.kind not in (RING, DISC):
        return shape.numbers
    corners = shape.numbers[1:].reshape(-1, 2)
    along = np.roll(corners, -1, axis=0) - corners
    length = np.linalg.norm(along, axis=1)
    edges = np.column_stack((corners, along[:, 1] / length, -along[:, 0] / length, length))
    kept = edges[(corners[:, 0] > 1e-12) | ((corners + along)[:, 0] > 1e-12)]
    return np.concatenate(([float(len(kept))], kept.ravel()))


def _crossings(section: Section) -> list[float]:
    """Return the places where height and width are equal and the larger one changes [mm]."""
    more = np.subtract(section.width, section.height)
    return [
        float(section.s[i] + (section.s[i + 1] - section.s[i]) * more[i] / (more[i] - more[i + 1]))
        for i in range(len(more) - 1)
        if more[i] * more[i + 1] < 0
    ]


def _row(
    axis: Centreline, piece: Line | Arc, low: float, section: Section, a: float, b: float
) -> Array:
    """Return the row of a piece's part from a to b along the axis; the piece starts at `low` [mm]."""
    row = np.zeros(WIDTH)
    row[1] = length = b - a
    ends = np.array([a, b])
    height, width = section.radii_at(ends)
    oval = bool(np.abs(height - width).max() > 1e-9)
    wide = bool(width.sum() >= height.sum())
    large, small = (width, height) if wide else (height, width)
    if not oval:
        small = large
    row[12], row[13] = large[0], (large[1] - large[0]) / length
    row[14], row[15] = small[0], (small[1] - small[0]) / length
    steepest = 0.0
    if isinstance(piece, Line):
        direction = unit(vector(piece.end) - vector(piece.start))
        _, up, across = axis.frames(np.array([(a + b) / 2]))
        row[2:5] = vector(piece.start) + (a - low) * direction
        row[5:8] = direction
        row[8:11] = across[0] if wide else up[0]
        row[19] = 1.0 if oval else 0.0
    else:
        centre, out, on = arc_axes(piece)
        phi = (a - low) / piece.radius
        row[0] = 1 / piece.radius
        row[2:5] = centre
        row[5:8] = np.cos(phi) * out + np.sin(phi) * on
        row[8:11] = -np.sin(phi) * out + np.cos(phi) * on
        row[11] = piece.radius
        if oval:
            held, reference = axis.held
            turn = length / piece.radius
            row[16:19] = reference
            row[19] = 1.0 if (held == "width") == wide else 2.0
            steepest = _steepest(float(row[5:8] @ reference), float(row[8:11] @ reference), turn)
        else:
            row[16:19] = np.cross(out, on)  # normal of the bend's plane: the frame does not twist
    row[22:26] = _bounds(row, steepest)
    return row


def _steepest(out: float, on: float, turn: float) -> float:
    """Return the largest |cos| between a held direction and an arc's tangent.

    Args:
        out: its component along the radius at the arc's start.
        on: its component along the tangent there; at angle t the cosine is on cos t - out sin t.
        turn: angle of the arc [radians].
    """
    size = math.hypot(out, on)
    peak = math.atan2(-out, on)  # there and every half turn later
    if size == 0.0 or math.floor((turn - peak) / math.pi) >= math.ceil(-peak / math.pi):
        return size
    return max(abs(on), abs(on * math.cos(turn) - out * math.sin(turn)))


def _bounds(row: Array, steepest: float) -> list[float]:
    """Return bounds over a piece: largest half width, largest slope of one, |w| and |w'|.

    The section's frame (T, F, G), F the held direction e made square to the tangent T, turns at the
    angular velocity w = kappa·binormal - kappa (t/√(1-t²)) (K·G)·T, where t = e·T and K is the unit
    vector to the centre of the bend. From T' = kappa K, K' = -kappa T, t' = kappa √(1-t²) K·F, and
    |K·F K·G| <= 1/2:

        |w| <= kappa / √(1-t²),  |w'| <= kappa² √(((1+t²) / (2 (1-t²)))² + t²/(1-t²)).
    """
    kappa, length = float(row[0]), float(row[1])
    turn, bend = kappa, 0.0
    if row[19] > 0.0:
        t2 = min(steepest**2, 1 - 1e-12)
        turn = kappa / math.sqrt(1 - t2)
        bend = kappa**2 * math.hypot((1 + t2) / (2 * (1 - t2)), math.sqrt(t2 / (1 - t2)))
    widest = max(row[12], row[12] + length * row[13])
    return [widest, max(abs(row[13]), abs(row[15])), turn, bend]


def placed(rows: Array, origin: Vector, axes: Array) -> Array:
    """Return pieces in other axes.

    Args:
        rows: (n, 27) or (n, 32) float, as `pieces_of` or `cutters_of`.
        origin: (3,) float [mm].
        axes: (3, 3) float, the axes as rows.
    """
    out = rows.copy()
    out[:, 2:5] = (rows[:, 2:5] - origin) @ axes.T
    for k in (5, 8, 16):
        out[:, k : k + 3] = rows[:, k : k + 3] @ axes.T
    return out
