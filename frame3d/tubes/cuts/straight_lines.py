"""Where straight lines of a tube's surface leave a straight target, tapers of either among them.

Where a tube is straight and changes its sizes evenly, its surface consists of straight lines, one for
each phi. A target that is straight around the tube's end is there a cylinder of one section or, where it
is round, a cone. So each line leaves it where a quadratic has its larger root.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, Protocol

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.section import Section


class Outside(Protocol):
    """Anything with an axis and a section: a `Tube`, the `Shell`, a `Housing`."""

    @property
    def axis(self) -> Centreline:
        """Its axis."""

    @property
    def section(self) -> Section:
        """Its section along the axis."""


@dataclass(frozen=True, slots=True)
class Cone:
    """A stretch of a target's axis, seen from a place on it."""

    low: float
    """Where it begins, from the place [mm]; infinite beyond the target's end."""
    high: float
    """Where it ends [mm]."""
    size: float
    """Its sizes as a share of those at the place, as if it went on to there."""
    growth: float
    """How fast that grows along the axis [1/mm]."""


def cones_about(target: Outside, where: float) -> tuple[Cone, ...]:
    """Return the stretches of a target's straight piece about a place on its axis [mm].

    None where it is bent there, rounded, or changes its height otherwise than its width.
    """
    axis, section = target.axis, target.section
    starts, last = axis.starts.tolist(), len(axis.pieces) - 1
    i = sum(where >= s for s in starts[1:-1])
    if section.rounds or not isinstance(axis.pieces[i], Line):
        return ()
    low = -np.inf if i == 0 else starts[i]
    high = np.inf if i == last else starts[i + 1]
    if section.is_straight_sided:
        return (Cone(low - where, high - where, 1.0, 0.0),)
    height, width = (float(x) for x in section.radii_at(where))
    shares = [h / 2 / height for h in section.height]
    if any(abs(w / 2 / width - q) > 1e-15 for w, q in zip(section.width, shares, strict=True)):
        return ()
    marks = [-np.inf, *section.s, np.inf]
    sizes = [shares[0], *shares, shares[-1]]
    found: list[Cone] = []
    for k in range(len(marks) - 1):
        a, b = max(low, marks[k]), min(high, marks[k + 1])
        (q, r) = sizes[k : k + 2]
        if a >= b:
            continue
        if q == r:
            if found and (found[-1].size, found[-1].growth) == (q, 0.0):
                found[-1] = replace(found[-1], high=b - where)
            else:
                found.append(Cone(a - where, b - where, q, 0.0))
        else:
            rate = (r - q) / (marks[k + 1] - marks[k])
            found.append(Cone(a - where, b - where, q + rate * (where - marks[k]), rate))
    return tuple(found)


class StraightLines:
    """The lines of a tube's surface from one of its ends, and the cones that they leave."""

    def __init__(
        self,
        tube: Outside,
        at: Literal["start", "end"],
        cones: Sequence[Cone],
        basis: Sequence[Sequence[float]],
    ) -> None:
        """Note what the lines and the target are.

        Args:
            tube: its axis and outside, no rounded one.
            at: which end of it.
            cones: the target, from `cones_about`.
            basis: the end's point, and the directions of the tube's height, its width and along it,
                each across the target as shares of its sizes, and along it: (4, 3).
        """
        self._section, self._cones = tube.section, cones
        self._is_whole = bool(cones) and cones[0].low == -np.inf and cones[-1].high == np.inf
        self._point, *axes = basis
        self._axes = (axes[0], axes[1])
        self._along = axes[2]
        self._end = 0.0 if at == "start" else tube.axis.length
        self._sign = 1.0 if at == "start" else -1.0
        run = min(straight_run(tube.axis, at), tube.axis.length)
        self._marks = _marks(tube.section, at, tube.axis.length, run)

    def z(self, phi: Array, depth: Array | float = 0.0) -> Array | None:
        """Return where each line leaves the target: (n,) [degrees] -> (n,) [mm]; nan where it misses.

        As `MitreCut.z` has both. None where a line does so beyond its straight part, or may leave a
        target that bends further along.

        With (u, v) across the target as shares of its sizes, and q how large it is there as a share of
        them, a line at z is within it where ``(u0 + u1 z)² + (v0 + v1 z)² <= (q0 + q1 z)²``. Before the
        tube's end, and between its stations, each line has a direction of its own.
        """
        here = self._section.place(phi, np.array([self._end]), depth)
        z = self._larger(0.0, here, (0.0, 0.0))
        if z is None:
            return None
        low, *marks = self._marks
        for high in marks:
            inside = z > low  # of the stretch from `low` on: another line holds there
            if not inside.any():
                return z
            there = self._section.place(phi, np.array([self._end + self._sign * high]), depth)
            y, x = ((b - a) / (high - low) for a, b in zip(here, there, strict=True))
            more = self._larger(low, here, (y, x))
            if more is None:
                return None
            z = np.where(more > low, more, np.where(inside, np.nan, z))
            low, here = high, there
        return None if np.any(z > low + 1e-9) else z

    def _larger(
        self, start: float, at: tuple[Array, Array], lean: tuple[Array | float, Array | float]
    ) -> Array | None:
        """Return the larger roots z, for lines that are at some places at `start` and lean."""
        (y, x), (dy, dx), (up, across) = at, lean, self._axes
        u, v, s = (
            o + start * t + a * y + b * x
            for o, t, a, b in zip(self._point, self._along, up, across, strict=True)
        )
        du, dv, ds = (t + a * dy + b * dx for t, a, b in zip(self._along, up, across, strict=True))
        square, uu, ud, ww = du * du + dv * dv, u * u + v * v, u * du + v * dv, u * dv - v * du
        last: Array | None = None
        for cone in self._cones:
            q, dq = cone.size + cone.growth * s, cone.growth * ds
            steep = square - dq * dq
            if np.min(steep) < 1e-9:
                return None
            # The discriminant without a difference of large numbers.
            under = square * q * q - ww * ww - dq * (2 * ud * q - dq * uu)
            root = (dq * q - ud + np.sqrt(np.where(under >= 0, under, np.nan))) / steep
            place = s + root * ds
            elsewhere = (place < cone.low) | (place > cone.high)
            if elsewhere.any():
                root = np.where(elsewhere, np.nan, root)
            last = root if last is None else np.fmax(last, root)
        if last is None or (not self._is_whole and np.isnan(last).any()):
            return None
        return np.asarray(start + last)


def straight_run(axis: Centreline, at: Literal["start", "end"]) -> float:
    """Return how far from an end an axis stays straight [mm]; infinite if it never bends."""
    if axis.is_straight:
        return float("inf")
    piece = axis.pieces[0 if at == "start" else -1]
    return piece.length if isinstance(piece, Line) else 0.0


def stations_from(
    section: Section, at: Literal["start", "end"], length: float
) -> tuple[list[float], int]:
    """Return how far from an end of a tube its stations are [mm], and the last one of equal sizes."""
    rounds: tuple[object, ...] = section.rounds or (None,) * len(section.s)
    rows = list(zip(section.height, section.width, section.wall, rounds, strict=True))
    s = list(section.s)
    if at == "end":
        rows, s = rows[::-1], [length - x for x in s[::-1]]
    return s, next((i for i, row in enumerate(rows) if row != rows[0]), len(rows)) - 1


def _marks(section: Section, at: Literal["start", "end"], length: float, run: float) -> list[float]:
    """Return how far from an end stretches of even change reach, along its first `run` mm.

    The first of them is of no change; it may be of no length.
    """
    s, even = stations_from(section, at, length)
    if even == len(s) - 1:
        return [run]
    return [min(x, run) for before, x in zip([-1.0, *s], s, strict=False) if before < run][even:]
