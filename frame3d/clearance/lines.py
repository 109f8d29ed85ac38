"""Smallest gaps of lines of pairs of bodies: of each line only the nearest pair is wanted."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import Name
from frame3d.clearance.certify.batch import PlacedBatch
from frame3d.clearance.certify.broad_phase import BroadPhase, Candidates
from frame3d.clearance.certify.distance import TOLERANCE, Gap, gap_of
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.clearance.certify.search import APART
from frame3d.clearance.memory import Found
from frame3d.clearance.scene import Scene
from frame3d.geometry.arrays import Array, Ints

TOGETHER = 16
"""How many pairs of a tube and a shape are measured of a line in one call, the likely nearest first."""
ALIKE = 1e-9
"""Gaps that differ by less count as equal [mm]."""

Pairs: TypeAlias = Sequence[tuple[Body, Body]]
Nearest: TypeAlias = tuple[Gap, tuple[Body, Body]]
"""The smallest gap of some pairs, and between which bodies it is."""


@dataclass(frozen=True, slots=True)
class Line:
    """Pairs of bodies of which the smallest gap is wanted."""

    pairs: Pairs
    lows: Sequence[float]
    """A lower bound of the gap of each, as `Scene.apart` [mm]."""
    limit: float
    """Least gap that passes [mm]."""
    far: float
    """A line that passes by more is of no interest [mm]."""
    ranges: tuple[Range, ...] = ()
    """Limits of the motions."""
    tolerance: float = TOLERANCE
    """Width of the certificate [mm]."""
    twins: Collection[int] = ()
    """Indices of pairs that are mirror images of others before them in the line."""
    exact: Collection[int] = ()
    """Those of them all of whose motions are where they are in the mirror image."""


def judged(lines: Sequence[Line], scene: Scene, *, only_short: bool) -> list[Nearest | None]:
    """Return the smallest gap of each line; None if it passes by more than the line's `far`.

    Where the limit lies within a certificate, the search is made once more, only to prove that the gap
    is above the limit. With `only_short` that comes first: what can be proven needs no certificate. So
    both ways pass the same lines.

    Args:
        lines: what is measured.
        scene: the bike with its parts.
        only_short: leave out lines that are proven to pass; most are, and much quicker.
    """

    def unproven(some: Sequence[int]) -> list[int]:
        """Return which lines are not proven to be further apart than their limit."""
        own = [lines[i] for i in some]
        near = [
            [
                pair
                for i, (pair, low) in enumerate(zip(line.pairs, line.lows, strict=True))
                if low <= line.limit and i not in line.twins
            ]
            for line in own
        ]
        left = come_near(
            near,
            [line.ranges for line in own],
            np.array([line.tolerance for line in own]),
            np.array([line.limit for line in own]),
            scene.broad_phase,
            scene.numbers,
        )
        return [i for i, is_near in zip(some, left, strict=True) if is_near]

    wanted: Sequence[int] = range(len(lines))
    if only_short:
        wanted = unproven(wanted)
    some = _of_lines(
        [lines[i].pairs for i in wanted],
        scene,
        [lines[i].ranges for i in wanted],
        [lines[i].tolerance for i in wanted],
        [lines[i].limit + lines[i].far for i in wanted],
        [lines[i].exact for i in wanted],
    )
    found = dict(zip(wanted, some, strict=True))
    if not only_short:
        doubtful = [
            i
            for i, one in found.items()
            if one and one[0].gap - one[0].error < lines[i].limit <= one[0].gap
        ]
        for i in set(doubtful) - set(unproven(doubtful)):
            one = found[i]
            assert one is not None
            error = math.nextafter(one[0].gap - lines[i].limit, 0.0)
            found[i] = replace(one[0], error=error), one[1]
    return [found.get(i) for i in range(len(lines))]


def nearest_of(
    pairs: Pairs, scene: Scene, ranges: Sequence[Range], tolerance: float
) -> Nearest | None:
    """Return the nearest of some pairs.

    Args:
        pairs: of bodies.
        scene: the bike with its parts.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
    """
    apart = scene.apart(pairs)
    order = sorted(range(len(pairs)), key=lambda i: apart[i])
    best: Nearest | None = None
    for i in range(0, len(order), TOGETHER):
        some = [k for k in order[i : i + TOGETHER] if best is None or apart[k] <= best[0].gap]
        if not some:
            break
        cutoff = None if best is None else best[0].gap
        (found,) = _of_lines([[pairs[k] for k in some]], scene, [ranges], [tolerance], [cutoff])
        if found is not None and (best is None or found[0].gap < best[0].gap - ALIKE):
            best = found
    return best


def between(
    a: Body, b: Body, scene: Scene, motions: Sequence[Name], cutoff: float | None = None
) -> Gap | None:
    """Return the smallest gap between two bodies over some motions; None if it is above `cutoff`."""
    ranges = scene.ranges(motions)
    (found,) = _of_lines([[(a, b)]], scene, [ranges], [scene.tolerance], [cutoff])
    return None if found is None else found[0]


def _of_lines(
    lines: Sequence[Pairs],
    scene: Scene,
    ranges: Sequence[Sequence[Range]],
    tolerances: Sequence[float],
    cutoffs: Sequence[float | None],
    twins: Sequence[Collection[int]] | None = None,
) -> list[Nearest | None]:
    """Return the smallest gap of each line, or None if it is above its cutoff.

    Args:
        lines: the pairs of each.
        scene: the bike with its parts.
        ranges: of each, limits of the motions.
        tolerances: of each, width of the certificate [mm].
        cutoffs: of each, the largest gap of interest; None for any [mm].
        twins: of each, the indices of pairs that are mirror images of others in it: only where parts
            overlap are they searched too, as depths are found less alike.
    """
    memory = scene.memory
    own_twins = [()] * len(lines) if twins is None else twins

    def keys() -> list[bytes]:
        """Return the key of each line."""
        return [scene.key(*one) for one in zip(lines, ranges, tolerances, cutoffs, strict=True)]

    def made(some: Sequence[int]) -> list[Found]:
        """Return what the search finds of some lines: once of those that are alike but for their cutoff.

        So are a check of the file's own and the check that is made of the same pair anyway.
        """
        alike: dict[object, list[int]] = {}
        for i in some:
            both = tuple((id(a), id(b)) for a, b in lines[i])
            key = both, tuple(ranges[i]), tolerances[i], frozenset(own_twins[i])
            alike.setdefault(key, []).append(i)
        groups = list(alike.values())
        found = made_each([max(own, key=cutoff_of) for own in groups])
        of = {i: one for own, one in zip(groups, found, strict=True) for i in own}
        return [
            None if one is None or one[0].gap - one[0].error > cutoff_of(i) else one
            for i in some
            for one in [of[i]]
        ]

    def cutoff_of(i: int) -> float:
        cutoff = cutoffs[i]
        return math.inf if cutoff is None else cutoff

    def made_each(some: Sequence[int]) -> list[Found]:
        """Return what the search finds of some lines, one by one."""
        first = [[k for k in range(len(lines[i])) if k not in own_twins[i]] for i in some]
        found = searched(some, first, [cutoffs[i] for i in some])
        deep = [
            (at, i, one[0].gap)
            for at, (i, one) in enumerate(zip(some, found, strict=True))
            if one is not None and one[0].gap < 0 and own_twins[i]
        ]
        more = searched(
            [i for _, i, _ in deep],
            [sorted(own_twins[i]) for _, i, _ in deep],
            [gap for _, _, gap in deep],
        )
        for (at, _, _), other in zip(deep, more, strict=True):
            found[at] = _nearer(found[at], other)
        return found

    def searched(
        some: Sequence[int], which: Sequence[Sequence[int]], most: Sequence[float | None]
    ) -> list[Found]:
        """Return what the search finds of some pairs of some lines."""
        both = list(zip(some, which, strict=True))
        found = least(
            [[lines[i][k] for k in own] for i, own in both],
            [ranges[i] for i in some],
            np.array([tolerances[i] for i in some]),
            most,
            scene.broad_phase,
            scene.numbers,
        )
        return [
            None if one is None else (one[0], own[one[1]])
            for one, own in zip(found, which, strict=True)
        ]

    found: list[Found]
    if memory is None or memory.is_new_to(scene):
        found = made(range(len(lines)))
        if memory is not None:
            memory.keep_for_later(scene, found, keys)
    else:
        known = keys()
        left = [i for i, key in enumerate(known) if key not in memory]
        new = dict(zip(left, made(left), strict=True))
        found = [new[i] if i in new else memory.found(key) for i, key in enumerate(known)]
        for i, one in new.items():
            memory.keep(known[i], one)
    return [
        None if one is None else (one[0], own[one[1]])
        for own, one in zip(lines, found, strict=True)
    ]


def _nearer(one: Found, other: Found) -> Found:
    """Return the smaller of two gaps, the first of equal ones, with a certificate for both."""
    if one is None or other is None:
        return one if other is None else other
    bound = min(found[0].gap - found[0].error for found in (one, other))
    gap, place = other if other[0].gap < one[0].gap - ALIKE else one
    return replace(gap, error=gap.gap - bound), place


def least(
    lines: Sequence[Pairs],
    ranges: Sequence[Sequence[Range]],
    tolerances: Array | float,
    cutoffs: Sequence[float | None] | None = None,
    broad_phase: BroadPhase | None = None,
    numbers: Numbers | None = None,
) -> list[Found]:
    """Return the smallest gap of each line and the index of its pair; None if it is above its cutoff.

    Of equal gaps, as left and right have, the first one is returned. All lines are searched together,
    a few pairs of each at a time, the likely nearest first.

    Args:
        lines: the pairs of bodies of each.
        ranges: of each line, limits of the motions.
        tolerances: width of the certificate [mm]: of all, or (lines,).
        cutoffs: of each line, the largest gap of interest; None for any [mm].
        broad_phase: of these bodies, where more is measured of them.
        numbers: of their solids, as well.
    """
    if not lines:
        return []
    many = _Lines(lines, ranges, tolerances, broad_phase, numbers)
    given = [None] * len(lines) if cutoffs is None else cutoffs
    most = np.array([math.inf if cutoff is None else cutoff for cutoff in given])
    best: list[_Best | None] = [None] * len(lines)
    bounds = np.full(len(lines), math.inf)
    for some in many.each_time(most, TOGETHER):
        batch = many.batch(some)
        of = many.line_of[some]
        out = batch.found(many.tolerances[of], most[of], of)
        for k in np.flatnonzero(out["state"] != APART):
            line, value = of[k], float(out[k]["value"])
            bounds[line] = min(bounds[line], value, float(out[k]["bound"]))
            before = best[line]
            if before is None or value < before.gap - ALIKE:
                place = many.places[int(many.found.pair[some[k]])]
                best[line] = _Best(value, place, batch, int(k), out[k])
                most[line] = min(most[line], value)
    return [
        None if one is None else (one.certified(float(bound)), one.place)
        for one, bound in zip(best, bounds, strict=True)
    ]


def come_near(
    lines: Sequence[Pairs],
    ranges: Sequence[Sequence[Range]],
    tolerances: Array | float,
    limits: Array,
    broad_phase: BroadPhase | None = None,
    numbers: Numbers | None = None,
) -> list[bool]:
    """Return whether the gap of each line is not proven to be above a limit.

    Args:
        lines: the pairs of bodies of each.
        ranges: of each line, limits of the motions.
        tolerances: a gap that is above the limit by less need not be proven to be [mm]: of all, or
            (lines,).
        limits: (lines,) float [mm].
        broad_phase: of these bodies, where more is measured of them.
        numbers: of their solids, as well.
    """
    left = limits.astype(np.float64)
    if not len(left):
        return []
    many = _Lines(lines, ranges, tolerances, broad_phase, numbers)
    for some in many.each_time(left, TOGETHER, all_the_rest=True):
        of = many.line_of[some]
        out = many.batch(some).found(many.tolerances[of], left[of], of, only_near=True)
        left[of[out["state"] != APART]] = -math.inf  # known: nothing more is looked at
    return [bool(limit == -math.inf) for limit in left]


class _Lines:
    """The tubes and shapes of several lines of pairs."""

    def __init__(
        self,
        lines: Sequence[Pairs],
        ranges: Sequence[Sequence[Range]],
        tolerances: Array | float,
        broad_phase: BroadPhase | None,
        numbers: Numbers | None,
    ) -> None:
        broad_phase = BroadPhase() if broad_phase is None else broad_phase
        self._numbers = Numbers() if numbers is None else numbers
        self.tolerances: Array = np.empty(len(lines))
        self.tolerances[:] = tolerances
        counts = [len(own) for own in lines]
        given = [tuple(some) for some in ranges]
        self._ranges = list(dict.fromkeys(given))
        number = {some: k for k, some in enumerate(self._ranges)}
        self._of_ranges: Ints = np.array([number[some] for some in given], dtype=np.int64)
        over = [some for some, count in zip(given, counts, strict=True) for _ in range(count)]
        self.found: Candidates = broad_phase.candidates([p for own in lines for p in own], over)
        self.places = [k for count in counts for k in range(count)]
        """The index of each pair of bodies in its line."""
        self.line_of: Ints = np.repeat(np.arange(len(lines)), counts)[self.found.pair]
        """(n,): the line of each tube and shape."""

    def each_time(
        self, cutoffs: Array, count: int, *, all_the_rest: bool = False
    ) -> Iterator[Ints]:
        """Yield tubes and shapes, a few of each line at a time, the likely nearest first.

        Args:
            cutoffs: (lines,): none that is proven to be further apart is yielded [mm]; may change.
            count: most of each line at a time.
            all_the_rest: whether all that is left is yielded the second time.
        """
        low, line_of = self.found.low, self.line_of
        order = np.lexsort((np.round(low, 3), line_of))
        order = order[low[order] <= cutoffs[line_of[order]]]
        rank = np.arange(len(order)) - np.searchsorted(line_of[order], line_of[order])
        begin, last = 0, int(rank.max(initial=-1))
        while begin <= last:
            end = last + 1 if all_the_rest and begin else begin + count
            some = order[(rank >= begin) & (rank < end)]
            some = some[low[some] <= cutoffs[line_of[some]]]
            if len(some):
                yield some
            begin = end

    def batch(self, some: Ints) -> PlacedBatch:
        """Return some tubes and shapes, ready for the search."""
        tubes, shapes = self.found.tube[some].tolist(), self.found.shape[some].tolist()
        both = [
            (self.found.tubes[t], self.found.shapes[s]) for t, s in zip(tubes, shapes, strict=True)
        ]
        of = self._of_ranges[self.line_of[some]]
        return PlacedBatch(both, self._ranges, self._numbers, of)


@dataclass(frozen=True, slots=True)
class _Best:
    """The nearest pair of a line so far, as the search found it."""

    gap: float
    place: int
    """Index of its bodies in the line."""
    batch: PlacedBatch
    index: int
    """Its place in the batch."""
    outcome: np.void
    """Its `records.Outcome`."""

    def certified(self, bound: float) -> Gap:
        """Return the gap, proven to be no smaller than `bound` in the whole line."""
        tube, shape = self.batch.solids[self.index]
        gap = gap_of(tube, shape, self.batch.motion(self.index), self.outcome)
        assert isinstance(gap, Gap)
        taking_part: set[str] = {s.name for s in (*tube.mount.steps, *shape.mount.steps)}
        at = {name: value for name, value in gap.at.items() if name in taking_part}
        return replace(gap, error=gap.gap - bound, at=at)
