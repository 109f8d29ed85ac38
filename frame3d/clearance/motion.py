"""Motion: how a tube's points look from a moving part, as the kernels' steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.mounts import CIRCLE, SHIFT, TURN, Mount, Name, Step
from frame3d.geometry.vector import Vector, unit

Array = NDArray[np.float64]

STEP = 10
"""Numbers a step: kind, motion's index or -1, point (3; of a circle its radius first), axis or
direction (3), fixed value, factor of the motion."""


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
        """A value in mm or degrees."""
        return float(np.degrees(value)) if self.is_angle else value


class Motion:
    """The steps from a tube's drawn place to a shape's own axes, and back to the frame's."""

    def __init__(
        self,
        tube: Mount,
        shape: Mount,
        origin: Vector,
        axes: Array,
        ranges: Sequence[Range],
    ) -> None:
        """Args: the two mounts; the shape's origin and axes (rows) where drawn; the motions that count."""
        self.ranges = tuple(ranges)
        limits = [r.held() for r in self.ranges]
        self.low: Array = np.array([low for low, _ in limits], dtype=np.float64)
        self.high: Array = np.array([high for _, high in limits], dtype=np.float64)
        index = {r.name: i for i, r in enumerate(self.ranges)}
        common = 0
        # Steps that both take last cancel out, e.g. the steering between crown and wheel.
        while (
            common < min(len(tube.steps), len(shape.steps))
            and tube.steps[-1 - common] == shape.steps[-1 - common]
        ):
            common += 1
        forward = tube.steps[: len(tube.steps) - common]
        back = shape.steps[: len(shape.steps) - common]
        rows = [_row(s, index.get(s.name), 1.0) for s in forward]
        rows += [_row(s, index.get(s.name), -1.0) for s in reversed(back)]
        rows += _into(origin, axes)
        self.steps: Array = np.array(rows).reshape(-1, STEP)
        self._out: Array = np.array([_row(s, index.get(s.name), 1.0) for s in tube.steps]).reshape(
            -1, STEP
        )

    def to_shape(self, p: Vector, pose: Array) -> Vector:
        """A tube point in the shape's own axes: (3,) float."""
        return _apply(self.steps, p, pose)

    def turned_back(self, direction: Vector, pose: Array) -> Vector:
        """A direction of the shape's own axes in the tube's drawn ones: (3,) float."""
        zero = self.to_shape(np.zeros(3), pose)
        matrix = np.array([self.to_shape(e, pose) - zero for e in np.eye(3)])  # rows: images
        return np.asarray(matrix @ direction)

    def to_frame(self, p: Vector, pose: Array) -> Vector:
        """A point in the tube's drawn axes as it stands in the frame's: (3,) float."""
        return _apply(self._out, p, pose)


def _row(step: Step, dimension: int | None, factor: float) -> Array:
    row = np.zeros(STEP)
    row[0] = step.kind
    row[1] = -1 if dimension is None else dimension
    row[2:5] = step.point
    row[5:8] = step.axis
    row[9] = factor
    if step.kind == CIRCLE:
        # The kernel shifts by -radius: a forward step adds, a backward one takes away.
        row[2] = -factor * step.point[0]
        row[9] = -1.0  # clockwise seen from the right, with x forward and z up
        if dimension is None:
            row[8] = 0.0
    elif dimension is None:
        row[9] = 0.0
    return row


def _into(origin: Vector, axes: Array) -> list[Array]:
    """Steps into a shape's own axes: turn about the frame's origin, then shift."""
    rows = []
    cosine = (float(np.trace(axes)) - 1) / 2
    angle = float(np.arccos(np.clip(cosine, -1.0, 1.0)))
    if angle > 1e-12:
        # R = axes takes frame vectors to own ones; its axis from the skew part, or the symmetric one.
        skew = np.array([axes[2, 1] - axes[1, 2], axes[0, 2] - axes[2, 0], axes[1, 0] - axes[0, 1]])
        if np.linalg.norm(skew) > 1e-9:
            axis = unit(skew)
        else:
            square = (axes + np.eye(3)) / 2
            axis = unit(square[:, int(np.argmax(np.diag(square)))])
        row = np.zeros(STEP)
        row[0], row[1], row[5:8], row[8] = TURN, -1, axis, angle
        rows.append(row)
    shift = -(axes @ origin)
    if np.linalg.norm(shift) > 1e-12:
        row = np.zeros(STEP)
        row[0], row[1], row[5:8], row[8] = SHIFT, -1, unit(shift), float(np.linalg.norm(shift))
        rows.append(row)
    return rows


def _apply(steps: Array, p: Vector, pose: Array) -> Vector:
    """The same steps as the kernels take, for one point."""
    out = np.array(p, dtype=np.float64)
    for row in steps:
        value = float(row[8])
        if row[1] >= 0:
            value += float(pose[int(row[1])]) * float(row[9])
        if row[0] == TURN:
            arm = out - row[2:5]
            axis = row[5:8]
            along = (arm @ axis) * axis
            out = (
                row[2:5]
                + along
                + np.cos(value) * (arm - along)
                + np.sin(value) * np.cross(axis, arm)
            )
        elif row[0] == SHIFT:
            out = out + value * row[5:8]
        else:
            out = out - row[2] * np.array([np.cos(value), 0.0, np.sin(value)])
    return np.asarray(out)
