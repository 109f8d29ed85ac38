"""Which designs the page shows, the best first, and their number."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.exploration import Exploration
from frame3d.explore.study.study import Design

MOST: Final = 3000
"""How many designs a page shows at most."""


@dataclass(frozen=True)
class Shown:
    """The designs of a page, in its order."""

    exploration: Exploration
    rows: tuple[Evaluation, ...]
    """Kept ones first, then the front, then the others, by how far they are from what is asked."""

    @cached_property
    def place(self) -> dict[Design, int]:
        """Design -> its row."""
        return {one.design: i for i, one in enumerate(self.rows)}

    @cached_property
    def front(self) -> tuple[int, ...]:
        """Rows of the front, by the first preference."""
        preferences = self.exploration.study.preferences
        label = preferences[0].label if preferences else ""
        ordered = sorted(self.exploration.front, key=lambda one: one.values.get(label, 0.0))
        return tuple(self.place[one.design] for one in ordered)


def shown(exploration: Exploration, most: int = MOST) -> Shown:
    """Return the designs that the page shows.

    All where there is room; else the kept ones, the front, and evenly spread others, feasible
    ones before those that miss.
    """
    first = {kept.evaluation.design: kept.evaluation for kept in exploration.best}
    for one in exploration.front:
        first.setdefault(one.design, one)
    preferences = exploration.study.preferences

    def rank(one: Evaluation) -> tuple[bool, float, tuple[float, ...]]:
        wanted = ((p, one.values.get(p.label, np.inf)) for p in preferences)
        return (
            not one.feasible,
            one.total,
            tuple(value if p.least else -value for p, value in wanted),
        )

    others = {one.design: one for one in exploration.evaluations if one.design not in first}
    ordered = sorted(others.values(), key=rank)
    feasible = [one for one in ordered if one.feasible]
    missing = [one for one in ordered if not one.feasible]
    room = max(most - len(first), 0)
    chosen = _spread(feasible, room)
    chosen += _spread(missing, room - len(chosen))
    return Shown(exploration, (*first.values(), *chosen))


def _spread(ordered: list[Evaluation], count: int) -> list[Evaluation]:
    """Return so many of a list, evenly spread, the first among them."""
    if len(ordered) <= count:
        return ordered
    if count <= 0:
        return []
    places = np.floor(np.arange(count) * (len(ordered) / count)).astype(int)
    return [ordered[int(i)] for i in places]
