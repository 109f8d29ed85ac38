"""Certified gap between a tube and a shape over a range of positions, compiled branch and bound.

The tube T is the union of its cross sections: flat ellipses or circles square to the axis. So its
ends are flat; a rounded end is one ball more. The shape is given by its signed distance D, negative
inside, in its own axes (`signed_distance`). The motion takes points of the tube into those axes
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
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from frame3d.clearance.certify.bounds import BALL, BALLS, PATCH, SECTION, evaluate
from frame3d.clearance.certify.compiled import compiled
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array

Order: TypeAlias = NDArray[np.int64]

DEEP = 3000
"""Most boxes that are evaluated to find a depth; that the two overlap is known by then."""
SPARE = 4
"""Boxes that a search may evaluate beyond its limit."""

VALUE, BOUND, BOXES, STATE, INSIDE = range(5)
P, Q, POSE = 5, 8, 11
"""Indices of a result's numbers: see `out` of `measure`."""
RESULT = 15
SEPARATE, OVERLAP, APART = range(3)
"""States of a result. APART: the gap is only known to be above the cutoff."""

KEY, PIECE, HOW, SPLIT, HALF, CENTRE = range(6)
"""Indices of a stored box's numbers: its bound; row of its piece; what it holds (SECTION, PATCH, BALL or
BALLS); parameter to split next (-1: split sections into patches); tilt of its plane along that
parameter; then the centres of all parameters, then their half widths."""
BOX = CENTRE + 14
"""Most numbers of a box."""


@compiled
def _push(store: Array, order: Order, count: int, item: int) -> int:
    """Put row `item` of `store` on the heap `order` (lowest KEY first); return the new count."""
    order[count] = item
    i = count
    while i > 0:
        parent = (i - 1) // 2
        if store[order[parent], KEY] <= store[order[i], KEY]:
            break
        order[parent], order[i] = order[i], order[parent]
        i = parent
    return count + 1


@compiled
def _pop(store: Array, order: Order, count: int) -> tuple[int, int]:
    """Take the row with the lowest KEY off the heap; return it and the new count."""
    top = order[0]
    count -= 1
    order[0] = order[count]
    i = 0
    while True:
        child = 2 * i + 1
        if child >= count:
            break
        if child + 1 < count and store[order[child + 1], KEY] < store[order[child], KEY]:
            child += 1
        if store[order[i], KEY] <= store[order[child], KEY]:
            break
        order[i], order[child] = order[child], order[i]
        i = child
    return top, count


@compiled
def _take(found: Array, m: Array, n: int, out: Array) -> None:
    """Write the points, inside flag and pose that `evaluate` found at a box's middle to a result."""
    out[INSIDE] = found[6]
    for j in range(3):
        out[P + j] = found[j]
        out[Q + j] = found[3 + j]
    for j in range(1, n):
        out[POSE + j - 1] = m[j]


@compiled
def _search(
    rows: Array,
    kind: int,
    par: Array,
    ops: Array,
    cutters: Array,
    low: Array,
    high: Array,
    n: int,
    tolerance: float,
    cutoff: float,
    deep: bool,
    store: Array,
    order: Order,
    out: Array,
) -> None:
    """Search one pair once, as `measure` describes.

    With `deep`, find the greatest depth of two that are known to overlap. `n` is 1 + the number of
    motions; a box has n + 2 parameters, the last two across the section.
    """
    pieces = rows.shape[0]
    limit = store.shape[0] - SPARE
    if deep:
        limit = min(limit, DEEP)
    dims = n + 2
    wide = CENTRE + 2 * dims
    used = boxes = started = count = 0 * n  # numba would compile anew for a constant
    p = np.empty(3)
    vec = np.empty((2 * n + 2, 3))
    plane = np.empty(25)
    knife = np.empty(28)
    tilt = np.empty(n)
    found = np.zeros(10)
    m = np.empty(dims)
    h = np.empty(dims)
    box = np.empty(wide)
    best = out[VALUE] if deep else FAR
    aside = FAR
    while True:
        slot = -1
        parts = 1
        higher = -1
        split = 0
        if started < pieces + 2:
            # Start boxes: each rounded end, then each whole piece.
            row = 0
            if started > 0:
                row = min(started - 2, pieces - 1) if started > 1 else pieces - 1
            how = BALL if started < 2 else SECTION
            place = 0.5 if how == SECTION else float(started)
            started += 1
            if how == BALL and rows[row, 19 + started] < FAR:
                continue
            if how == SECTION and rows[row, 26] > 0.0:
                how = PATCH  # a cutter takes part of the sections
            for j in range(dims):
                box[CENTRE + j] = 0.0
                box[CENTRE + dims + j] = 1.0
            for j in range(1, n):
                box[CENTRE + j] = 0.5 * (low[j - 1] + high[j - 1])
                box[CENTRE + dims + j] = 0.5 * (high[j - 1] - low[j - 1])
            box[KEY] = -FAR
            box[PIECE] = row
            box[HOW] = how
            box[CENTRE] = rows[row, 1] * place
            box[CENTRE + dims] = rows[row, 1] * 0.5 if how != BALL else 0.0
        else:
            if count == 0:
                break
            floor = store[order[0], KEY]
            if floor >= best - tolerance or floor > cutoff or boxes >= limit:
                aside = min(aside, floor)
                break
            slot, count = _pop(store, order, count)
            for j in range(wide):
                box[j] = store[slot, j]
            split = int(box[SPLIT])
            parts = 2
            # One half lies higher on the box's plane: perhaps it can be set aside unseen.
            other = floor + abs(box[HALF])
            higher = -1
            if other >= best - tolerance or other > cutoff:
                higher = 1 if box[HALF] > 0.0 else 0
                aside = min(aside, other)
            if split < 0:
                parts = 5 if deep else 4
                box[HOW] = PATCH
                split = n
                box[CENTRE + dims + n + 1] = 0.5
            box[CENTRE + dims + split] *= 0.5
            box[CENTRE + split] -= box[CENTRE + dims + split]
        for k in range(parts):
            if k == 4:
                box[HOW] = BALLS
            elif parts > 2:
                box[CENTRE + n] = 0.5 if k % 2 == 1 else -0.5
                box[CENTRE + n + 1] = 0.5 if k > 1 else -0.5
            elif k == 1:
                box[CENTRE + split] += 2.0 * box[CENTRE + dims + split]
            if k == higher:
                continue
            row = int(box[PIECE])
            how = int(box[HOW])
            for j in range(dims):
                m[j] = box[CENTRE + j]
                h[j] = box[CENTRE + dims + j]
            if (
                how == PATCH
                and max(abs(m[n]) - h[n], 0.0) ** 2 + max(abs(m[n + 1]) - h[n + 1], 0.0) ** 2 > 1.0
            ):
                continue
            value, bound = evaluate(
                rows[row], how, deep, kind, par, ops, cutters, m, h, n, tolerance,
                p, vec, plane, knife, tilt, found,
            )  # fmt: skip
            boxes += 1
            if bound < box[KEY]:
                bound = box[KEY]
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
                spread = rows[row, 22]
                if j < n:
                    spread *= math.sqrt(
                        vec[n + j, 0] ** 2 + vec[n + j, 1] ** 2 + vec[n + j, 2] ** 2
                    )
                    spread += math.sqrt(vec[j, 0] ** 2 + vec[j, 1] ** 2 + vec[j, 2] ** 2) + 1e-6
                if spread * h[j] > widest:
                    widest = spread * h[j]
                    turn = j
            if how == SECTION and found[7] > max(
                0.25 * tolerance, 1.5 * found[8], 0.5 * (value - bound)
            ):
                turn = -1
            if slot < 0:
                slot = used
                used += 1
            for j in range(wide):
                store[slot, j] = box[j]
            store[slot, KEY] = bound
            store[slot, SPLIT] = turn
            store[slot, HALF] = tilt[turn] if 0 <= turn < n else 0.0
            count = _push(store, order, count, slot)
            slot = -1
            # Where D is nearly linear, the bound is attained at the box's lowest corner: try that
            # point. Of a patch that a cutter cuts, try the cut's edge.
            lowest = value
            for j in range(n):
                lowest -= abs(tilt[j])
            if found[9] < FAR:
                lowest = bound
            elif how == PATCH:
                continue
            if how == BALLS or deep or lowest > best - 0.1 * tolerance:
                continue
            for j in range(n):
                m[j] += h[j] if tilt[j] < 0.0 else -h[j]
                h[j] = 0.0
            if found[9] < FAR:
                m[0] = min(max(found[9], 0.0), rows[row, 1])
            value, bound = evaluate(
                rows[row], how, deep, kind, par, ops, cutters, m, h, n, tolerance,
                p, vec, plane, knife, tilt, found,
            )  # fmt: skip
            boxes += 1
            if value < best:
                best = value
                _take(found, m, n, out)
                if best < 0.0:
                    break
        if best < 0.0 and not deep:
            break
    out[VALUE] = best
    out[BOXES] = boxes
    if best < 0.0 and not deep:
        out[BOUND] = -FAR
        out[STATE] = OVERLAP
        return
    out[BOUND] = min(best, aside)
    out[STATE] = APART if out[BOUND] > cutoff else (OVERLAP if best < 0.0 else SEPARATE)


@compiled
def measure(
    rows: Array,
    row_at: Order,
    kinds: Order,
    pars: Array,
    par_at: Order,
    ops: Array,
    op_at: Order,
    cutters: Array,
    cutter_at: Order,
    motions: Order,
    low: Array,
    high: Array,
    tolerance: float,
    cutoff: float,
    only_least: bool,
    store: Array,
    order: Order,
    out: Array,
) -> None:
    """Find the smallest gap of tubes to shapes over all positions, or the greatest depth, one by one.

    Args:
        rows: (n, 27) float, the tubes' pieces in the shapes' axes (see `search_input.pieces_of`).
        row_at: (pairs + 1,) int64, where each pair's rows begin.
        kinds: (pairs,) int64, kinds of the shapes.
        pars: (n,) float, the shapes' numbers (see `search_input.numbers_of`).
        par_at: as row_at, for pars.
        ops: (k, 10) float, the motions' steps in the shapes' axes (see `motion.STEP`).
        op_at: as row_at, for ops.
        cutters: (m, 32) float, what cuts the tubes, in the shapes' axes (see
            `search_input.cutters_of`).
        cutter_at: as row_at, for cutters.
        motions: (pairs,) int64, how many motions each pair has.
        low: (pairs, 4) float, lower limit of each motion [mm or radians].
        high: (pairs, 4) float, upper limit.
        tolerance: width of the certificates [mm].
        cutoff: stop once every bound is above it [mm]; the state is then APART.
        only_least: whether the least value of the pairs so far is a cutoff for the next ones too.
        store: (boxes, 20) float, work space; its length limits how many boxes are evaluated.
        order: (boxes,) int64, work space.
        out: (pairs, 15) float, the results. VALUE: the least D found [mm]; BOUND: the proven lower
            bound [mm]; BOXES: how many boxes were evaluated; STATE; INSIDE: 1 if the centre of the
            deepest ball is inside the shape; P, Q: nearest points of tube and shape, in the
            shape's axes (3 + 3) [mm]; POSE: value of each motion (4) [mm or radians].
    """
    for i in range(kinds.shape[0]):
        for again in range(2):
            _search(
                rows[row_at[i] : row_at[i + 1]],
                kinds[i],
                pars[par_at[i] : par_at[i + 1]],
                ops[op_at[i] : op_at[i + 1]],
                cutters[cutter_at[i] : cutter_at[i + 1]],
                low[i],
                high[i],
                1 + motions[i],
                tolerance,
                cutoff,
                again == 1,
                store,
                order,
                out[i],
            )
            if out[i, STATE] != OVERLAP:
                break
        if only_least and out[i, STATE] != APART:
            cutoff = min(cutoff, out[i, VALUE])
