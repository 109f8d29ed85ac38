"""The least stock for many pieces, by search with proof.

Sets of bars are tried from the cheapest that a bound allows. For each, bars are filled one after
another, depth first: the next bar takes the largest piece that is left, beside it as much as will fit,
and no more of its room is wasted than the set of bars has to spare. What was found impossible once, the
same pieces left for the same bars, is not tried again. A set of which every way was tried is proven to
be too small; a search that takes more than `STEPS` gives up and leaves that open.

The filling of one bar after another within what may be wasted is known as bin completion (R. E. Korf, "A
new algorithm for optimal bin packing", AAAI 2002; quoted from memory).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import chain, islice
from typing import Final

STEPS: Final = 1_000_000
"""Most steps of a search: a limit that gives the same plan on every machine, in about a second."""
STEPS_OF_A_SET: Final = 50_000
"""Most steps for one set of bars."""
FINEST: Final = 12
"""Finest parts of a bar that bounds are rounded to."""
AHEAD: Final = 50
"""Number of fillings of a bar of which the fullest is tried first."""
MOST_SETS: Final = 100_000
"""Most sets of bars that are looked at."""
MOST_BARS: Final = 300
"""Most bars of a set."""

Cuts = list[tuple[int, tuple[int, ...]]]
"""Bars: each its kind, and the pieces cut from it, by their index."""
Fills = list[tuple[int, tuple[int, ...]]]
"""Bars: each its kind, and how many pieces of each size are cut from it."""
Filling = tuple[tuple[int, ...], int]
"""Pieces of each size in one bar, and the room that they leave."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A kind of bar, in whole numbers."""

    room: int
    """What all its pieces together may take."""
    cost: int
    count: int | None = None
    """Number of bars to be had; None for as many as are needed."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found."""

    cuts: Cuts | None
    """A plan cheaper than the one that was known; None where none was found."""
    least: int
    """Lower bound of the cost of any plan."""


def cost_of(cuts: Cuts, bars: Sequence[Stock]) -> int:
    """Return the cost of a plan."""
    return sum(bars[kind].cost for kind, _ in cuts)


def lower_bound(sizes: Sequence[int], bars: Sequence[Stock]) -> int:
    """Return a lower bound of the cost of any plan.

    Each piece is weighed so that no filling of any bar weighs more than the bar costs; all pieces then
    weigh no more than any plan costs. Weights are shares of a bar's cost after dual feasible functions,
    two of them one after the other, and the best of many parameters counts (S. P. Fekete and J.
    Schepers, "New classes of fast lower bounds for bin packing problems", Mathematical Programming 91
    (2001), 11-31; quoted from memory).

    Args:
        sizes: what each piece takes of a bar.
        bars: the kinds of bars.
    """
    kinds = Counter(sizes)
    best = 0
    for least in (0, *kinds):
        for k in range(FINEST + 1):
            weight = sum(
                count * min(bar.cost * _share(size, bar.room, least, k)
                            for bar in bars if size <= bar.room)
                for size, count in kinds.items()
            )  # fmt: skip
            best = max(best, -(-weight // (k * (k + 1)) if k else math.ceil(weight)))
    return best


def _share(size: int, room: int, least: int, k: int) -> int | Fraction:
    """Return a piece's share of a bar after two dual feasible functions, in 1 / (k (k + 1)).

    The first drops pieces smaller than `least`, and gives those beside which no other has place the
    whole bar. The second rounds down to whole k-ths all that are no whole (k + 1)-ths. For k = 0 there
    is no second, and the share is as it is.
    """
    if 2 * least <= room:
        size = 0 if size < least else room if size > room - least else size
    if k == 0:
        return Fraction(size, room)
    whole, rest = divmod(size * (k + 1), room)
    return whole * (k + 1 if rest else k)


def fewer_bars(
    sizes: Sequence[int], bars: Sequence[Stock], known: tuple[int, int], least: int
) -> Found:
    """Look for a plan that is cheaper than a known one, or as cheap with fewer bars.

    Args:
        sizes: what each piece takes of a bar; none is larger than every bar's room.
        bars: the kinds of bars.
        known: cost and number of bars of the plan to better.
        least: lower bound of the cost of any plan, see `lower_bound`.
    """
    numbers = Counter(sizes)
    kinds = tuple(sorted(numbers, reverse=True))
    wanted = tuple(numbers[kind] for kind in kinds)
    rooms = tuple(bar.room for bar in bars)
    sets = _sets_of_bars(bars, least, known)
    if sets is None:
        return Found(None, least)
    steps, is_open = STEPS, False
    for cost, _, counts in sets:
        if not is_open:
            least = cost
        spare = sum(n * room for n, room in zip(counts, rooms, strict=True)) - sum(sizes)
        if spare < 0:
            continue
        search = _Search(kinds, rooms, min(steps, STEPS_OF_A_SET))
        fills = search.fill(wanted, counts, spare)
        if fills is not None:
            return Found(_cuts_of(fills, sizes, kinds), least)
        steps -= min(steps, STEPS_OF_A_SET) - search.steps
        is_open = is_open or search.steps <= 0
        if steps <= 0:
            break
    return Found(None, least if is_open else max(least, known[0]))


def _sets_of_bars(
    bars: Sequence[Stock], least: int, known: tuple[int, int]
) -> list[tuple[int, int, tuple[int, ...]]] | None:
    """Return sets of bars that may be better than a known plan: cost, number, count of each kind.

    Cheapest first, of as cheap ones that of fewer bars. None where there are too many.
    """
    sets: list[tuple[int, tuple[int, ...]]] = [(0, ())]
    for bar in bars:
        most = known[1] if bar.count is None else bar.count
        sets = [
            (cost + n * bar.cost, (*counts, n))
            for cost, counts in sets
            for n in range(min(most, (known[0] - cost) // bar.cost) + 1)
        ]
        if len(sets) > MOST_SETS:
            return None
    found = [(cost, sum(counts), counts) for cost, counts in sets if cost >= least]
    return sorted(one for one in found if one[:2] < known and one[1] <= MOST_BARS)


@dataclass
class _Search:
    """One set of bars, to be filled."""

    sizes: tuple[int, ...]
    """Of the pieces, each once, largest first."""
    rooms: tuple[int, ...]
    """Of each kind of bar."""
    steps: int
    """Steps that are left."""
    impossible: set[tuple[tuple[int, ...], tuple[int, ...]]] = field(default_factory=set)
    """Pieces left and bars left that do not go together."""

    def fill(self, left: tuple[int, ...], bars: tuple[int, ...], spare: int) -> Fills | None:
        """Return how the bars are filled, each as kind and pieces of each size; None if there is no way.

        Args:
            left: pieces of each size.
            bars: bars of each kind.
            spare: room of all bars beyond what all pieces take.
        """
        largest = next((i for i, n in enumerate(left) if n), None)
        if largest is None:
            return []
        if (left, bars) in self.impossible:
            return None
        for kind, room in enumerate(self.rooms):
            if not bars[kind] or room < self.sizes[largest]:
                continue
            others = tuple(n - (k == kind) for k, n in enumerate(bars))
            ways = self._fillings(left, largest, room, spare)
            best = sorted(islice(ways, AHEAD), key=lambda way: way[1])
            for taken, waste in chain(best, ways):
                rest = tuple(n - m for n, m in zip(left, taken, strict=True))
                more = self.fill(rest, others, spare - waste)
                if more is not None:
                    return [(kind, taken), *more]
                if self.steps <= 0:
                    return None
        self.impossible.add((left, bars))
        return None

    def _fillings(
        self, left: tuple[int, ...], largest: int, room: int, spare: int
    ) -> Iterator[Filling]:
        """Yield ways to fill a bar to which nothing can be added, with the room that each wastes.

        Each has the largest piece. More than `spare` is not wasted.
        """
        after = [0] * (len(left) + 1)
        for i in range(len(left) - 1, -1, -1):
            after[i] = after[i + 1] + left[i] * self.sizes[i]

        def more(i: int, room: int, least: int, taken: tuple[int, ...]) -> Iterator[Filling]:
            self.steps -= 1
            if self.steps <= 0 or room - after[i] > spare:
                return
            if i == len(left):
                if all(
                    m == n or size > room
                    for m, n, size in zip(taken, left, self.sizes, strict=True)
                ):
                    yield taken, room
                return
            for n in range(min(left[i], room // self.sizes[i]), least - 1, -1):
                yield from more(i + 1, room - n * self.sizes[i], 0, (*taken, n))

        yield from more(largest, room, 1, (0,) * largest)


def _cuts_of(fills: Fills, sizes: Sequence[int], kinds: Sequence[int]) -> Cuts:
    """Return bars with the pieces' indices, those of one size in their order."""
    queues = [iter([i for i, size in enumerate(sizes) if size == kind]) for kind in kinds]
    return [
        (kind, tuple(next(queue) for queue, n in zip(queues, taken, strict=True) for _ in range(n)))
        for kind, taken in fills
    ]
