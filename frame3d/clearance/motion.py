"""Motion: how a tube's points look from a moving shape, as the kernels' steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.mounts import CIRCLE, TURN, Name, Step
from frame3d.bodies.shapes import BOX, CAPSULE, Placed, Tubular
from frame3d.geometry.vector import Vector, vector

Array = NDArray[np.float64]

STEP = 10
"""Numbers a step: kind; motion's index or -1; a turn's point (3); axis or direction (3); fixed value;
factor of the motion. Of a circle the two vectors, both as long as its radius, of which
cos·first + sin·second is taken away."""


@dataclass(frozen=True, slots=True)
class Range:
    """Limits of one motion."""

    name: Name
    low: float
    """mm, or degrees."""
    high: float

    @property
    def is_angle(self) -> bool:
        """Whether the motion is an angle."""
        return self.name != "fork"

    def held(self) -> tuple[float, float]:
        """Limits in mm or radians."""
        if self.is_angle:
            return float(np.radians(self.low)), float(np.radians(self.high))
        return self.low, self.high

    def shown(self, value: float) -> float:
        """A value in mm or degrees, within the limits."""
        shown = float(np.degrees(value)) if self.is_angle else value
        return min(max(shown, self.low), self.high)


@dataclass(frozen=True)
class Motion:
    """The steps from a tube's drawn place to a shape's own axes."""

    steps: Array
    """(k, 10) float, in the shape's axes."""
    ranges: tuple[Range, ...]
    """The motions that matter, in the order of the steps' indices."""
    low: Array
    """(d,) float: their limits [mm or radians]."""
    high: Array
    idle: tuple[Range, ...]
    """Motions that change nothing between the two: both take part, or it turns the shape into itself."""

    def pose(self, values: Array) -> dict[str, float]:
        """Each motion's value [mm or degrees]; idle ones as near to 0 as they go."""
        at: dict[str, float] = {r.name: min(max(0.0, r.low), r.high) for r in self.idle}
        at.update((r.name, r.shown(float(values[i]))) for i, r in enumerate(self.ranges))
        return at


def motion_of(tube: Tubular, shape: Placed, ranges: Sequence[Range]) -> Motion:
    """How a tube's points move against a shape.

    Args:
        tube: the tube and what it is fixed to.
        shape: the shape and what it is fixed to.
        ranges: limits of the motions; others stand at 0.

    Raises:
        ValueError: limits in the wrong order, or a motion named twice.
    """
    names = [r.name for r in ranges]
    if len(set(names)) < len(names) or any(not r.low <= r.high for r in ranges):
        raise ValueError("each motion once, its low limit first")
    forward, back = _apart(tube.mount.steps, shape.mount.steps)
    chain = [(s, 1.0) for s in forward] + [(s, -1.0) for s in reversed(back)]
    # A turn or shift that stands at 0 does nothing; a circle at 0 still shifts by its radius.
    chain = [(s, f) for s, f in chain if s.name in names or s.kind == CIRCLE]
    origin, axes = vector(shape.origin), np.array(shape.axes)
    while chain and _turns_tube_into_itself(tube, chain[0][0]):
        chain.pop(0)
    rows = [_row(s, f, origin, axes) for s, f in chain]
    while rows and _turns_into_itself(shape, rows[-1]):
        rows.pop()
        chain.pop()
    moving = tuple(r for r in ranges if any(s.name == r.name for s, _ in chain))
    index = {r.name: float(i) for i, r in enumerate(moving)}
    for row, (step, _) in zip(rows, chain, strict=True):
        row[1] = index.get(step.name, -1.0)
    limits = np.array([r.held() for r in moving]).reshape(-1, 2)
    return Motion(
        np.array(rows).reshape(-1, STEP),
        moving,
        limits[:, 0].copy(),
        limits[:, 1].copy(),
        tuple(r for r in ranges if r not in moving),
    )


def _apart(a: Sequence[Step], b: Sequence[Step]) -> tuple[Sequence[Step], Sequence[Step]]:
    """Both without the last steps that they share, e.g. the steering of a crown and its wheel."""
    common = 0
    while common < min(len(a), len(b)) and a[-1 - common] == b[-1 - common]:
        common += 1
    return a[: len(a) - common], b[: len(b) - common]


def _row(step: Step, factor: float, origin: Vector, axes: Array) -> Array:
    """A step, forward (1) or back (-1), in a shape's axes, its index still open."""
    row = np.zeros(STEP)
    row[0] = step.kind
    if step.kind == CIRCLE:
        # Forward adds radius·(cos q, 0, -sin q): clockwise seen from the right, x forward, z up.
        radius = factor * step.point[0]
        row[2:5] = -radius * axes[:, 0]
        row[5:8] = radius * axes[:, 2]
        row[9] = 1.0
    else:
        row[2:5] = axes @ (vector(step.point) - origin)
        row[5:8] = axes @ vector(step.axis)
        row[9] = factor
    return row


def _turns_tube_into_itself(tube: Tubular, step: Step) -> bool:
    """Whether a turn, the first that a tube takes, is about its own straight axis: a head tube's."""
    if step.kind != TURN or not (tube.axis.is_straight and tube.section.is_round):
        return False
    axis, point = vector(step.axis), vector(step.point)
    ends = np.array([tube.axis.start, tube.axis.end]) - point
    return bool(np.abs(ends - np.outer(ends @ axis, axis)).max() < 1e-9)


def _turns_into_itself(shape: Placed, row: Array) -> bool:
    """Whether a turn, the last before the shape's own axes, is about the shape's own axis."""
    if row[0] != TURN or shape.shape.kind == BOX:
        return False
    across = [0, 1] if shape.shape.kind == CAPSULE else [0, 2]
    return bool(np.abs(row[5:8][across]).max() < 1e-12 and np.abs(row[2:5][across]).max() < 1e-9)
