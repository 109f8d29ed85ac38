r"""Stretches of tubes with features, unrolled: what is drilled, where middles are, what stands there.

One panel has all marks of a tube that are near to each other:

      seam      line     middle line    line     seam
       +---------+----------+------------+--------+   edges square around the tube, whole 5 mm from
       |         |    .--.  |            |        |   the long point of the tube's start
       |         |    | +| 3|            |        |   full line: edge of a hole (CUT)
       |         |    '--'  |            |        |   cross and number: a middle
       +---------+----------+------------+--------+
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.errors import Note
from frame3d.fabrication.develop import Development
from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.template import BODY, SLIGHT, Panel, half_turn, laid
from frame3d.fabrication.tube_facts import TubeFacts, line_name, plain
from frame3d.geometry.centreline import Arc
from frame3d.tubes.cuts.edge import EdgePlace
from frame3d.tubes.tube import Tube

APART: Final = 60.0
"""Marks with less than this between them along the tube share a panel [mm]; two need more paper."""
CLEAR: Final = 25.0
"""Least angle between a mark and the paper's seam, where another middle line gives it [degrees]."""


@dataclass(frozen=True)
class Marking:
    """Marks of one tube on paper."""

    panels: tuple[Panel, ...]
    without: tuple[Mark, ...]
    """Marks on a bend, or where the outside changes its slope: no flat paper lies on there."""


@dataclass(frozen=True)
class _Reach:
    """A mark with all that it needs of the tube's length, and the stretch on which paper lies flat."""

    mark: Mark
    low: float
    high: float
    stretch: tuple[float, float]


def marking_of(facts: TubeFacts, marks: Sequence[Mark]) -> Marking:
    """Return the panels of one tube's marks, from start to end.

    Args:
        facts: of the tube.
        marks: those on this tube.
    """
    flats = _flats(facts.tube)
    reached, without = [], []
    for mark in marks:
        found = _reach(mark, flats)
        if found is None:
            without.append(mark)
        else:
            reached.append(found)
    groups: list[list[_Reach]] = []
    for one in sorted(reached, key=lambda r: (r.stretch, r.low)):
        last = groups[-1] if groups else None
        if last and last[0].stretch == one.stretch and one.low - max(r.high for r in last) < APART:
            last.append(one)
        else:
            groups.append([one])
    return Marking(tuple(_panel(facts, group) for group in groups), tuple(without))


def unlaid_notes(bike: Bike, marking: Marking) -> Iterator[Note]:
    """Yield a warning of each feature whose marks have no template."""
    for path, tube, name in dict.fromkeys(
        (mark.feature.path, mark.tube.name, mark.feature.name) for mark in marking.without
    ):
        yield bike.spec.note(
            "warning",
            f"{plain(name)} on {plain(tube)}: it reaches into a bend, or to where the outside changes, "
            "and has no marking template; the page of marks says where it is measured",
            path,
        )


def _flats(tube: Tube) -> list[tuple[float, float]]:
    """Return the stretches of a tube between bends and changes of its outside: low and high s [mm]."""
    cuts = [tube.section.s[i] for i in tube.section.corners[1:-1]]
    bends = []
    for start, piece in zip(tube.axis.starts.tolist(), tube.axis.pieces, strict=False):
        if isinstance(piece, Arc):
            bends.append((start, start + piece.length))
            cuts += bends[-1]
    places = [-math.inf, *sorted(cuts), math.inf]
    return [
        (a, b)
        for a, b in pairwise(places)
        if b > a and not any(c <= a and b <= d for c, d in bends)
    ]


def _reach(mark: Mark, flats: Sequence[tuple[float, float]]) -> _Reach | None:
    """Return what a mark reaches over; None where no flat paper lies on all of it."""
    outlines = [*mark.cut, *([] if mark.covered is None else [mark.covered])]
    s = np.concatenate([[mark.s], *(outline.s for outline in outlines)])
    low, high = float(s.min()), float(s.max())
    for a, b in flats:
        if a - SLIGHT <= low and high <= b + SLIGHT:
            return _Reach(mark, low, high, (a, b))
    return None


def _panel(facts: TubeFacts, group: Sequence[_Reach]) -> Panel:
    tube, start = facts.tube, facts.low
    least = max(group[0].stretch[0], start)
    most = min(group[0].stretch[1], start + facts.long_to_long)
    first, last = min(r.low for r in group), max(r.high for r in group)
    low = start + 5.0 * math.floor((first - BODY - start) / 5.0)
    high = start + 5.0 * math.ceil((last + BODY - start) / 5.0)
    low, high = min(max(low, least), first), max(min(high, most), last)
    marks = sorted((r.mark for r in group), key=lambda mark: mark.number)
    flat = Development(tube.section, low, high, _middle(facts, marks))
    crosses = []
    for mark in marks:
        turn = half_turn(np.array([flat.centre - mark.phi]))
        x, y = flat.at(turn, np.array([mark.s]))[0]
        crosses.append((str(mark.number), float(x), float(y)))
    names = [
        line_name(tube, (low + high) / 2, flat.centre - turn) for turn in (-180.0, -90.0, 0.0, 90.0)
    ]
    return Panel(
        place=EdgePlace("hole", (), low, high),
        flat=flat,
        low=low,
        high=high,
        spread=np.zeros((0, 2)),
        outer=laid(flat, [outline for mark in marks for outline in mark.cut]),
        inner=(),
        straight=None,
        keep=None,
        texts=_texts(facts, marks, low, high),
        lines=(names[0], names[1], names[2], names[3]),
        covered=laid(flat, [mark.covered for mark in marks if mark.covered is not None]),
        crosses=tuple(crosses),
    )


def _middle(facts: TubeFacts, marks: Sequence[Mark]) -> float:
    """Return phi of the paper's middle line: the mitre templates', unless a mark is at the seam."""
    outlines = [o for m in marks for o in (*m.cut, *([] if m.covered is None else [m.covered]))]

    def room(centre: float) -> float:
        turns = [half_turn(centre - outline.phi) for outline in outlines]
        turns.append(half_turn(np.array([centre - mark.phi for mark in marks])))
        return 180.0 - float(np.abs(np.concatenate(turns)).max())

    lines = [facts.middle + turn for turn in (0.0, 180.0, 90.0, -90.0)]
    return next((line for line in lines if room(line) >= CLEAR), max(lines, key=room))


def _texts(facts: TubeFacts, marks: Sequence[Mark], low: float, high: float) -> tuple[str, str]:
    numbers = ", ".join(str(mark.number) for mark in marks)
    names = ", ".join(dict.fromkeys(plain(mark.feature.name) for mark in marks))
    start, end = low - facts.low, high - facts.low
    return (
        f"{numbers} · {names}",
        f"edges {_short(start)} and {_short(end)} mm from the long point of the start",
    )


def _short(length: float) -> str:
    return f"{length:z.2f}".rstrip("0").rstrip(".")
