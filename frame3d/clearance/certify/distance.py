"""Certified smallest gap between a tube and a shape over every position that they can take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bodies.motion.pose import Pose, placed_matrix
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify import search
from frame3d.clearance.certify.motion import PairMotion, Range, motion_of
from frame3d.clearance.certify.search_input import cutters_of, numbers_of, pieces_of, placed
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, Vector, point, vector

TOLERANCE: Final = 0.01
"""Default width of the certificate [mm]."""
FINEST: Final = 1e-6
"""Smallest tolerance [mm]: a finer certificate would be lost in rounding."""
STORES: Final = (700, 20_000, 500_000)
"""How many boxes a search may evaluate, and again where that is not enough."""


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
    for depths over several motions. Then `error` is what remained open, and the certificate is still
    true; that the two overlap is certain even then.
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


@dataclass(frozen=True)
class Pair:
    """A tube and a shape made ready for the search: see `prepare`."""

    tube: Tubular
    shape: PlacedShape
    motion: PairMotion
    rows: Array
    """(n, 27) float: the tube's pieces in the shape's axes."""
    cutters: Array
    """(m, 32) float: what cuts the tube, in the shape's axes."""
    numbers: Array
    """The shape's numbers, see `search_input.numbers_of`."""


def prepare(tube: Tubular, shape: PlacedShape, ranges: Sequence[Range] = ()) -> Pair:
    """Return a pair made ready to be measured, once or often.

    Args:
        tube: a tubular body.
        shape: a body with a closed-form signed distance.
        ranges: the motions that matter, each with its limits; others stand at 0.

    Raises:
        ValueError: limits in the wrong order, a motion named twice, a tube of no length.
    """
    origin, axes = vector(shape.origin), np.array(shape.axes)
    rows = placed(pieces_of(tube), origin, axes)
    cutters = placed(cutters_of(tube), origin, axes)
    return Pair(
        tube=tube,
        shape=shape,
        motion=motion_of(tube, shape, ranges),
        rows=rows,
        cutters=cutters,
        numbers=numbers_of(shape.shape),
    )


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
    out = np.zeros((len(pairs), search.RESULT))
    todo = list(range(len(pairs)))
    for boxes in STORES:
        if not todo:
            break
        part = SearchBatch([pairs[i] for i in todo]).run(tolerance, cutoff, only_least, boxes)
        out[todo] = part
        todo = [i for i in todo if out[i, search.BOXES] >= boxes - search.SPARE]
    return [_result(pair, found) for pair, found in zip(pairs, out, strict=True)]


class SearchBatch:
    """Numbers of several pairs, joined in one array of each kind for the compiled loop."""

    def __init__(self, pairs: Sequence[Pair]) -> None:
        low, high = np.zeros((2, len(pairs), 4))
        for i, pair in enumerate(pairs):
            low[i, : len(pair.motion.low)] = pair.motion.low
            high[i, : len(pair.motion.high)] = pair.motion.high
        self._numbers = (
            *_joined([p.rows for p in pairs]),
            np.array([p.shape.shape.kind for p in pairs]),
            *_joined([p.numbers for p in pairs]),
            *_joined([p.motion.steps for p in pairs]),
            *_joined([p.cutters for p in pairs]),
            np.array([len(p.motion.low) for p in pairs]),
            low,
            high,
        )
        self._size = len(pairs)

    def run(self, tolerance: float, cutoff: float | None, only_least: bool, boxes: int) -> Array:
        """Return results as `search.measure` writes them, with room for `boxes` boxes: (n, 15) float."""
        out = np.zeros((self._size, search.RESULT))
        search.measure(
            *self._numbers,
            tolerance,
            FAR if cutoff is None else cutoff,
            only_least,
            np.empty((boxes, search.BOX)),
            np.empty(boxes, dtype=np.int64),
            out,
        )
        return out


def _joined(arrays: Sequence[Array]) -> tuple[Array, search.Order]:
    """Return the arrays joined, and where each begins: (n + 1,)."""
    return np.concatenate(arrays), np.cumsum([0, *(len(a) for a in arrays)])


def _result(pair: Pair, found: Array) -> Gap | Apart:
    tube, shape = pair.tube, pair.shape
    value, bound = float(found[search.VALUE]), float(found[search.BOUND])
    if found[search.STATE] == search.APART:
        return Apart(tube.name, shape.name, bound)
    at = pair.motion.pose(found[search.POSE :])
    drawn = placed_matrix(shape, Pose(**at))
    return Gap(
        gap=value,
        error=max(value - bound, 0.0),
        tube=tube.name,
        shape=shape.name,
        tube_point=point(_moved(drawn, found[search.P : search.P + 3])),
        shape_point=point(_moved(drawn, found[search.Q : search.Q + 3])),
        at=at,
        saturated=bool(found[search.INSIDE]),
        boxes=int(found[search.BOXES]),
    )


def _moved(motion: Array, p: Vector) -> Vector:
    return np.asarray(motion[:3, :3] @ p + motion[:3, 3])
