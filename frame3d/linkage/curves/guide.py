"""What guides a wheel against a spring: a rear suspension, or the straight stanchions of a fork."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from frame3d.geometry.arrays import Array

STEPS = 101
"""Number of evenly spaced strokes along stanchions."""


class Guided(Protocol):
    """A guide at k strokes."""

    @property
    def stroke(self) -> Array:
        """Stroke of the spring, (k,) [mm]."""

    @property
    def travel(self) -> Array:
        """Vertical travel of the wheel, (k,) [mm]."""

    @property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke), (k,)."""

    @property
    def leverage_rate(self) -> Array:
        """Derivative of the leverage ratio by the stroke, (k,) [1/mm]."""


class Guide(Protocol):
    """A wheel's guide over the whole stroke of its spring."""

    @property
    def full_stroke(self) -> float:
        """Full stroke of the spring [mm]."""

    @property
    def full_travel(self) -> float:
        """Vertical travel of the wheel over the full stroke [mm]."""

    @property
    def stroke(self) -> Array:
        """Strokes from 0 to the full one, (n,) [mm]."""

    @property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke) there, (n,)."""

    def at_strokes(self, strokes: Array) -> Guided:
        """Return the guide at any strokes, (k,) [mm]."""

    def strokes_at(self, travels: Array) -> Array:
        """Return the strokes at wheel travels, (k,) [mm]."""


@dataclass(frozen=True, eq=False)
class StraightMotion:
    """A straight guide at k strokes."""

    stroke: Array
    """(k,) [mm]."""
    ratio: float
    """Leverage ratio."""

    @property
    def travel(self) -> Array:
        """Vertical travel of the wheel, (k,) [mm]."""
        return self.ratio * self.stroke

    @property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke), (k,)."""
        return np.full(self.stroke.shape, self.ratio)

    @property
    def leverage_rate(self) -> Array:
        """Derivative of the leverage ratio by the stroke, (k,): 0."""
        return np.zeros(self.stroke.shape)


@dataclass(frozen=True, slots=True)
class StraightGuide:
    """Stanchions at an angle: a stroke along them lifts the wheel by stroke × sin(angle).

    So by virtual work without friction the force along them is the vertical load × sin(angle), and the
    vertical rate the rate along them / sin²(angle).
    """

    full_stroke: float
    """Along the stanchions [mm]."""
    angle: float
    """Between stanchions and ground [degrees]."""

    @property
    def ratio(self) -> float:
        """Leverage ratio d(travel)/d(stroke): sin(angle)."""
        return float(np.sin(np.radians(self.angle)))

    @property
    def full_travel(self) -> float:
        """Vertical travel of the wheel over the full stroke [mm]."""
        return self.ratio * self.full_stroke

    @property
    def stroke(self) -> Array:
        """Evenly spaced strokes from 0 to the full one, (n,) [mm]."""
        return np.linspace(0.0, self.full_stroke, STEPS)

    @property
    def leverage(self) -> Array:
        """Leverage ratio at these strokes, (n,)."""
        return np.full(STEPS, self.ratio)

    def at_strokes(self, strokes: Array) -> StraightMotion:
        """Return the guide at any strokes, (k,) [mm]."""
        return StraightMotion(np.atleast_1d(np.asarray(strokes, dtype=float)), self.ratio)

    def strokes_at(self, travels: Array) -> Array:
        """Return the strokes at vertical travels of the wheel, (k,) [mm]."""
        return np.atleast_1d(np.asarray(travels, dtype=float)) / self.ratio
