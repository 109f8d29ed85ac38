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
from frame3d.clearance.certify.numbers import Numbers, distinct
from frame3d.clearance.certify.records import (
    BOX,
    KNOT,
    MOST,
    OUTCOME,
    PAIR,
    WORK,
    Records,
    end_to_end,
    gathered,
)
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array, Ints

STORES: Final = (700, search.DEEP + 4 * search.SPARE, 500_000)
"""How many boxes a search may evaluate, and again where that is not enough: a depth, which is left at
`search.DEEP` boxes, is never searched a third time."""


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

    def found(
        self,
        tolerance: Array | float,
        cutoffs: Array | float | None = None,
        lines: Ints | None = None,
        *,
        only_near: bool = False,
    ) -> Records:
        """Return a `records.Outcome` for each pair, each with as much room as it needs.

        Args:
            tolerance: width of the certificates [mm]: for all, or (pairs,) for each.
            cutoffs: of pairs further apart than this it is only told that they are [mm]: for all, or
                (pairs,) for each.
            lines: (pairs,), which line each is of: the same holds for pairs that are further apart
                than one before them in the line. Pairs of one line follow each other; None if each
                is a line of its own.
            only_near: only find out which lines come as near as their cutoff: one pair of such a line
                has a state other than `search.APART`, and no more is known of it.
        """
        count = len(self._pairs)
        cuts: Array = np.full(count, FAR)
        cuts[:] = FAR if cutoffs is None else cutoffs
        widths: Array = np.empty(count)
        widths[:] = tolerance
        of = np.arange(count) if lines is None else lines
        out = np.zeros(count, OUTCOME)
        todo = np.arange(count)
        for boxes in STORES:
            if not len(todo):
                break
            some = self._run(
                self._pairs[todo], widths[todo], cuts[todo], of[todo], only_near, boxes
            )
            out[todo] = some
            todo = todo[some["boxes"] >= boxes - search.SPARE]
        return out

    def _run(
        self,
        pairs: Records,
        tolerances: Array,
        cutoffs: Array,
        lines: Ints,
        only_near: bool,
        boxes: int,
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
            tolerances,
            cutoffs,
            lines,
            only_near,
            np.zeros(1, WORK),
            np.empty(boxes, BOX),
            np.empty(boxes, dtype=np.int64),
            out,
        )
        return out


class PlacedBatch(SearchBatch):
    """Pairs of tubes and shapes as they are drawn, taken into the shapes' axes together."""

    def __init__(
        self,
        pairs: Sequence[tuple[Tubular, PlacedShape]],
        ranges: Sequence[Sequence[Range]],
        numbers: Numbers,
        of_ranges: Ints | None = None,
    ) -> None:
        """Take pairs into the shapes' axes.

        Args:
            pairs: tubes and shapes.
            ranges: the motions that matter, each with its limits; others stand at 0. Several such
                sets, of which each pair has one.
            numbers: of these solids.
            of_ranges: (pairs,): which set each has; None if there is only one.

        Raises:
            ValueError: limits in the wrong order, a motion named twice, a tube of no length.
        """
        self.solids, self.ranges = tuple(pairs), tuple(map(tuple, ranges))
        self._of_ranges: Ints = np.zeros(len(pairs), dtype=np.int64)
        if of_ranges is not None:
            self._of_ranges[:] = of_ranges
        each = [numbers.limits(some) for some in self.ranges]
        limits = np.zeros((len(each), max(map(len, each)), 2))
        for of_set, known in zip(limits, each, strict=True):
            of_set[: len(known)] = known
        names = [tuple(r.name for r in some) for some in self.ranges]
        solids, of_tube = distinct([tube for tube, _ in pairs])
        others, of_shape = distinct([shape for _, shape in pairs])
        tubes = numbers.tubes(solids)
        shapes = [numbers.shape(shape) for shape in others]
        motions, of_motion = numbers.motions(
            solids, others, of_tube, of_shape, names, self._of_ranges
        )
        own = np.zeros(len(pairs), PAIR)
        own["shape"] = end_to_end([s.numbers for s in shapes])[of_shape]
        places = end_to_end([s.place for s in shapes])[of_shape]
        swings = np.array([len(m.rows) > 0 for m in motions])[of_motion]
        abouts = np.zeros((len(solids), 2))
        for i in np.unique(of_tube[swings]).tolist():
            abouts[i] = numbers.about(solids[i])
        places["about"] = abouts[of_tube]
        self._pairs = own
        self._pieces, own["pieces"] = gathered([t.pieces for t in tubes], of_tube)
        self._cutters, own["cutters"] = gathered([t.cutters for t in tubes], of_tube)
        self._edges, own["edges"] = gathered([s.edges for s in shapes], of_shape)
        self._steps, own["steps"] = gathered([m.steps for m in motions], of_motion)
        rows, own["knots"] = gathered([m.rows for m in motions], of_motion)
        self._knots = np.zeros(len(rows), KNOT)
        self._moved: Ints = np.full((len(pairs), limits.shape[1]), -1, dtype=np.int64)
        take: Callable[..., None] = into_axes
        take(
            own,
            places,
            limits,
            self._of_ranges,
            np.array([len(some) for some in each]),
            rows,
            self._pieces,
            self._steps,
            self._knots,
            self._cutters,
            self._moved,
        )

    def motion(self, i: int) -> PairMotion:
        """Return the motion of one of the pairs."""
        own, ranges = self._pairs[i], self.ranges[self._of_ranges[i]]
        moving = tuple(r for r, k in zip(ranges, self._moved[i], strict=False) if k >= 0)
        return PairMotion(
            self._steps[slice(*own["steps"])],
            self._knots[slice(*own["knots"])],
            moving,
            own["low"][: len(moving)].copy(),
            own["high"][: len(moving)].copy(),
            tuple(r for r in ranges if r not in moving),
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
