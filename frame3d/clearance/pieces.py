"""Pieces: tubes as the kernels take them, rows of numbers."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from frame3d.clearance import kernels
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, unit, vector

Array = NDArray[np.float64]

WIDTH = 20
"""Numbers a tube piece: see `pieces_of`."""


def pieces_of(
    axis: Centreline, section: Section, start: float = 0.0, end: float | None = None
) -> Array:
    """A tube as pieces with a straight or circular axis and an evenly tapering section.

    Args:
        axis: the tube's axis.
        section: its section.
        start, end: the part of it that is there, along the axis [mm].

    Returns:
        (n, 20) float, a row a piece: 0 for a line or 1 for an arc; length; line: start point (3),
        direction (3); arc: centre (3), unit vector to its start (3), unit vector onward (3), radius;
        then from 12 on: half width at start and end, half height at start and end; bounds on the
        first and second derivative of the section's directions over curvature and curvature²; index of
        the lateral direction (1 for y, 0 for x where the tube runs along y); 1 if round.
    """
    end = axis.length if end is None else end
    rows: list[Array] = []
    at = 0.0
    for piece in axis.pieces:
        low, high = max(at, start), min(at + piece.length, end)
        cuts = [low, *(s for s in section.s if low + 1e-9 < s < high - 1e-9), high]
        for a, b in pairwise(cuts):
            if b - a > 1e-9:
                rows.append(_row(piece, a - at, b - at, section, a, b))
        at += piece.length
    return np.array(rows).reshape(-1, WIDTH)


def _row(piece: Line | Arc, u: float, v: float, section: Section, a: float, b: float) -> Array:
    row = np.zeros(WIDTH)
    row[1] = v - u
    if isinstance(piece, Line):
        direction = unit(vector(piece.end) - vector(piece.start))
        row[2:5] = vector(piece.start) + u * direction
        row[5:8] = direction
        tangents = direction[None, :]
    else:
        centre = vector(piece.centre)
        out = unit(vector(piece.start) - centre)
        chord = vector(piece.end) - vector(piece.start)
        on = unit(chord - (chord @ out) * out)
        phi = u / piece.radius
        row[0] = 1.0
        row[2:5] = centre
        row[5:8] = np.cos(phi) * out + np.sin(phi) * on
        row[8:11] = -np.sin(phi) * out + np.cos(phi) * on
        row[11] = piece.radius
        turns = np.linspace(0.0, (v - u) / piece.radius, 33)[:, None]
        tangents = -np.sin(turns) * row[5:8] + np.cos(turns) * row[8:11]
    for k, s in ((12, a), (13, b)):
        row[k] = float(section.width_at(s)) / 2
        row[k + 2] = float(section.height_at(s)) / 2
    lateral = 1 if abs(float(tangents[len(tangents) // 2, 1])) <= 0.9 else 0
    row[16:18] = _turning(float(np.abs(tangents[:, lateral]).max()))
    row[18] = lateral
    row[19] = float(row[12] == row[14] and row[13] == row[15])
    return row


def _turning(t: float) -> tuple[float, float]:
    """Bounds on |W'|, |H'| over kappa and |W''|, |H''| over kappa², where |tangent·lateral| <= t.

    W = (e - t T)/w with w = √(1 - t²), differentiated twice along a circle (T' = kappa N, T'' = -kappa²
    T), each term at its largest; H = T × W. The sampled t is widened for what lies between samples.
    """
    t = min(t + 0.01, 0.97)
    w = float(np.sqrt(1 - t * t))
    first = (1 + t) / w + t / w**2
    second = (2 + 2 * t) / w + 2 * (1 + t) * t / w**3 + w * ((1 + t * t) / w**3 + 3 * t * t / w**5)
    return 1 + first, 1 + 2 * first + second


def point_at(rows: Array, row: int, mode: int, u: float, v: float) -> tuple[Vector, Vector | None]:
    """Axis point, and surface point where the mode names one, of a search's result."""
    piece = rows[row]
    w = np.empty((6, 3))
    p = np.empty(3)
    s = {kernels.CAP_START: 0.0, kernels.CAP_END: float(piece[1])}.get(mode, u)
    kernels.axis_point(piece, s, p, w[0], w[1])
    if mode == kernels.CENTRE:
        return p, None
    q = np.empty(3)
    kernels.surface_point(piece, mode, u, v, 0.0, 0.0, q, np.zeros((2, 3)), w)
    return p, q
