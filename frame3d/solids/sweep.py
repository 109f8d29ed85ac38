"""A section along a centreline, filled; the main solid that bodies are made of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Extrusion
from frame3d.geometry.rounded import Rounds, moments, signs_kept
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.solids.slot import Slot


@dataclass(frozen=True, slots=True)
class Sweep:
    """Ellipses, rectangles or rounded outlines at stations along an axis, linear between them.

    All tuples have one length n ≥ 2. `s` rises from 0 to the axis length; a straight round sweep may
    have two stations at one place, which makes a step.
    """

    axis: Centreline
    s: tuple[float, ...]
    """Distance along the axis from its start [mm]."""
    height: tuple[float, ...]
    """Size in the upright plane, see `Centreline.frame` [mm]."""
    width: tuple[float, ...]
    """Size sideways [mm]."""
    box: bool = False
    """Whether sections are rectangles instead of ellipses."""
    rounds: tuple[Rounds, ...] = ()
    """Radii of the corners of rounded outlines (`geometry.rounded`) [mm]; else empty."""

    @classmethod
    def of(cls, axis: Centreline, section: Section) -> Sweep:
        """Return the outside of a tube."""
        return cls(axis, section.s, section.height, section.width, False, section.rounds)

    @property
    def is_round(self) -> bool:
        """Whether every section is a circle."""
        return self.height == self.width and not self.box and not self.rounds

    @property
    def is_turned(self) -> bool:
        """Whether it is straight and round, as made on a lathe."""
        return self.is_round and self.axis.is_straight

    @property
    def size(self) -> float:
        """Largest size across [mm]."""
        return max(*self.height, *self.width)

    @property
    def volume(self) -> float:
        """Volume enclosed [mm³]: the area's integral along the axis.

        Exact on straight legs (Simpson's rule integrates the product of two linear sizes exactly) and,
        by the theorem of Pappus, in bends too wherever the section's centre lies on the axis. A D's
        does not: in a bend its lies on a path of another length.
        """
        s, h, w = np.array(self.s), np.array(self.height), np.array(self.width)
        step = np.diff(s)
        middle = (h[1:] + h[:-1]) * (w[1:] + w[:-1]) / 4
        boxes = float(np.sum(step * (h[1:] * w[1:] + 4 * middle + h[:-1] * w[:-1]) / 6))
        if self.rounds:
            return boxes - self._corners(step) - self._leaning()
        return boxes if self.box else float(np.pi / 4) * boxes

    def _corners(self, step: Array) -> float:
        """Return by how much rounded outlines enclose less than rectangles do [mm³]."""
        r = np.array(self.rounds)
        squares = (r[1:] ** 2 + r[1:] * r[:-1] + r[:-1] ** 2).sum(axis=1) / 3
        return float((1 - np.pi / 4) * step @ squares)

    def _leaning(self) -> float:
        """Return by how much bends shorten rounded outlines whose centre lies beside the axis [mm³]."""
        if self.axis.is_straight or all(len(set(one)) == 1 for one in self.rounds):
            return 0.0
        places, share = [], []
        marks = np.union1d(np.union1d(self.s, self.axis.starts), self.axis.length)
        nodes, weights = np.polynomial.legendre.leggauss(8)
        for low, high in pairwise(marks.tolist()):
            places.append((low + high) / 2 + (high - low) / 2 * nodes)
            share.append((high - low) / 2 * weights)
        s = np.concatenate(places)
        first, _ = moments(*self.outline(s))
        _, up, across = self.axis.frames(s)
        aside = first[:, :1] * up + first[:, 1:] * across
        return float(np.concatenate(share) @ np.sum(aside * self.axis.curvatures(s), axis=1))

    def outline(self, s: Array) -> tuple[Array, Array, Array]:
        """Return half height, half width and radii of rounded outlines at `s`: (n,), (n,), (n, 4)."""
        height, width = (np.interp(s, self.s, row) / 2 for row in (self.height, self.width))
        columns = zip(*self.rounds, strict=True)
        return height, width, np.stack([np.interp(s, self.s, one) for one in columns], axis=1)

    def extended(self, before: float, after: float) -> Sweep:
        """Return the same with its end sections continued along the end tangents [mm].

        Lengths below rounding (1e-9) are ignored: a line of no length has no direction.
        """
        before, after = (x if x > 1e-9 else 0.0 for x in (before, after))
        if before <= 0 and after <= 0:
            return self
        pieces = list(self.axis.pieces)
        s, h, w, rounds = list(self.s), list(self.height), list(self.width), list(self.rounds)
        length = self.axis.length
        start, end = self.axis.at(-before), self.axis.at(length + after)
        if self.axis.is_straight:
            pieces = [Line(point(start), point(end))]
        else:
            if before > 0:
                pieces.insert(0, Line(point(start), self.axis.start))
            if after > 0:
                pieces.append(Line(self.axis.end, point(end)))
        if before > 0:
            s = [0.0, *(x + before for x in s)]
            h, w, rounds = [h[0], *h], [w[0], *w], [*rounds[:1], *rounds]
        if after > 0:
            s = [*s, s[-1] + after]
            h, w, rounds = [*h, h[-1]], [*w, w[-1]], [*rounds, *rounds[-1:]]
        axis = Centreline(tuple(pieces), self.axis.pitch)
        return Sweep(axis, tuple(s), tuple(h), tuple(w), self.box, tuple(rounds))

    def resized(self, by: float) -> Sweep:
        """Return the same, larger across by `by` [mm]; negative makes it smaller."""
        return replace(
            self,
            height=tuple(h + by for h in self.height),
            width=tuple(w + by for w in self.width),
            rounds=tuple(
                (a + by / 2, b + by / 2, c + by / 2, d + by / 2) for a, b, c, d in self.rounds
            ),
        )

    def mirrored(self) -> Sweep:
        """Return the same on the other side of the centre plane."""
        axis = self.axis.mirrored()
        flip = np.array([1.0, -1.0, 1.0])
        up, across = (flip * way for way in self.axis.frame(0.0))
        return replace(self, axis=axis, rounds=self._renamed((up, across), axis))

    def reversed(self) -> Sweep:
        """Return the same from end to start; straight axes only."""
        axis = Centreline((Line(self.axis.end, self.axis.start),), self.axis.pitch)
        s = tuple(self.s[-1] - x for x in self.s[::-1])
        rounds = self._renamed(self.axis.frame(0.0), axis)[::-1]
        return Sweep(axis, s, self.height[::-1], self.width[::-1], self.box, rounds)

    def _renamed(self, ways: tuple[Vector, Vector], axis: Centreline) -> tuple[Rounds, ...]:
        """Return the corners' radii as an axis names directions that are `ways` now."""
        return tuple(signs_kept(ways, axis.frame(0.0), one) for one in self.rounds)

    def is_same(self, other: object) -> bool:
        """Return whether both enclose the same space: equal, or equal when reversed [to 1e-7 mm]."""
        if not isinstance(other, Sweep):
            return False
        if self.axis.is_straight != other.axis.is_straight:
            return False
        if self.axis.is_straight:
            return _close(self, other) or _close(self.reversed(), other)
        return _close(self, other)


Solid = Sweep | Flat | Slot | Extrusion
"""Solids that bodies are made of."""


def straight(
    start: Point,
    end: Point,
    height: tuple[float, float],
    width: tuple[float, float] | None = None,
    *,
    box: bool = False,
) -> Sweep:
    """Return a sweep from point to point with linear sizes; round where no `width` is given."""
    axis = Centreline((Line(start, end),))
    return Sweep(axis, (0.0, axis.length), height, height if width is None else width, box)


def rod(centre: Point, direction: Point, before: float, after: float, diameter: float) -> Sweep:
    """Return a cylinder along `direction`, from `before` behind `centre` to `after` ahead of it [mm]."""
    c, d = vector(centre), unit(vector(direction))
    return straight(point(c - before * d), point(c + after * d), (diameter, diameter))


def _close(a: Sweep, b: Sweep) -> bool:
    if a.box != b.box or len(a.rounds) != len(b.rounds):
        return False
    if len(a.s) != len(b.s) or len(a.axis.pieces) != len(b.axis.pieces):
        return False
    flat_a = [a.s, a.height, a.width, *zip(*a.rounds, strict=True)]
    flat_b = [b.s, b.height, b.width, *zip(*b.rounds, strict=True)]
    if not np.allclose(flat_a, flat_b, rtol=0, atol=1e-7):
        return False
    for p, q in zip(a.axis.pieces, b.axis.pieces, strict=True):
        if type(p) is not type(q):
            return False
        if not np.allclose([p.start, p.end], [q.start, q.end], rtol=0, atol=1e-7):
            return False
        if abs(p.length - q.length) > 1e-7:
            return False
    return True
