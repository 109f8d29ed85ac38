"""The search for the fewest bars: against every partition of small cases, and its bounds."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence

import pytest

from frame3d.fabrication.ordering.fewest_bars import (
    Found,
    Stock,
    cost_of,
    fewer_bars,
    lower_bound,
)
from frame3d.fabrication.ordering.stock import first_fit


def partitions(things: Sequence[int]) -> Iterator[list[list[int]]]:
    """Every way to part things into groups."""
    if not things:
        yield []
        return
    first, *rest = things
    for parts in partitions(rest):
        yield [[first], *parts]
        for i, part in enumerate(parts):
            yield [*parts[:i], [first, *part], *parts[i + 1 :]]


def least_of_all(sizes: Sequence[int], bars: Sequence[Stock]) -> tuple[int, int] | None:
    """Least cost, and its fewest bars, over every partition and choice of bars."""
    best = None
    for parts in partitions(sizes):
        for kinds in itertools.product(range(len(bars)), repeat=len(parts)):
            if any(sum(part) > bars[k].room for part, k in zip(parts, kinds, strict=True)):
                continue
            if any(b.count is not None and kinds.count(k) > b.count for k, b in enumerate(bars)):
                continue
            cost = (sum(bars[k].cost for k in kinds), len(parts))
            best = cost if best is None else min(best, cost)
    return best


def cases() -> Iterator[tuple[list[int], list[Stock]]]:
    rng = random.Random(7)
    yield [38, 35, 35, 30, 30, 14, 14], [Stock(100, 1)]
    yield [59, 42, 29, 28, 21, 19], [Stock(100, 1)]
    yield [53, 36, 32, 28, 25, 21], [Stock(100, 1)]
    for _ in range(40):
        sizes = sorted((rng.randint(12, 60) for _ in range(rng.randint(4, 7))), reverse=True)
        yield sizes, [Stock(100, 1)]
    for _ in range(25):
        sizes = sorted((rng.randint(12, 60) for _ in range(rng.randint(3, 5))), reverse=True)
        limit = rng.choice([None, 1, 2])
        yield sizes, [Stock(100, 10, limit), Stock(70, 7)]


def test_small_cases_against_every_partition() -> None:
    searched = 0
    for sizes, bars in cases():
        wanted = least_of_all(sizes, bars)
        assert wanted is not None
        least = lower_bound(sizes, bars)
        assert least <= wanted[0]
        found = fewer_bars(sizes, bars, (len(sizes) * 10 + 1, len(sizes)), least)
        assert found.cuts is not None
        assert (cost_of(found.cuts, bars), len(found.cuts)) == wanted, (sizes, bars)
        assert found.least == wanted[0]
        held = [i for _, cut in found.cuts for i in cut]
        assert sorted(held) == list(range(len(sizes)))
        assert all(sum(sizes[i] for i in cut) <= bars[k].room for k, cut in found.cuts)
        # A plan that cannot be bettered is proven so.
        again = fewer_bars(sizes, bars, wanted, least)
        assert again.cuts is None
        assert again.least == wanted[0]
        searched += cost_of(first_fit(sizes, bars)[0], bars) > wanted[0]
    assert searched >= 3  # where first-fit decreasing is not enough


@pytest.mark.parametrize(
    ("sizes", "least"),
    [
        ([60] * 5, 5),  # no two in a bar of 100
        ([35] * 9, 5),  # two in a bar, though 9 × 35 is little more than three bars
        ([70, 70, 31, 31], 4),  # nothing beside 70 that is as large as 31
        ([26] * 8, 3),  # three in a bar
        ([50, 50, 50], 2),
        ([], 0),
    ],
)
def test_lower_bounds_by_hand(sizes: list[int], least: int) -> None:
    bound = lower_bound(sizes, [Stock(100, 1)])
    assert bound <= least
    if sizes != [70, 70, 31, 31]:
        assert bound == least


def test_a_bound_of_two_lengths_is_the_cheaper_share() -> None:
    # 60 costs 10 × 0.6 of the long bar or 7 × 6/7 of the short one: 6 either way, so 2 of them 12.
    assert lower_bound([60, 60], [Stock(100, 10), Stock(70, 7)]) >= 12
    # What only the long bar holds is of its price.
    assert lower_bound([80], [Stock(100, 10), Stock(70, 7)]) >= 8


def test_a_search_that_gives_up_claims_nothing() -> None:
    """Pieces of many lengths close together, far more than can be tried."""
    rng = random.Random(3)
    sizes = sorted((rng.randint(3400, 4600) for _ in range(180)), reverse=True)
    bars = [Stock(20_000, 1)]
    number, least = len(first_fit(sizes, bars)[0]), lower_bound(sizes, bars)
    assert least < number
    found = fewer_bars(sizes, bars, (number, number), least)
    assert least <= found.least < number
    assert found.cuts is None or found.least < len(found.cuts) < number
    assert found == fewer_bars(sizes, bars, (number, number), least)
    many = [Stock(1000 - k, 1000 - k) for k in range(12)]
    assert fewer_bars([400] * 90, many, (90_000, 90), 36_000) == Found(None, 36_000)
