"""Where on the bike a feature is: the spot on its tube, and directions there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Vector, pitched, vector
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.tube import Tube

ACROSS = 0.9
"""Largest lateral component of an axis' direction whose angles are counted from top to left; beyond it
they are counted from top to front, as `Centreline.frames` has it."""


@dataclass(frozen=True)
class Spot:
    """A place on a tube's outside, (3,) float each."""

    s: float
    """Along the tube's axis [mm]."""
    axis: Vector
    """The axis there [mm]."""
    foot: Vector
    """On the outside [mm]."""
    out: Vector
    """Unit direction from the axis to the foot."""
    along: Vector
    """Unit direction toward the tube's end."""
    around: Vector
    """Unit direction square to both, toward larger angles around the tube."""

    @property
    def radius(self) -> float:
        """Distance from the axis to the foot [mm]."""
        return float(np.linalg.norm(self.foot - self.axis))


def directions(tube: Tube, s: float) -> tuple[Vector, Vector]:
    """Return the directions of angle 0 (top) and 90 (left, or forward) at `s`: unit vectors, (3,)."""
    up, side = tube.axis.frame(s)
    top = vector(pitched((0.01, 0.0, 1.0), tube.axis.pitch))
    up = up if up @ top >= 0 else -up
    is_across = abs(float(tube.axis.tangent(s)[1])) > ACROSS
    if is_across:
        ahead = vector(pitched((1.0, 0.0, 0.01), tube.axis.pitch))
        return up, side if side @ ahead >= 0 else -side
    left = side if side[1] >= 0 else -side
    return up, -left if tube.side == "right" else left


def spot(tube: Tube, s: float, angle: float) -> Spot:
    """Return the place at `s` and an angle around the tube [mm, degrees]."""
    zero, quarter = directions(tube, s)
    turn = np.radians(angle)
    out = np.cos(turn) * zero + np.sin(turn) * quarter
    more = np.cos(turn) * quarter - np.sin(turn) * zero
    axis = tube.axis.at(s)
    foot = axis + reach(tube, axis, out) * out
    return Spot(s, axis, foot, out, tube.axis.tangent(s), more)


def spots(feature: Feature, tube: Tube) -> tuple[Spot, ...]:
    """Return the places of a feature's row."""
    return tuple(spot(tube, s, a) for s, a in zip(feature.s, feature.angles, strict=True))


def far_foot(tube: Tube, place: Spot) -> Vector:
    """Return the point of the tube's outside straight through the tube from a spot [mm]."""
    return np.asarray(place.axis - reach(tube, place.axis, -place.out) * place.out)


def reach(tube: Tube, start: Vector, out: Vector) -> float:
    """Return how far along a direction the tube's outside is, from a point inside it [mm]."""
    most = 2 * tube.section.furthest + 1.0
    return float(
        root(lambda x: level(tube, start + x[:, None] * out)[0], np.zeros(1), np.full(1, most))[0]
    )


def inner(tube: Tube) -> Tube:
    """Return the tube with its bore as its outside; itself where it is a bar."""
    shape = tube.section
    if shape.is_solid:
        return tube
    return replace(tube, section=shape.bore())


def root(value: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Return where values turn from negative to positive, between bounds (n,) each, to 1e-10 mm.

    Where the lower bound's value is positive already, or the upper one's still negative, that bound.
    The false position with the kept end's value halved (Illinois: Dowell and Jarratt 1971, from
    memory), and every third step a bisection: values that rise almost evenly take a few steps.
    """
    at_low, at_high = value(low), value(high)
    none = at_low >= 0
    low, high = np.where(none, low, np.where(at_high < 0, high, low)), np.where(none, low, high)
    kept = np.zeros(len(low), dtype=np.int64)
    step = 0
    while float(np.max(high - low, initial=0.0)) > 1e-10:
        share = 0.5 if step % 3 == 2 else -at_low / np.where(low < high, at_high - at_low, 1.0)
        wide = high - low
        # A bound that is all but there is enclosed from its other side.
        away = np.clip(
            share * wide, np.minimum(4e-11, wide / 2), np.maximum(wide - 4e-11, wide / 2)
        )
        here = value(middle := low + away)
        below = here < 0
        at_high = np.where(below & (kept > 0), at_high / 2, np.where(below, at_high, here))
        at_low = np.where(~below & (kept < 0), at_low / 2, np.where(below, here, at_low))
        kept = np.where(below, 1, -1)
        low, high = np.where(below, middle, low), np.where(below, high, middle)
        step += 1
    return np.asarray((low + high) / 2)
