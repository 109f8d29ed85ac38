"""Certified smallest gap between a tube and a shape over every position that they can take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bodies.motion.pose import Pose, placed_matrix
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify import search
from frame3d.clearance.certify.motion import PairMotion, Range, motion_of
from frame3d.clearance.certify.records import BOX, MOST, OUTCOME, PAIR, WORK, Records, end_to_end
from frame3d.clearance.certify.search_input import (
    edges_of,
    numbers_of,
    pieces_of,
    placed,
)
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


@dataclass(frozen=True)
class Pair:
    """A tube and a shape made ready for the search: see `prepare`."""

    tube: Tubular
    shape: PlacedShape
    motion: PairMotion
    pieces: Records
    """The tube's pieces in the shape's axes."""
    cutters: Records
    """What cuts the tube, in the shape's axes."""
    numbers: Records
    """The shape: one `records.ShapeNumbers`."""
    edges: Records
    """The edges of its profile."""


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
    pieces, cutters = (placed(records, origin, axes) for records in pieces_of(tube))
    return Pair(
        tube=tube,
        shape=shape,
        motion=motion_of(tube, shape, ranges),
        pieces=pieces,
        cutters=cutters,
        numbers=numbers_of(shape.shape),
        edges=edges_of(shape.shape),
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
    out = np.zeros(len(pairs), OUTCOME)
    todo = list(range(len(pairs)))
    for boxes in STORES:
        if not todo:
            break
        part = SearchBatch([pairs[i] for i in todo]).run(tolerance, cutoff, only_least, boxes)
        out[todo] = part
        todo = [i for i in todo if out[i]["boxes"] >= boxes - search.SPARE]
    return [_result(pair, found) for pair, found in zip(pairs, out, strict=True)]


class SearchBatch:
    """Records of several pairs, joined in one array of each kind for the compiled loop."""

    def __init__(self, pairs: Sequence[Pair]) -> None:
        own = np.zeros(len(pairs), PAIR)
        own["shape"] = end_to_end([p.numbers for p in pairs])
        own["motions"] = [len(p.motion.low) for p in pairs]
        for name in ("low", "high"):
            own[name] = [_filled(getattr(p.motion, name)) for p in pairs]
        joined = []
        for name, each in (
            ("pieces", [p.pieces for p in pairs]),
            ("edges", [p.edges for p in pairs]),
            ("steps", [p.motion.steps for p in pairs]),
            ("knots", [p.motion.knots for p in pairs]),
            ("cutters", [p.cutters for p in pairs]),
        ):
            ends = np.cumsum([len(records) for records in each])
            own[name][:, 0], own[name][1:, 0], own[name][:, 1] = 0, ends[:-1], ends
            joined.append(end_to_end(each))
        self._numbers = (own, *joined)
        self._size = len(pairs)

    def run(self, tolerance: float, cutoff: float | None, only_least: bool, boxes: int) -> Records:
        """Return an `records.Outcome` for each pair, with room for `boxes` boxes."""
        out = np.zeros(self._size, OUTCOME)
        measure: Callable[..., None] = search.measure  # numpy's types do not tell a record's fields
        measure(
            *self._numbers,
            tolerance,
            FAR if cutoff is None else cutoff,
            only_least,
            np.zeros(1, WORK),
            np.empty(boxes, BOX),
            np.empty(boxes, dtype=np.int64),
            out,
        )
        return out


def _filled(limits: Array) -> Array:
    """Return limits of a pair's motions, filled up with 0: (MOST,) float."""
    return np.concatenate((limits, np.zeros(MOST - len(limits))))


def _result(pair: Pair, found: np.void) -> Gap | Apart:
    tube, shape = pair.tube, pair.shape
    value, bound = float(found["value"]), float(found["bound"])
    if found["state"] == search.APART:
        return Apart(tube.name, shape.name, bound)
    at = pair.motion.pose(found["pose"])
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
