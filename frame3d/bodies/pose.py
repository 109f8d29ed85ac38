"""Pose: where everything that moves stands, and the motion of a body from its drawn place to there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies.mounts import SHIFT, SWING, TURN, Mount, Step
from frame3d.bodies.shapes import Placed
from frame3d.geometry.vector import vector

Matrix = NDArray[np.float64]
"""(4, 4) float: a motion of points as columns (x, y, z, 1) [mm]."""


@dataclass(frozen=True, slots=True)
class Pose:
    """A position of everything that moves; all zero is as drawn."""

    rear: float = 0.0
    """Rear wheel's travel that is used up [mm]."""
    fork: float = 0.0
    """Fork's travel that is used up [mm]."""
    steer: float = 0.0
    """To the left [degrees]."""
    crank: float = 0.0
    """From the left pedal straight ahead, as pedalled forward [degrees]."""
    heel: float = 0.0
    """Both heels toward the frame [degrees]."""


def matrix(mount: Mount, pose: Pose) -> Matrix:
    """The motion of what a mount carries, from where it is drawn to where it stands: (4, 4) float."""
    total = np.eye(4)
    for step in mount.steps:
        total = _matrix(step, float(getattr(pose, step.name))) @ total
    return total


def own_matrix(shape: Placed) -> Matrix:
    """The motion of a shape from its own axes to where its mount draws it: (4, 4) float."""
    own = np.eye(4)
    own[:3, :3] = np.array(shape.axes).T
    own[:3, 3] = shape.origin
    return own


def placed_matrix(shape: Placed, pose: Pose) -> Matrix:
    """The motion of a shape from its own axes to where it stands: (4, 4) float."""
    return matrix(shape.mount, pose) @ own_matrix(shape)


def _matrix(step: Step, value: float) -> Matrix:
    out = np.eye(4)
    axis, at = vector(step.axis), vector(step.point)
    if step.kind == SHIFT:
        out[:3, 3] = value * axis
        return out
    if step.kind == SWING:
        assert step.swing is not None
        x, z, nose_up = step.swing.at(value)
        c, s = np.cos(np.radians(nose_up)), np.sin(np.radians(nose_up))
        out[0, :] = c, 0.0, -s, x
        out[2, :] = s, 0.0, c, z
        return out
    angle = np.radians(value)
    if step.kind == TURN:
        # Rodrigues' formula.
        x, y, z = axis
        cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        turn = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
        out[:3, :3] = turn
        out[:3, 3] = at - turn @ at
    else:  # CIRCLE: clockwise seen from the right
        out[:3, 3] = step.point[0] * np.array([np.cos(angle), 0.0, -np.sin(angle)])
    return out
