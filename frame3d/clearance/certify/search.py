"""Certified gap between a tube and a shape over a range of positions, compiled branch and bound.

The tube T is the union of its cross sections: flat ellipses, circles or rounded outlines square to the
axis. So its ends are flat; a rounded end is one ball more. The shape is given by its signed distance D,
negative inside, in its own axes (`signed_distance`). The motion takes points of the tube into those axes
(`positions`). Wanted is the least D over T and over all positions. Where tube and shape never meet it
is their distance; it is below 0 where they ever share a point, even with the whole shape in the tube.

A box is a range of places along the tube times a range of each motion. `bounds.evaluate` gives the
value at its middle and a lower bound over all of it::

    motion
     ^
     |   +-----------+-----------+    - the box with the lowest bound is split next (heap `order`)
     |   |           |     |     |    - best: lowest D found so far, at a point of T
     |   |           |     |  *best   - a box with bound >= best - tolerance is set aside
     |   |           +-----+-----+    - the search ends when the lowest bound left in the heap
     |   |           |     |     |      is >= best - tolerance
     |   +-----------+-----------+
     +-----------------------------> s, place along the tube

    proven:   lowest bound of all, set aside or left  <=  least D  <=  best

A box's bound is a plane over the box. When the box is split, one half lies higher on that plane: its
bound is the box's own plus the tilt, and it is often set aside without being evaluated.

As soon as a point of T is found inside the shape, the search starts again for the depth: the least of
D over T and of D - r over balls about the axis. The radius r is the smaller half width or the distance
to the nearest flat end, whichever is less, so the balls lie inside T. Each ball by itself must move by
r - D to leave a convex shape.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from frame3d.clearance.certify.bounds import BALL, BALLS, PATCH, SECTION, evaluate
from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.cutters import to_edge
from frame3d.clearance.certify.records import (
    Box,
    CutterPiece,
    Edge,
    Found,
    Knot,
    MotionStep,
    Outcome,
    PairNumbers,
    Piece,
    Work,
)
from frame3d.clearance.certify.rounded_sections import misses
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array, Ints

Order: TypeAlias = NDArray[np.int64]

DEEP = 20_000
"""Most boxes that are evaluated to find a depth; that the two overlap is known by then."""
SPARE = 4
"""Boxes that a search may evaluate beyond its limit."""

SEPARATE, OVERLAP, APART = range(3)
"""States of a result. APART: the gap is only known to be above the cutoff."""


@compiled
def _precedes(box: Box, other: Box) -> bool:
    """Return whether a box is split before another."""
    return box.key < other.key or (box.key == other.key and box.value < other.value)


@compiled
def _push(store: MutableSequence[Box], order: Order, count: int, item: int) -> int:
    """Put box `item` of the store on the heap `order` (lowest key first); return the new count."""
    order[count] = item
    i = count
    while i > 0:
        parent = (i - 1) // 2
        if not _precedes(store[order[i]], store[order[parent]]):
            break
        order[parent], order[i] = order[i], order[parent]
        i = parent
    return count + 1


@compiled
def _pop(store: MutableSequence[Box], order: Order, count: int) -> tuple[int, int]:
    """Take the box with the lowest key off the heap; return its index and the new count."""
    top = order[0]
    count -= 1
    order[0] = order[count]
    i = 0
    while True:
        child = 2 * i + 1
        if child >= count:
            break
        if child + 1 < count and _precedes(store[order[child + 1]], store[order[child]]):
            child += 1
        if not _precedes(store[order[child]], store[order[i]]):
            break
        order[i], order[child] = order[child], order[i]
        i = child
    return top, count


@compiled
def _take(found: Found, m: Array, n: int, out: Outcome) -> None:
    """Write the points, inside flag and pose that `evaluate` found at a box's middle to a result."""
    out.is_inside = found.is_inside
    for j in range(3):
        out.tube_point[j] = found.tube_point[j]
        out.shape_point[j] = found.shape_point[j]
    for j in range(1, n):
        out.pose[j - 1] = m[j]


@compiled
def _search(
    pair: PairNumbers,
    pieces: Sequence[Piece],
    edges: Sequence[Edge],
    steps: Sequence[MotionStep],
    knots: Sequence[Knot],
    cutters: Sequence[CutterPiece],
    tolerance: float,
    cutoff: float,
    only_near: bool,
    deep: bool,
    work: Work,
    store: MutableSequence[Box],
    order: Order,
    out: Outcome,
) -> None:
    """Search one pair once, as `measure` describes.

    With `deep`, find the greatest depth of two that are known to overlap. `n` is 1 + the number of
    motions; a box has n + 2 parameters, the last two across the section.
    """
    n = 1 + pair.motions
    limit = len(store) - SPARE
    if deep:
        limit = min(limit, DEEP)
    dims = n + 2
    used = boxes = started = count = 0 * n  # numba would compile anew for a constant
    m = work.centre
    h = work.half
    tilt = work.tilt
    found = work.found
    box = work.box
    frame = work.frame
    if not deep:
        cutoff = max(
            cutoff, 0.0
        )  # below 0 the bounds of a depth count, which are those of balls too
    best = out.value if deep else FAR
    aside = FAR
    step = 0.25 * tolerance
    while not (only_near and best <= cutoff):
        slot = -1
        parts = 1
        higher = -1
        split = 0
        if started < len(pieces) + 2:
            # Start boxes: each rounded end, then each whole piece.
            row = 0
            if started > 0:
                row = min(started - 2, len(pieces) - 1) if started > 1 else len(pieces) - 1
            how = BALL if started < 2 else SECTION
            place = 0.5 if how == SECTION else float(started)
            started += 1
            piece = pieces[row]
            if how == BALL and (piece.before if started == 1 else piece.after) < FAR:
                continue
            if how == SECTION and (piece.cutters[1] > piece.cutters[0] or piece.is_rounded):
                how = PATCH  # a cutter takes part of the sections, or they are no ellipses
            for j in range(dims):
                box.centre[j] = 0.0
                box.half[j] = 1.0
            for j in range(1, n):
                box.centre[j] = 0.5 * (pair.low[j - 1] + pair.high[j - 1])
                box.half[j] = 0.5 * (pair.high[j - 1] - pair.low[j - 1])
            box.bound = -FAR
            box.piece = row
            box.holds = how
            box.centre[0] = piece.length * place
            box.half[0] = piece.length * 0.5 if how != BALL else 0.0
        else:
            if count == 0:
                break
            floor = store[order[0]].key
            if floor >= best - tolerance or floor > cutoff or boxes >= limit:
                aside = min(aside, floor)
                break
            slot, count = _pop(store, order, count)
            work.box = store[slot]
            split = box.split
            parts = 2
            # One half lies higher on the box's plane: perhaps it can be set aside unseen.
            other = box.bound + abs(box.tilt)
            higher = -1
            if other >= best - tolerance or other > cutoff:
                higher = 1 if box.tilt > 0.0 else 0
                aside = min(aside, other)
            if split < 0:
                parts = 5 if deep else 4
                box.holds = PATCH
                split = n
                box.half[n + 1] = 0.5
            box.half[split] *= 0.5
            box.centre[split] -= box.half[split]
        for k in range(parts):
            if k == 4:
                box.holds = BALLS
            elif parts > 2:
                box.centre[n] = 0.5 if k % 2 == 1 else -0.5
                box.centre[n + 1] = 0.5 if k > 1 else -0.5
            elif k == 1:
                box.centre[split] += 2.0 * box.half[split]
            if k == higher:
                continue
            piece = pieces[box.piece]
            how = box.holds
            for j in range(dims):
                m[j] = box.centre[j]
                h[j] = box.half[j]
            if how == PATCH and piece.is_rounded:
                if misses(piece, m[0], h[0], m[n], m[n + 1], h[n], h[n + 1]):
                    continue
            elif (
                how == PATCH
                and max(abs(m[n]) - h[n], 0.0) ** 2 + max(abs(m[n + 1]) - h[n + 1], 0.0) ** 2 > 1.0
            ):
                continue
            value, bound = evaluate(
                piece,
                how,
                deep,
                pair.shape,
                edges,
                steps,
                knots,
                cutters,
                n,
                tolerance,
                min(best - tolerance, cutoff),
                work,
            )
            boxes += 1
            if bound < box.bound:
                bound = box.bound
                for j in range(n):
                    tilt[j] = 0.0
            if value < best:
                best = value
                _take(found, m, n, out)
                if best < 0.0 and not deep:
                    break
            if bound >= best - tolerance or bound > cutoff:
                aside = min(aside, bound)
                continue
            widest = -1.0
            turn = 0
            for j in range(n if how != PATCH else dims):
                spread = piece.widest
                if j < n:
                    spread *= math.sqrt(
                        frame.spin[j, 0] ** 2 + frame.spin[j, 1] ** 2 + frame.spin[j, 2] ** 2
                    )
                    spread += math.sqrt(
                        frame.rate[j, 0] ** 2 + frame.rate[j, 1] ** 2 + frame.rate[j, 2] ** 2
                    )
                    spread += 1e-6
                if spread * h[j] > widest:
                    widest = spread * h[j]
                    turn = j
            if how == SECTION and found.miss > max(
                0.25 * tolerance, 1.5 * found.enough, 0.5 * (value - bound)
            ):
                turn = -1
            if slot < 0:
                slot = used
                used += 1
            store[slot] = box
            store[slot].bound = bound
            store[slot].key = step * math.floor(bound / step) if deep else bound
            store[slot].value = value
            store[slot].split = turn
            store[slot].tilt = tilt[turn] if 0 <= turn < n else 0.0
            count = _push(store, order, count, slot)
            slot = -1
            # Where D is nearly linear, the bound is attained at the box's lowest corner: try that
            # point. Of a patch that a cutter cuts, try the cut's edge.
            lowest = value
            for j in range(n):
                lowest -= abs(tilt[j])
            if found.is_cut_off:
                lowest = bound
            elif how == PATCH:
                continue
            if how == BALLS or deep or lowest > best - 0.1 * tolerance:
                continue
            if found.is_cut_off:
                to_edge(piece, cutters, n, work)
            else:
                m[0] += h[0] if tilt[0] < 0.0 else -h[0]
            for j in range(1, n):
                m[j] += h[j] if tilt[j] < 0.0 else -h[j]
            for j in range(dims):
                h[j] = 0.0
            value, bound = evaluate(
                piece, how, deep, pair.shape, edges, steps, knots, cutters, n, tolerance, FAR, work
            )
            boxes += 1
            if value < best:
                best = value
                _take(found, m, n, out)
                if best < 0.0:
                    break
        if best < 0.0 and not deep:
            break
    out.value = best
    out.boxes = boxes
    if best < 0.0 and not deep:
        out.bound = -FAR
        out.state = OVERLAP
        return
    out.bound = min(best, aside)
    out.state = APART if out.bound > cutoff else (OVERLAP if best < 0.0 else SEPARATE)


@compiled
def measure(
    pairs: Sequence[PairNumbers],
    pieces: Sequence[Piece],
    edges: Sequence[Edge],
    steps: Sequence[MotionStep],
    knots: Sequence[Knot],
    cutters: Sequence[CutterPiece],
    tolerances: Array,
    cutoffs: Array,
    lines: Ints,
    only_near: bool,
    work: Sequence[Work],
    store: MutableSequence[Box],
    order: Order,
    out: Sequence[Outcome],
) -> None:
    """Find the smallest gap of tubes to shapes over all positions, or the greatest depth, one by one.

    Of the pairs of one line only the smallest gap is wanted: the least value found so far is a cutoff
    for those that follow.

    Args:
        pairs: the pairs.
        pieces: the tubes' pieces, in the shapes' axes.
        edges: of the shapes' profiles.
        steps: the motions' steps, in the shapes' axes.
        knots: the rows of their tables.
        cutters: what cuts the tubes, in the shapes' axes.
        tolerances: (pairs,), width of the certificates [mm].
        cutoffs: (pairs,); stop once every bound is above it [mm]; the state is then APART.
        lines: (pairs,) which line each is of; those of one line follow each other.
        only_near: only find out whether a line comes as near as its cutoff: a pair is left at the first
            point that does, with a state other than APART, and the rest of its line is not searched.
        work: work space, one record.
        store: work space; its length limits how many boxes are evaluated.
        order: as long as `store`; work space.
        out: the results, one for each pair.
    """
    cutoff = FAR
    is_near = False
    for i in range(len(pairs)):
        pair = pairs[i]
        if i == 0 or lines[i] != lines[i - 1]:
            cutoff = FAR
            is_near = False
        cutoff = min(cutoff, cutoffs[i])
        if is_near:
            out[i].state = APART  # not looked at
            continue
        for again in range(2):
            _search(
                pair,
                pieces[pair.pieces[0] : pair.pieces[1]],
                edges[pair.edges[0] : pair.edges[1]],
                steps[pair.steps[0] : pair.steps[1]],
                knots[pair.knots[0] : pair.knots[1]],
                cutters[pair.cutters[0] : pair.cutters[1]],
                tolerances[i],
                cutoff,
                only_near,
                again == 1,
                work[0],
                store,
                order,
                out[i],
            )
            if out[i].state != OVERLAP or only_near:
                break
        if out[i].state != APART:
            is_near = only_near and out[i].boxes < len(store) - SPARE  # else it is not known yet
            cutoff = min(cutoff, out[i].value)
