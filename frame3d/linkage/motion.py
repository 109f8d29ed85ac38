"""Positions of a linkage's points at given strokes, with their derivatives by the shock's stroke."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.rows import Rows
from frame3d.linkage.structure import FRAME
from frame3d.linkage.trace import LinkageTrack


def frozen(values: Array) -> Array:
    """Make an array read-only and return it."""
    values.flags.writeable = False
    return values


def pairs(values: Complex) -> Array:
    """Return complex numbers (k,) as x, z: (k, 2) float."""
    return frozen(np.ascontiguousarray(values).view(float).reshape(-1, 2).copy())


@dataclass(frozen=True, eq=False)
class Moving:
    """A point at k strokes, with its first two derivatives by the stroke: each (k,) complex, x + i·z."""

    at: Complex
    """Position [mm]."""
    rate: Complex
    """First derivative [mm/mm]."""
    acceleration: Complex
    """Second derivative [1/mm]."""


@dataclass(frozen=True, eq=False)
class LinkageMotion:
    """A linkage at k strokes."""

    mechanism: Mechanism
    track: LinkageTrack

    def row(self, row: Rows) -> Moving:
        """Return the point of one row with its derivatives.

        With e = exp(i·θ): P = c + Σ a·e, P' = Σ a·e', P'' = Σ a·e''.
        """
        at, rate, acceleration = (row.arms @ self.track.unit)[:, 0]
        return Moving(at + row.fixed, rate, acceleration)

    def body_point(self, body: str, drawn: complex) -> Moving:
        """Return the motion of a body's point, given its drawn position x + i·z [mm]."""
        return self.row(self.mechanism.on(body, drawn))

    @cached_property
    def wheel(self) -> Moving:
        """Motion of the rear axle."""
        return self.row(self.mechanism.axle)

    @property
    def stroke(self) -> Array:
        """Stroke of the shock, (k,) [mm]."""
        return self.track.stroke

    @cached_property
    def travel(self) -> Array:
        """Vertical wheel travel: how far the axle has risen against the frame, (k,) [mm]."""
        drawn = self.mechanism.drawn["rear_axle"].imag
        return frozen(self.wheel.at.imag - drawn)

    @cached_property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke), (k,)."""
        return frozen(self.wheel.rate.imag)

    @cached_property
    def leverage_rate(self) -> Array:
        """d(leverage ratio)/d(stroke), (k,) [1/mm]."""
        return frozen(self.wheel.acceleration.imag)

    @cached_property
    def axle(self) -> Array:
        """The rear axle's path in the frame's axes, (k, 2): x, z [mm]."""
        return pairs(self.wheel.at)

    def turn(self, body: str) -> Array:
        """Return a body's rotation from the drawn pose, nose up positive, (k,) [degrees]."""
        if body == FRAME:
            return np.zeros(len(self.stroke))
        out: Array = np.degrees(self.track.turn[self.mechanism.structure.links.index(body)])
        return out

    def turn_rate(self, body: str) -> Array:
        """Return the derivative of a body's rotation by the stroke, (k,) [rad/mm]."""
        if body == FRAME:
            return np.zeros(len(self.stroke))
        out: Array = self.track.rate[self.mechanism.structure.links.index(body)]
        return out

    @cached_property
    def poses(self) -> Array:
        """Rigid motion of each link from the drawn pose, (k, links, 3).

        The last axis holds x and z of the place to which the drawn origin (the bottom bracket's centre)
        moves [mm], and the rotation, nose up positive [degrees].
        """
        at = self.mechanism.carried.at(self.track.turned)
        return frozen(
            np.stack((at.real, at.imag, np.degrees(self.track.turn)), axis=-1).swapaxes(0, 1)
        )
