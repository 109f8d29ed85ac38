"""Certified smallest gap between a tube and a shape over every position that they can take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bodies.motion.pose import Pose, placed_matrix
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify import search
from frame3d.clearance.certify.batch import Pair, PlacedBatch, SearchBatch
from frame3d.clearance.certify.motion import PairMotion, Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, Vector, point

TOLERANCE: Final = 0.01
"""Default width of the certificate [mm]."""
FINEST: Final = 1e-6
"""Smallest tolerance [mm]: a finer certificate would be lost in rounding."""


@dataclass(frozen=True, slots=True)
class Gap:
    """The smallest distance found, with its certificate.

    Separate bodies: `gap` is the distance between the two points, and in no position is it below
    `gap - error`.

    Overlapping bodies: `gap` is negative, minus the depth. The depth is the larger of two: how deep
    the tube's deepest point lies inside the shape; and how far the ball about the tube's axis that
    reaches deepest would have to move to leave the shape, along the shape's normal. The balls lie
    inside the tube (their radius is its smaller half width, less near flat ends), so the tube as a
    whole must move at least as far. Where a ball's centre is itself inside the shape (`saturated`)
    the way out may be much longer: for a tube right through a thin disc the depth is the tube's
    radius plus half the disc's thickness, wherever it runs through.

    `error` is at most the tolerance asked for, unless the search met its limit of boxes, as it does
    for a few depths over several motions. Then `error` is what remained open, and the certificate
    is still true; that the two overlap is certain even then.
    """

    gap: float
    error: float
    """The certificate: the true smallest value lies in [gap - error, gap] [mm]."""
    tube: str
    shape: str
    tube_point: Point
    """On the tube, in the frame's axes, at the pose [mm]."""
    shape_point: Point
    """On the shape's surface, in the frame's axes, at the pose [mm]."""
    at: dict[str, float]
    """The pose: motion -> value [mm or degrees]."""
    saturated: bool
    """Whether the centre of the deepest ball is inside the shape."""
    boxes: int
    """How many boxes were evaluated."""


@dataclass(frozen=True, slots=True)
class Apart:
    """Result of a search that stopped early: the gap is only known to be at least `beyond` [mm]."""

    tube: str
    shape: str
    beyond: float


def prepare(tube: Tubular, shape: PlacedShape, ranges: Sequence[Range] = ()) -> Pair:
    """Return a pair made ready to be measured, once or often.

    Args:
        tube: a tubular body.
        shape: a body with a closed-form signed distance.
        ranges: the motions that matter, each with its limits; others stand at 0.

    Raises:
        ValueError: limits in the wrong order, a motion named twice, a tube of no length.
    """
    return PlacedBatch([(tube, shape)], [ranges], Numbers()).pair(0)


def nearest(
    tube: Tubular,
    shape: PlacedShape,
    ranges: Sequence[Range] = (),
    *,
    tolerance: float = TOLERANCE,
    cutoff: float | None = None,
) -> Gap | Apart:
    """Return the smallest gap between a tube and a shape over all positions.

    Args:
        tube: a tubular body.
        shape: a body with a closed-form signed distance.
        ranges: the motions that matter, each with its limits; others stand at 0.
        tolerance: width of the certificate [mm].
        cutoff: stop once the gap is known to be larger in every position [mm], and return `Apart`.

    Raises:
        ValueError: as `prepare`, or a tolerance below `FINEST`.
    """
    return measured([prepare(tube, shape, ranges)], tolerance=tolerance, cutoff=cutoff)[0]


def measured(
    pairs: Sequence[Pair],
    *,
    tolerance: float = TOLERANCE,
    cutoff: float | None = None,
    only_least: bool = False,
) -> list[Gap | Apart]:
    """Return the smallest gap of each pair over all its positions, found in one compiled loop.

    Args:
        pairs: made ready by `prepare`.
        tolerance: width of the certificates [mm].
        cutoff: of pairs further apart than this only `Apart` is returned [mm].
        only_least: the same for pairs further apart than the nearest pair before them.

    Raises:
        ValueError: a tolerance below `FINEST`.
    """
    if not tolerance >= FINEST:
        raise ValueError(f"the tolerance must be at least {FINEST} mm")
    if not pairs:
        return []
    lines = np.zeros(len(pairs), dtype=np.int64) if only_least else None
    out = SearchBatch(pairs).found(tolerance, cutoff, lines)
    return [
        gap_of(pair.tube, pair.shape, pair.motion, one)
        for pair, one in zip(pairs, out, strict=True)
    ]


def gap_of(tube: Tubular, shape: PlacedShape, motion: PairMotion, found: np.void) -> Gap | Apart:
    """Return what the search found for a pair.

    Args:
        tube: the tube.
        shape: the shape.
        motion: of the pair.
        found: its `records.Outcome`.
    """
    value, bound = float(found["value"]), float(found["bound"])
    if found["state"] == search.APART:
        return Apart(tube.name, shape.name, bound)
    at = motion.pose(found["pose"])
    drawn = placed_matrix(shape, Pose(**at))
    return Gap(
        gap=value,
        error=max(value - bound, 0.0),
        tube=tube.name,
        shape=shape.name,
        tube_point=point(_moved(drawn, found["tube_point"])),
        shape_point=point(_moved(drawn, found["shape_point"])),
        at=at,
        saturated=bool(found["is_inside"]),
        boxes=int(found["boxes"]),
    )


def _moved(motion: Array, p: Vector) -> Vector:
    return np.asarray(motion[:3, :3] @ p + motion[:3, 3])
