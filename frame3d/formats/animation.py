"""Keyframes of motions, there and back; rotations are unit quaternions."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import Mount, Name
from frame3d.bodies.motion.pose import Matrix, Pose
from frame3d.bodies.motion.tensioned import insert_of, slots_of
from frame3d.formats.standing import motions_from_drawn
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.steering import RIDDEN, steering_of

SECONDS: Final = 4.0
"""Duration of an animation, there and back [s]."""
CLOSE: Final = 0.04
"""Largest accepted difference from the true motion halfway between two keyframes [mm]. A fifth below the
promised 0.05 mm, since the largest difference may be elsewhere."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A motion to show, from stop to stop at constant speed."""

    title: str
    motion: Name
    stops: tuple[float, ...]
    """Values of the motion [mm or degrees]; from the drawn place and back."""

    @property
    def low(self) -> float:
        """Least value."""
        return min(self.stops)

    @property
    def high(self) -> float:
        """Greatest value."""
        return max(self.stops)


@dataclass(frozen=True, slots=True)
class Keyframes:
    """Motion of one mount from its drawn position, at each keyframe."""

    translation: Array
    """(k, 3) float: place to which the origin moves [mm]."""
    rotation: Array
    """(k, 4) float: unit quaternions x, y, z, w; of q and -q the one nearer to the one before."""


@dataclass(frozen=True, slots=True)
class Animation:
    """A stroke as keyframes."""

    stroke: Stroke
    times: Array
    """(k,) float [s], increasing."""
    tracks: Mapping[Mount, Keyframes]
    """Keyframes of the mounts that the motion moves."""


def strokes_of(bike: Bike) -> tuple[Stroke, ...]:
    """Return the strokes of a bike: whole rear travel, whole fork travel, steering to both sides.

    The bar turns to its stop, but no further than a rider turns it (`RIDDEN`). Where the chain is
    tensioned by the frame, the axle goes through its slots, the insert through its range.
    """
    out = []
    if bike.linkage is not None:
        out.append(Stroke("Rear travel", "rear", (0.0, bike.linkage.full_travel, 0.0)))
    fork, lock = bike.spec.build.fork, min(steering_of(bike.spec).turns, RIDDEN)
    if fork is not None and fork.travel > 0:
        out.append(Stroke("Fork travel", "fork", (0.0, fork.travel, 0.0)))
    if fork is not None:
        out.append(Stroke("Steering", "steer", (0.0, lock, -lock, 0.0)))
    if (slots := slots_of(bike)) is not None:
        out.append(Stroke("Axle in its slots", "slide", (0.0, slots.high, slots.low, 0.0)))
    if (insert := insert_of(bike)) is not None:
        out.append(Stroke("Eccentric insert", "insert", (0.0, insert.high, insert.low, 0.0)))
    return tuple(out)


def animated(stroke: Stroke, pose: Pose, points: Mapping[Mount, Array]) -> Animation:
    """Return a stroke with enough keyframes for the tolerance `CLOSE`, all else at a pose.

    Between keyframes viewers interpolate translations linearly and rotations by slerp (glTF 2.0,
    appendix C), which differs a little from the true motion. The difference is affine in the point, so
    it is largest at a corner of a part's box; it falls with the square of the keyframes' distance.

    Args:
        stroke: the motion to show.
        pose: of everything else.
        points: corners of the bounding boxes of each mount's parts, as drawn: (n, 3) float [mm].
    """
    moving = {
        mount: corners
        for mount, corners in points.items()
        if any(step.name == stroke.motion for step in mount.steps)
    }
    count = 2
    while (off := _off(stroke, pose, moving, count)) > CLOSE:
        count = 2 * int(np.ceil(max(count + 1, count * np.sqrt(off / CLOSE)) / 2))
    values, times = _keyframes(stroke, count)
    tracks = {
        mount: _track(motions_from_drawn(mount, pose, stroke.motion, values)) for mount in moving
    }
    return Animation(stroke, times, tracks)


def _keyframes(stroke: Stroke, count: int) -> tuple[Array, Array]:
    """Return values and times, steps of at most 1 / `count` of the range: (k,) float each.

    Every stop is a keyframe.
    """
    step = (stroke.high - stroke.low) / count
    values = [np.array(stroke.stops[:1])]
    for start, stop in pairwise(stroke.stops):
        steps = max(1, math.ceil(abs(stop - start) / step - 1e-9))
        values.append(np.linspace(start, stop, steps + 1)[1:])
    at = np.concatenate(values)
    way = np.concatenate(([0.0], np.abs(np.diff(at)).cumsum()))
    return at, SECONDS * way / way[-1]


def _off(stroke: Stroke, pose: Pose, moving: Mapping[Mount, Array], count: int) -> float:
    """Return the largest difference from the true motion halfway between keyframes [mm]."""
    values = np.linspace(stroke.low, stroke.high, 2 * count + 1)
    worst = 0.0
    for mount, corners in moving.items():
        motion = motions_from_drawn(mount, pose, stroke.motion, values)
        keys = _track(motion[::2])
        # Halfway, slerp gives the direction of the sum.
        turn = turns_of(_unit(keys.rotation[1:] + keys.rotation[:-1]))
        shift = (keys.translation[1:] + keys.translation[:-1]) / 2
        between = corners @ turn.transpose(0, 2, 1) + shift[:, None]
        true = corners @ motion[1::2, :3, :3].transpose(0, 2, 1) + motion[1::2, None, :3, 3]
        worst = max(worst, float(np.linalg.norm(between - true, axis=2).max()))
    return worst


def _track(motion: Matrix) -> Keyframes:
    return Keyframes(motion[:, :3, 3], quaternions_of(motion[:, :3, :3]))


def quaternions_of(turns: Array) -> Array:
    """Return rotations as unit quaternions x, y, z, w: (k, 3, 3) -> (k, 4) float.

    A rotation's matrix gives the four rows 4 q_i q; the longest is normalised (Shepperd 1978,
    "Quaternion from rotation matrix"; from memory). The first quaternion has w >= 0; of q and -q, every
    other one is the nearer to the one before.
    """
    (a, b, c), (d, e, f), (g, h, i) = np.moveaxis(turns, 0, 2)
    rows = np.array(
        [
            [1 + a - e - i, b + d, c + g, h - f],
            [b + d, 1 - a + e - i, f + h, c - g],
            [c + g, f + h, 1 - a - e + i, d - b],
            [h - f, c - g, d - b, 1 + a + e + i],
        ]
    )
    best = np.einsum("iik->ik", rows).argmax(axis=0)
    found = _unit(rows[best, :, np.arange(len(turns))])
    sign = np.ones(len(found))
    sign[0] = 1.0 if found[0, 3] >= 0 else -1.0
    sign[1:] = np.where((found[1:] * found[:-1]).sum(axis=1) >= 0, 1.0, -1.0)
    signed: Array = found * sign.cumprod()[:, None]
    return signed


def turns_of(quaternions: Array) -> Array:
    """Return unit quaternions x, y, z, w as rotations: (k, 4) -> (k, 3, 3) float."""
    x, y, z, w = quaternions.T
    rows = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )
    return np.moveaxis(rows, 2, 0)


def _unit(rows: Array) -> Array:
    out: Array = rows / np.linalg.norm(rows, axis=1, keepdims=True)
    return out
