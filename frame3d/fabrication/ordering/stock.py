"""Cut pieces from bars: which bars to buy, and which piece comes from which.

A bar, from left to right::

    |trim| piece |kerf| piece |kerf| piece |kerf|  offcut  |trim|
    |<------------------------ length ------------------------->|

A last piece that ends where the usable length ends needs no cut behind it.

First-fit decreasing (longest piece first, each into the first bar with room) is tried before anything
else. Where it buys no more than a bound allows, it is proven to be the least. If not,
`fewest_bars` looks for less.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Generic, Literal, TypeVar

from frame3d.fabrication.ordering.fewest_bars import (
    Cuts,
    Stock,
    cost_of,
    fewer_bars,
    lower_bound,
)

UNIT: Final = 0.01
"""Step in which lengths are reckoned, so that sums are exact [mm]."""
Method = Literal["first-fit decreasing", "search"]


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length in which bars are to be had."""

    length: float
    """[mm]"""
    count: int | None = None
    """Number of bars to be had; None for as many as are needed."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece to be cut."""

    length: float
    """[mm]"""
    label: str
    """What it is for."""


P = TypeVar("P", bound=Piece)


@dataclass(frozen=True, slots=True)
class Bar(Generic[P]):
    """A bar, and what is cut from it."""

    length: float
    """As bought [mm]."""
    pieces: tuple[P, ...]
    """Longest first."""
    offcut: float
    """Usable length that is left behind the last cut [mm]."""


@dataclass(frozen=True, slots=True)
class Plan(Generic[P]):
    """The bars to buy."""

    bars: tuple[Bar[P], ...]
    """Longest first."""
    left: tuple[P, ...]
    """Pieces for which there is no bar: too long for any, or the bars run out."""
    method: Method
    over: float
    """Bound on how much more than the least is bought: bars where all are of one length, else mm."""
    lengths: int
    """Number of stock lengths to choose from."""

    @property
    def total(self) -> float:
        """Length bought [mm]."""
        return math.fsum(bar.length for bar in self.bars)

    @property
    def is_proven(self) -> bool:
        """Whether nothing less would do."""
        return self.over == 0

    @property
    def claim(self) -> str:
        """What is known of the plan, in words."""
        if self.lengths > 1:
            return (
                "the least length, proven"
                if self.is_proven
                else (f"at most {self.over:g} mm more than the least length")
            )
        return (
            "the fewest, proven"
            if self.is_proven
            else (f"at most {self.over:g} more than the fewest")
        )


def cut_stock(
    pieces: Sequence[P], stock: Sequence[StockLength], *, kerf: float = 0.0, trim: float = 0.0
) -> Plan[P]:
    """Return which bars to buy and how to cut them.

    The fewest bars are looked for or, of several stock lengths, the least length in all; of plans of one
    length, the one of fewer bars. The same pieces always give the same plan.

    Args:
        pieces: all of one section.
        stock: at least one length, none twice.
        kerf: width of the saw's cut [mm].
        trim: length at either end of a bar that is not used [mm].

    Raises:
        ValueError: a length, the kerf or the trim cannot be.
    """
    _need(pieces, stock, kerf, trim)
    kinds = sorted(stock, key=lambda s: -s.length)
    saw = math.ceil(kerf / UNIT - 1e-6)
    lengths = [math.floor(s.length / UNIT + 1e-6) for s in kinds]
    edge = 2 * math.ceil(trim / UNIT - 1e-6)
    step = math.gcd(*lengths)
    # A kerf goes with each piece, and one more kerf with the bar, for the cut that the last one saves.
    bars = [
        Stock(length - edge + saw, length // step, s.count)
        for length, s in zip(lengths, kinds, strict=True)
    ]
    rooms = [bar.room for bar in bars]
    fits = [p for p in pieces if _taken(p, saw) <= rooms[0]]
    longer = [p for p in pieces if _taken(p, saw) > rooms[0]]
    order = sorted(range(len(fits)), key=lambda i: (-_taken(fits[i], saw), i))
    sizes = [_taken(fits[i], saw) for i in order]

    cuts, rest = first_fit(sizes, bars)
    least = lower_bound(sizes, bars)
    method: Method = "first-fit decreasing"
    if rest or cost_of(cuts, bars) > least:
        known = (cost_of(cuts, bars), len(cuts))
        if rest:  # a bar for each piece: more than any plan needs
            known = (len(sizes) * max(bar.cost for bar in bars) + 1, len(sizes))
        found = fewer_bars(sizes, bars, known, least)
        least = found.least
        if found.cuts is not None:
            cuts, rest, method = found.cuts, (), "search"
    over = max(0, cost_of(cuts, bars) - least)
    made = [
        Bar(
            kinds[kind].length,
            tuple(fits[order[i]] for i in held),
            max(0, rooms[kind] - sum(sizes[i] for i in held) - saw) * UNIT,
        )
        for kind, held in sorted(cuts, key=lambda cut: (cut[0], cut[1]))
    ]
    return Plan(
        tuple(made),
        (*longer, *(fits[order[i]] for i in rest)),
        method,
        over if len(stock) == 1 else over * step * UNIT,
        len(stock),
    )


def first_fit(sizes: Sequence[int], bars: Sequence[Stock]) -> tuple[Cuts, tuple[int, ...]]:
    """Return the bars by first-fit decreasing, each as (kind, pieces), and the pieces left over.

    With several stock lengths each is tried as the one to open first, and every bar then exchanged for
    the shortest that holds its pieces; the cheapest result stands. With one length as many bars as are
    needed, at most 11/9 of the fewest and 6/9 of a bar are bought (Dósa 2007, quoted from memory).

    Args:
        sizes: what each piece takes of a bar, largest first.
        bars: longest first.
    """
    tries = [_first_fit(sizes, bars, first) for first in range(len(bars))]
    return min(tries, key=lambda found: (len(found[1]), cost_of(found[0], bars), len(found[0])))


def _first_fit(
    sizes: Sequence[int], bars: Sequence[Stock], first: int
) -> tuple[Cuts, tuple[int, ...]]:
    """Return `first_fit` with one kind of bar opened before others."""
    kinds = [first, *(k for k in range(len(bars)) if k != first)]
    free = [math.inf if bar.count is None else bar.count for bar in bars]
    cuts: list[tuple[int, list[int]]] = []
    room: list[int] = []
    left = []
    for i, size in enumerate(sizes):
        at = next((b for b, free_room in enumerate(room) if size <= free_room), None)
        if at is None:
            kind = next((k for k in kinds if free[k] > 0 and size <= bars[k].room), None)
            if kind is None:
                left.append(i)
                continue
            free[kind] -= 1
            at = len(cuts)
            cuts.append((kind, []))
            room.append(bars[kind].room)
        cuts[at][1].append(i)
        room[at] -= size
    shrunk = []
    for kind, held in cuts:
        size = sum(sizes[i] for i in held)
        least = max(k for k in range(len(bars))
                    if k == kind or (free[k] > 0 and size <= bars[k].room))  # fmt: skip
        free[kind] += 1
        free[least] -= 1
        shrunk.append((least, tuple(held)))
    return shrunk, tuple(left)


def _taken(piece: Piece, saw: int) -> int:
    """Return what a piece takes of a bar, its cut included [UNIT]."""
    return math.ceil(piece.length / UNIT - 1e-6) + saw


def _need(pieces: Sequence[Piece], stock: Sequence[StockLength], kerf: float, trim: float) -> None:
    """Raise ValueError unless all lengths can be."""
    lengths = [s.length for s in stock]
    if not stock or len(set(lengths)) < len(lengths):
        raise ValueError("stock lengths: at least one, and none twice")
    if not all(0.0 <= x < math.inf for x in (kerf, trim)):
        raise ValueError("kerf and trim are lengths of 0 mm or more")
    if not all(2 * trim < x < math.inf for x in lengths):
        raise ValueError("a bar is longer than what is trimmed from its ends")
    if any(s.count is not None and s.count < 0 for s in stock):
        raise ValueError("a number of bars is 0 or more")
    if not all(0.0 < p.length < math.inf for p in pieces):
        raise ValueError("a piece is longer than 0 mm")
