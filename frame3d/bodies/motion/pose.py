"""Pose of everything that moves, and the motion of a body from its drawn place to there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.motion.mounts import SHIFT, SWING, TURN, Mount, Name, Step
from frame3d.bodies.motion.swing import Swing, all_over
from frame3d.bodies.shapes import PlacedShape
from frame3d.geometry.vector import vector

Matrix = NDArray[np.float64]
"""(4, 4) float, or (k, 4, 4): a motion of points as columns (x, y, z, 1) [mm]."""


@dataclass(frozen=True, slots=True)
class Pose:
    """A position of everything that moves; all zero is as drawn."""

    rear: float = 0.0
    """Rear wheel travel [mm]."""
    fork: float = 0.0
    """Fork travel [mm]."""
    steer: float = 0.0
    """Steering angle, positive to the left [degrees]."""
    crank: float = 0.0
    """Crank angle from the left pedal straight ahead, as pedalled forward [degrees]."""
    heel: float = 0.0
    """Swing of both heels, positive toward the frame [degrees]."""
    slide: float = 0.0
    """The rear axle back in sliding dropouts from where it is drawn [mm]."""
    insert: float = 0.0
    """Turn of an eccentric insert from where it is drawn, up from straight ahead [degrees]."""


def matrix(mount: Mount, pose: Pose) -> Matrix:
    """Return the motion of what a mount carries, from where it is drawn to the pose: (4, 4) float."""
    only: Matrix = matrices(mount, pose, "rear", np.array([pose.rear]))[0]
    return only


def matrices(mount: Mount, pose: Pose, name: Name, values: NDArray[np.float64]) -> Matrix:
    """Return `matrix` at many values of one motion, the others at the pose: (k,) -> (k, 4, 4) float."""
    own = {step.name: np.array([float(getattr(pose, step.name))]) for step in mount.steps}
    return matrices_over(mount, own | {name: values}, len(values))


def matrices_over(mount: Mount, values: Mapping[Name, NDArray[np.float64]], count: int) -> Matrix:
    """Return `matrix` at many values of all motions at once: each (count,) or (1,) -> (count, 4, 4).

    Motions that are not given are 0.
    """
    total = _still(count)
    for step in mount.steps:
        total = _matrices(step, values.get(step.name, np.zeros(1))) @ total
    return total


def swung(swings: Sequence[Swing], values: NDArray[np.float64]) -> Matrix:
    """Return links' motions at many travels of the rear wheel: (k,) -> (n, k, 4, 4) float."""
    x, z, nose_up = np.moveaxis(all_over(swings, values)[..., :3], 2, 0)
    c, s = np.cos(np.radians(nose_up)), np.sin(np.radians(nose_up))
    out = np.zeros((*x.shape, 4, 4))
    out[..., 0, 0], out[..., 0, 2], out[..., 0, 3] = c, -s, x
    out[..., 2, 0], out[..., 2, 2], out[..., 2, 3] = s, c, z
    out[..., 1, 1] = out[..., 3, 3] = 1.0
    return out


def own_matrix(shape: PlacedShape) -> Matrix:
    """Return the motion of a shape from its own axes to where its mount draws it: (4, 4) float."""
    own = np.eye(4)
    own[:3, :3] = np.array(shape.axes).T
    own[:3, 3] = shape.origin
    return own


def placed_matrix(shape: PlacedShape, pose: Pose) -> Matrix:
    """Return the motion of a shape from its own axes to the pose: (4, 4) float."""
    return matrix(shape.mount, pose) @ own_matrix(shape)


def _matrices(step: Step, values: NDArray[np.float64]) -> Matrix:
    """Return the motion of a step at many values: (k,) -> (k, 4, 4) float."""
    out = _still(len(values))
    axis, at = vector(step.axis), vector(step.point)
    if step.kind == SHIFT:
        out[:, :3, 3] = values[:, None] * axis
        return out
    if step.kind == SWING:
        assert step.swing is not None
        return np.asarray(swung([step.swing], values)[0])
    angle = np.radians(values)
    c, s = np.cos(angle), np.sin(angle)
    if step.kind == TURN:
        # Rodrigues' formula.
        x, y, z = axis
        cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        turn = np.eye(3) + s[:, None, None] * cross + (1 - c)[:, None, None] * (cross @ cross)
        out[:, :3, :3] = turn
        out[:, :3, 3] = at - turn @ at
    else:  # CIRCLE: clockwise seen from the right
        out[:, 0, 3], out[:, 2, 3] = step.point[0] * c, -step.point[0] * s
    return out


def _still(count: int) -> Matrix:
    out = np.zeros((count, 4, 4))
    out[:] = np.eye(4)
    return out
