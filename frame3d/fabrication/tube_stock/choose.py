"""Choose a tube of the shop's own for each tube of a frame, with the least waste in all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.errors import Fault
from frame3d.fabrication.tube_facts import TubeFacts, plain
from frame3d.fabrication.tube_stock.fit import CAUSES, Fit, Misfit, Piece, fit, is_plain, section_of
from frame3d.parameters.models.shop.tube_stock import StockTubeSpec
from frame3d.parameters.reading.tube_stock import TubeStock

NONE = 1e9
"""Cost of a tube that does not fit [mm]."""
EXCESS = 10.0
"""Cost of wall that the file does not ask for [mm of waste for each mm²]; our own choice."""


KERF = 2.0
"""Width of the saw's cut between two pieces of one plain tube [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A tube of the frame, and what it is cut from."""

    facts: TubeFacts
    stock: StockTubeSpec | None
    fit: Fit | None
    why: str
    """Why there is none, in words; empty where there is one."""
    unit: int = 0
    """Which of the tubes of that name, from 1; several pieces of plain tube may be of one."""
    waste: float = 0.0
    """Length left over [mm]; of several pieces of one tube the last has it."""


def choose(facts: Sequence[TubeFacts], stock: TubeStock) -> list[Choice]:
    """Return what each tube is cut from: as many as can be, with the least waste.

    Pieces of plain tube share a plain tube as sold as long as there is room, the longest first. Every
    other one is cut from a tube of its own.
    """
    sold = stock.spec.tubes
    tried: dict[tuple[object, ...], list[Fit | Misfit]] = {}
    rows = []
    for one in facts:
        piece = Piece(one.tube.section, one.low, one.low + one.long_to_long, one.tube.material)
        key = (piece.section, round(one.low, 6), round(one.long_to_long, 6), piece.material)
        if key not in tried:
            tried[key] = [fit(piece, each) for each in sold]
        rows.append(tried[key])
    found = _sawn(facts, rows, sold)
    found |= _whole(facts, rows, sold, [at for at in range(len(facts)) if at not in found])
    return [
        found.get(at, Choice(one, None, None, _why(row, stock)))
        for at, (one, row) in enumerate(zip(facts, rows, strict=True))
    ]


def _sawn(
    facts: Sequence[TubeFacts],
    rows: Sequence[Sequence[Fit | Misfit]],
    sold: Sequence[StockTubeSpec],
) -> dict[int, Choice]:
    """Return the pieces that are sawn from plain tubes, by their place in `facts`."""
    plain_ones = [i for i, each in enumerate(sold) if is_plain(section_of(each))]
    bars: list[tuple[int, int, float, list[int]]] = []  # kind, number of it, used length, pieces
    found: dict[int, Choice] = {}
    for at in sorted(range(len(facts)), key=lambda i: -facts[i].long_to_long):
        long = facts[at].long_to_long
        kinds = [i for i in plain_ones if isinstance(rows[at][i], Fit)]
        kinds.sort(key=lambda i: sold[i].length)
        bar = next(
            (n for n, (kind, _, used, _) in enumerate(bars)
             if kind in kinds and used + KERF + long <= sold[kind].length), None,
        )  # fmt: skip
        if bar is None:
            opened = Counter(kind for kind, *_ in bars)
            kind = next((i for i in kinds if opened[i] < _count(sold[i])), None)
            if kind is None:
                continue
            bar = len(bars)
            bars.append((kind, opened[kind] + 1, -KERF, []))
        kind, number, used, pieces = bars[bar]
        begin = used + KERF
        rest = sold[kind].length - begin - long
        bars[bar] = (kind, number, begin + long, [*pieces, at])
        made = Fit(begin, rest, turned=False, butts=None, thicker=0.0, excess=0.0)
        found[at] = Choice(facts[at], sold[kind], made, "", number)
    for kind, _, used, pieces in bars:
        found[pieces[-1]] = replace(found[pieces[-1]], waste=sold[kind].length - used)
    return found


def _whole(
    facts: Sequence[TubeFacts],
    rows: Sequence[Sequence[Fit | Misfit]],
    sold: Sequence[StockTubeSpec],
    left: Sequence[int],
) -> dict[int, Choice]:
    """Return the pieces that take a tube each, by their place in `facts`."""
    from scipy.optimize import linear_sum_assignment

    units = [
        (i, number)
        for i, each in enumerate(sold)
        if not is_plain(section_of(each))
        for number in range(1, int(min(_count(each), len(left))) + 1)
    ]
    found: dict[int, Choice] = {}
    if not units or not left:
        return found
    costs = np.array([[_cost(rows[at][i]) for i, _ in units] for at in left])
    for row, unit in zip(*linear_sum_assignment(costs), strict=True):
        at, (kind, number) = left[int(row)], units[int(unit)]
        result = rows[at][kind]
        if isinstance(result, Fit):
            found[at] = Choice(facts[at], sold[kind], result, "", number, result.waste)
    return found


def _count(stock: StockTubeSpec) -> float:
    """Return how many there are of a tube."""
    return np.inf if stock.count is None else stock.count


def _cost(result: Fit | Misfit) -> float:
    return result.waste + EXCESS * result.excess if isinstance(result, Fit) else NONE


def _why(row: Sequence[Fit | Misfit], stock: TubeStock) -> str:
    """Return why none of the tubes can be taken: all in use, or how the nearest misses."""
    fits = [i for i, result in enumerate(row) if isinstance(result, Fit)]
    if fits:
        named = ", ".join(_named(stock, i) for i in fits)
        return f"too few are left of {named}"
    misses = [(i, result) for i, result in enumerate(row) if isinstance(result, Misfit)]
    at, nearest = min(misses, key=lambda one: (-CAUSES.index(one[1].cause), one[1].by))
    return f"nearest is {_named(stock, at)}, which {nearest.text}"


def _named(stock: TubeStock, index: int) -> str:
    """Return a tube's name with its line."""
    line = stock.line(index)
    where = "" if line is None else f" (line {line})"
    return f"{stock.spec.tubes[index].name}{where}"


def stock_faults(bike: Bike, choices: Sequence[Choice], stock: TubeStock) -> list[Fault]:
    """Return a fault for each tube that can be cut from none; once for a pair alike."""
    found: dict[tuple[str, str], Fault] = {}
    for choice in choices:
        key = choice.facts.tube.key
        if choice.stock is None:
            fault = bike.frame.spec.fault(
                "stock",
                f"tubes.{key}",
                f"{plain(key)}: no tube of {stock.source} can be cut to it: {choice.why}",
                "another tube in the list, or order one: cut list and order list say which",
            )
            found.setdefault((key, choice.why), fault)
    return list(found.values())
