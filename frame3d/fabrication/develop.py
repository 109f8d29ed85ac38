"""A stretch of a tube's outside laid flat, by true lengths."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.section import Section

Array = NDArray[np.float64]
STRIPS = 1440
"""Strips that an outside is laid flat by; their chords are 1e-6 shorter than the arcs."""


class Development:
    """The outside between two sections, printed side out, the tube's end upward.

    Seen from outside with the tube's end upward, phi runs to the left: from the height direction
    over the width direction. So x runs to the right from the line at `centre`, half a turn either
    way, and the seam lies opposite. An even outside gives a plain rectangle; a taper is laid flat
    strip by strip between its generators, which is exact for cones and their like (a circular cone
    gives its sector), and within the strips' own twist for an oval that changes its shape.
    """

    def __init__(self, section: Section, low: float, high: float, centre: float) -> None:
        """`low` and `high`: two places along the axis [mm]; `centre`: phi in the middle [degrees]."""
        self.low, self.high, self.centre = low, high, centre
        turn: Array = np.linspace(-180.0, 180.0, STRIPS + 1)
        phi = np.radians(centre - turn)
        rims = []
        for s in (low, high):
            a, b = (float(x) for x in section.radii_at(s))
            rims.append(np.column_stack([a * np.cos(phi), b * np.sin(phi), np.full(len(phi), s)]))
        self.turn = turn
        self.even = bool(np.allclose(rims[0][:, :2], rims[1][:, :2], rtol=0, atol=1e-12))
        if self.even:
            x = _lengths(rims[0])
            middle = STRIPS // 2
            x = x - x[middle]
            self._flat = (
                np.column_stack([x, np.full(len(x), low)]),
                np.column_stack([x, np.full(len(x), high)]),
            )
        else:
            self._flat = _laid_flat(rims[0], rims[1], low)

    def at(self, turn: Array, s: Array) -> Array:
        """Flat places: turn to the right of the centre line (n,) [degrees], s (n,) -> (n, 2) [mm]."""
        share = ((np.asarray(s) - self.low) / (self.high - self.low))[:, None]
        low, high = (
            np.column_stack([np.interp(turn, self.turn, rim[:, i]) for i in (0, 1)])
            for rim in self._flat
        )
        return np.asarray(low + share * (high - low))

    def right_of_centre(self, phi: Array) -> Array:
        """Return how far to the right phi lies of the centre line, without jumps [degrees]."""
        return self.centre - np.asarray(phi)

    @property
    def width(self) -> float:
        """Greatest extent across [mm]."""
        flat = np.vstack(self._flat)
        return float(flat[:, 0].max() - flat[:, 0].min())


def girth(height: float, width: float) -> float:
    """Circumference of an ellipse [mm]; π × diameter for a circle."""
    if height == width:
        return float(np.pi * height)
    turn = np.linspace(0.0, 2 * np.pi, 4097)[:-1]
    speed = np.hypot(height / 2 * np.sin(turn), width / 2 * np.cos(turn))
    return float(speed.mean() * 2 * np.pi)  # the trapezoidal rule on a period: exact to rounding


def _lengths(rim: Array) -> Array:
    """Along a rim from its first point, arcs and not chords: (n, 3) -> (n,) [mm]."""
    chords = np.linalg.norm(np.diff(rim, axis=0), axis=1)
    # An arc over a step t of a circle is t / (2 sin(t/2)) of its chord.
    step = 2 * np.pi / STRIPS
    return np.asarray(np.concatenate(([0.0], np.cumsum(chords))) * (step / 2 / np.sin(step / 2)))


def _laid_flat(low: Array, high: Array, at: float) -> tuple[Array, Array]:
    """Triangles between two rims turned into the plane one after the other, from the middle.

    Each strip's place is worked out beside its own generator, as complex numbers with the generator
    along the imaginary axis; products and sums of these carry it to the middle one's axes.
    """
    middle = STRIPS // 2
    right = _one_way(low[middle:], high[middle:])
    mirror, up = np.array([-1.0, 1.0]), np.array([0.0, at])
    left = _one_way(low[middle::-1], high[middle::-1])
    return (
        np.vstack([left[0][:0:-1] * mirror, right[0]]) + up,
        np.vstack([left[1][:0:-1] * mirror, right[1]]) + up,
    )


def _one_way(low: Array, high: Array) -> tuple[Array, Array]:
    """Strips to the right of the first generator, which stands on the origin."""

    def apart(a: Array, b: Array) -> Array:
        return np.asarray(np.linalg.norm(a - b, axis=1))

    along = apart(low, high)
    feet = _third(along[:-1], apart(low[:-1], low[1:]), apart(high[:-1], low[1:]))
    # The second triangle of a strip stands on its diagonal, from the new foot to the old tip.
    tips = 1j * along[:-1]
    diagonal = tips - feet
    tips = feet + diagonal / 1j / np.abs(diagonal) * _third(
        np.abs(diagonal), along[1:], apart(high[:-1], high[1:])
    )
    turns = (tips - feet) / 1j / np.abs(tips - feet)
    facing = np.concatenate(([1.0], np.cumprod(turns)))
    foot = np.concatenate(([0.0], np.cumsum(feet * facing[:-1])))
    tip = foot + facing * 1j * along
    return np.column_stack([foot.real, foot.imag]), np.column_stack([tip.real, tip.imag])


def _third(base: Array, to_foot: Array, to_tip: Array) -> NDArray[np.complex128]:
    """Third corners, to the right, of triangles that stand on i × `base`."""
    up = (base**2 + to_foot**2 - to_tip**2) / (2 * base)
    return np.asarray(np.sqrt(np.maximum(to_foot**2 - up**2, 0.0)) + 1j * up)
