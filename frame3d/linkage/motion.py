"""Where everything on the linkage is at given strokes, and how it moves there.

Derivatives are by the shock's stroke, out of the same Jacobian that solved the poses.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.rows import Complex, Rows
from frame3d.linkage.structure import FRAME
from frame3d.linkage.trace import LinkageTrack


def frozen(values: Array) -> Array:
    """The array, which nobody can write to any more."""
    values.flags.writeable = False
    return values


def pairs(values: Complex) -> Array:
    """Complex (k,) as (k, 2) float: x, z."""
    return frozen(np.ascontiguousarray(values).view(float).reshape(-1, 2).copy())


@dataclass(frozen=True, eq=False)
class Moving:
    """Points over strokes, with their first two derivatives: each (k,) complex, x + i·z."""

    at: Complex
    """[mm]"""
    rate: Complex
    """[mm/mm]"""
    bend: Complex
    """[1/mm]"""


@dataclass(frozen=True, eq=False)
class LinkageMotion:
    """A linkage at k strokes."""

    mechanism: Mechanism
    track: LinkageTrack

    def row(self, row: Rows) -> Moving:
        """One row's point and its derivatives: with e = exp(i·θ), P = c + Σ a·e, P' = Σ a·e',
        P'' = Σ a·e''.
        """
        at, rate, bend = (row.arms @ self.track.unit)[:, 0]
        return Moving(at + row.fixed, rate, bend)

    def body_point(self, body: str, drawn: complex) -> Moving:
        """A point that moves with a body, given where it is drawn [mm]."""
        return self.row(self.mechanism.on(body, drawn))

    @cached_property
    def wheel(self) -> Moving:
        """The rear axle."""
        return self.row(self.mechanism.axle)

    @property
    def stroke(self) -> Array:
        """The shock's, (k,) [mm]."""
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
        return frozen(self.wheel.bend.imag)

    @cached_property
    def axle(self) -> Array:
        """The rear axle's path in the frame's axes, (k, 2): x, z [mm]."""
        return pairs(self.wheel.at)

    def turn(self, body: str) -> Array:
        """How far a body has turned from the drawn pose, nose up positive, (k,) [degrees]."""
        if body == FRAME:
            return np.zeros(len(self.stroke))
        out: Array = np.degrees(self.track.turn[self.mechanism.structure.links.index(body)])
        return out

    def turn_rate(self, body: str) -> Array:
        """(k,) [rad/mm]."""
        if body == FRAME:
            return np.zeros(len(self.stroke))
        out: Array = self.track.rate[self.mechanism.structure.links.index(body)]
        return out

    @cached_property
    def poses(self) -> Array:
        """The rigid motion of each link from the drawn pose, (k, links, 3): x and z of where the drawn
        origin (the bottom bracket's centre) goes [mm], and the turn, nose up positive [degrees].
        """
        at = self.mechanism.carried.at(self.track.turned)
        return frozen(
            np.stack((at.real, at.imag, np.degrees(self.track.turn)), axis=-1).swapaxes(0, 1)
        )
