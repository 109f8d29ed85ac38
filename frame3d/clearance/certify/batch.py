"""Records of several pairs, joined in one array of each kind for the compiled loop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify import search
from frame3d.clearance.certify.into_axes import into_axes
from frame3d.clearance.certify.motion import PairMotion, Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.clearance.certify.records import (
    BOX,
    KNOT,
    MOST,
    OUTCOME,
    PAIR,
    PLACE,
    WORK,
    Records,
    end_to_end,
)
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array, Ints

STORES: Final = (700, 20_000, 500_000)
"""How many boxes a search may evaluate, and again where that is not enough."""


@dataclass(frozen=True)
class Pair:
    """A tube and a shape made ready for the search: see `distance.prepare`."""

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


class SearchBatch:
    """Pairs in the arrays that the compiled loop takes, in their shapes' axes."""

    def __init__(self, pairs: Sequence[Pair]) -> None:
        own = np.zeros(len(pairs), PAIR)
        own["shape"] = end_to_end([p.numbers for p in pairs])
        own["motions"] = [len(p.motion.low) for p in pairs]
        for name in ("low", "high"):
            own[name] = [_filled(getattr(p.motion, name)) for p in pairs]
        self._pairs = own
        self._pieces = _joined(own, "pieces", [p.pieces for p in pairs])
        self._edges = _joined(own, "edges", [p.edges for p in pairs])
        self._steps = _joined(own, "steps", [p.motion.steps for p in pairs])
        self._knots = _joined(own, "knots", [p.motion.knots for p in pairs])
        self._cutters = _joined(own, "cutters", [p.cutters for p in pairs])

    def run(self, tolerance: float, cutoff: float | None, only_least: bool, boxes: int) -> Records:
        """Return a `records.Outcome` for each pair, with room for `boxes` boxes."""
        return self._run(self._pairs, tolerance, cutoff, only_least, boxes)

    def _run(
        self, pairs: Records, tolerance: float, cutoff: float | None, only_least: bool, boxes: int
    ) -> Records:
        out = np.zeros(len(pairs), OUTCOME)
        measure: Callable[..., None] = search.measure  # numpy's types do not tell a record's fields
        measure(
            pairs,
            self._pieces,
            self._edges,
            self._steps,
            self._knots,
            self._cutters,
            tolerance,
            FAR if cutoff is None else cutoff,
            only_least,
            np.zeros(1, WORK),
            np.empty(boxes, BOX),
            np.empty(boxes, dtype=np.int64),
            out,
        )
        return out

    def found(self, tolerance: float, cutoff: float | None, only_least: bool) -> Records:
        """Return a `records.Outcome` for each pair, each with as much room as it needs."""
        out = np.zeros(len(self._pairs), OUTCOME)
        todo = list(range(len(out)))
        for boxes in STORES:
            if not todo:
                break
            out[todo] = self._run(self._pairs[todo], tolerance, cutoff, only_least, boxes)
            todo = [i for i in todo if out[i]["boxes"] >= boxes - search.SPARE]
        return out


class PlacedBatch(SearchBatch):
    """Pairs of tubes and shapes as they are drawn, taken into the shapes' axes together."""

    def __init__(
        self,
        pairs: Sequence[tuple[Tubular, PlacedShape]],
        ranges: Sequence[Range],
        numbers: Numbers,
    ) -> None:
        """Take pairs into the shapes' axes.

        Args:
            pairs: tubes and shapes.
            ranges: the motions that matter, each with its limits; others stand at 0.
            numbers: of these solids.

        Raises:
            ValueError: limits in the wrong order, a motion named twice, a tube of no length.
        """
        self.solids, self.ranges = tuple(pairs), tuple(ranges)
        limits, names = numbers.limits(ranges), tuple(r.name for r in ranges)
        tubes = [numbers.tube(tube) for tube, _ in pairs]
        shapes = [numbers.shape(shape) for _, shape in pairs]
        motions = [numbers.motion(tube, shape, names) for tube, shape in pairs]
        own = np.zeros(len(pairs), PAIR)
        own["shape"] = end_to_end([s.numbers for s in shapes])
        places = np.zeros(len(pairs), PLACE)
        places["origin"] = [shape.origin for _, shape in pairs]
        places["axes"] = [shape.axes for _, shape in pairs]
        places["about"] = [t.about for t in tubes]
        self._pairs = own
        self._pieces = _joined(own, "pieces", [t.pieces for t in tubes])
        self._edges = _joined(own, "edges", [s.edges for s in shapes])
        self._steps = _joined(own, "steps", [m.steps for m in motions])
        self._cutters = _joined(own, "cutters", [t.cutters for t in tubes])
        rows = np.concatenate([m.rows for m in motions])
        _slice(own, "knots", [len(m.rows) for m in motions])
        self._knots = np.zeros(len(rows), KNOT)
        self._moved: Ints = np.full((len(pairs), len(self.ranges)), -1, dtype=np.int64)
        take: Callable[..., None] = into_axes
        take(
            own,
            places,
            limits,
            rows,
            self._pieces,
            self._steps,
            self._knots,
            self._cutters,
            self._moved,
        )

    def motion(self, i: int) -> PairMotion:
        """Return the motion of one of the pairs."""
        own = self._pairs[i]
        moving = tuple(r for r, k in zip(self.ranges, self._moved[i], strict=True) if k >= 0)
        return PairMotion(
            self._steps[slice(*own["steps"])],
            self._knots[slice(*own["knots"])],
            moving,
            own["low"][: len(moving)].copy(),
            own["high"][: len(moving)].copy(),
            tuple(r for r in self.ranges if r not in moving),
        )

    def pair(self, i: int) -> Pair:
        """Return one of the pairs by itself."""
        own, (tube, shape) = self._pairs[i], self.solids[i]
        return Pair(
            tube=tube,
            shape=shape,
            motion=self.motion(i),
            pieces=self._pieces[slice(*own["pieces"])],
            cutters=self._cutters[slice(*own["cutters"])],
            numbers=self._pairs["shape"][i : i + 1],
            edges=self._edges[slice(*own["edges"])],
        )


def _joined(own: Records, name: str, each: Sequence[Records]) -> Records:
    """Return records of all pairs end to end, and write to each pair which are its own."""
    _slice(own, name, [len(records) for records in each])
    return end_to_end(each)


def _slice(own: Records, name: str, counts: Sequence[int]) -> None:
    ends = np.cumsum(counts)
    own[name][1:, 0], own[name][:, 1] = ends[:-1], ends


def _filled(limits: Array) -> Array:
    """Return limits of a pair's motions, filled up with 0: (MOST,) float."""
    return np.concatenate((limits, np.zeros(MOST - len(limits))))
