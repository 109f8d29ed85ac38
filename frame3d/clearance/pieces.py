"""Pieces: tubes and shapes as the kernels take them, rows of numbers."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.shapes import DISC, RING, Shape, Tubular
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, unit, vector

Array = NDArray[np.float64]

WIDTH = 26
"""Numbers a tube piece: see `pieces_of`."""
FAR = 1e300


@lru_cache(maxsize=1024)
def pieces_of(tube: Tubular) -> Array:
    """A tube as pieces with a straight or circular axis and an evenly tapering section.

    Read only, and kept: a tube is measured against many shapes.

    Returns:
        (n, 26) float, a row a piece. 0 curvature, 0 for a line; 1 length; 2:5 start of a line or
        centre of an arc; 5:8 direction of a line, or unit vector from the centre to an arc's start;
        8:11 direction of the larger half width of a line, or an arc's direction at its start; 11
        radius of an arc; 12 larger half width at the start, 13 its slope; 14, 15 the same of the
        smaller half width; 16:19 an arc's held direction; 19 0 if round, 1 if the larger half width
        lies along the held direction, 2 if square to it; 20, 21 distance along the axis from start
        and end to the tube's own, 1e300 where those are rounded; then bounds over the piece, see
        `_bounds`.
    """
    axis, section = tube.axis, tube.section
    rows: list[Array] = []
    stations = np.union1d(section.s, _crossings(section))
    for at, piece in zip(axis.starts, axis.pieces, strict=False):
        low, high = float(at), min(float(at) + piece.length, axis.length)
        cuts = [low, *(float(s) for s in stations if low + 1e-9 < s < high - 1e-9), high]
        for a, b in pairwise(cuts):
            if b - a > 1e-9:
                rows.append(_row(axis, piece, low, section, a, b))
                rows[-1][20] = a if tube.flat[0] else FAR
                rows[-1][21] = axis.length - b if tube.flat[1] else FAR
    if not rows:
        raise ValueError(f"{tube.name} has no length")
    made = np.array(rows)
    made.setflags(write=False)
    return made


@lru_cache(maxsize=1024)
def numbers_of(shape: Shape) -> Array:
    """A shape's numbers as the kernels take them; kept, so not to be changed.

    TORUS, BOX and CAPSULE as they are; RING and DISC: edge count, then per edge its start (radius, y),
    outward normal (radius, y) and length, edges that lie at negative radius left out.
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
    """Where height and width change places as the larger."""
    more = np.subtract(section.width, section.height)
    return [
        float(section.s[i] + (section.s[i + 1] - section.s[i]) * more[i] / (more[i] - more[i + 1]))
        for i in range(len(more) - 1)
        if more[i] * more[i + 1] < 0
    ]


def _row(
    axis: Centreline, piece: Line | Arc, low: float, section: Section, a: float, b: float
) -> Array:
    """The part of a piece, which starts at `low`, from a to b along the axis."""
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
        centre = vector(piece.centre)
        out = unit(vector(piece.start) - centre)
        chord = vector(piece.end) - vector(piece.start)
        on = unit(chord - (chord @ out) * out)
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
            row[16:19] = np.cross(out, on)  # square to the bend: it does not turn
    row[22:] = _bounds(row, steepest)
    return row


def _steepest(out: float, on: float, turn: float) -> float:
    """Largest |cos| between a direction and an arc's tangent, on cos t - out sin t for t in 0..turn."""
    size = math.hypot(out, on)
    peak = math.atan2(-out, on)  # there and every half turn later
    if size == 0.0 or math.floor((turn - peak) / math.pi) >= math.ceil(-peak / math.pi):
        return size
    return max(abs(on), abs(on * math.cos(turn) - out * math.sin(turn)))


def _bounds(row: Array, steepest: float) -> list[float]:
    """Bounds over a piece, for the kernels' boxes.

    The section's frame (T, F, G) turns at w = kappa·binormal - kappa (t/√(1-t²)) (K·G)·T, where t =
    e·T; from T' = kappa K, K' = -kappa T, t' = kappa √(1-t²) K·F, and |K·F K·G| <= 1/2:

        |w| <= kappa / √(1-t²),  |w'| <= kappa² √(((1+t²) / (2 (1-t²)))² + t²/(1-t²)).

    Returns:
        Largest half width, slope of the half widths, |w| and |w'|.
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
    """Pieces in other axes: origin (3,), axes as rows (3, 3)."""
    out = rows.copy()
    out[:, 2:5] = (rows[:, 2:5] - origin) @ axes.T
    for k in (5, 8, 16):
        out[:, k : k + 3] = rows[:, k : k + 3] @ axes.T
    return out
