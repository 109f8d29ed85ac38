"""Bikes beside the one in view: other sizes and settings of its text, and other texts in its size."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import Final

from frame3d.bike.choice import Choice
from frame3d.chart.cache import ROOM, Cache
from frame3d.clearance.scene import pictured_scene
from frame3d.family.members import Member, Missing, solved
from frame3d.family.wanted import Source, Wanted
from frame3d.live.solved_text import SolvedText
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading.variant_tree import MOST

HELD: Final = 2 * MOST
"""Number of bikes that are kept: all sizes of a file, twice."""


@dataclass(frozen=True, slots=True)
class Other:
    """A bike, or why there is none."""

    outcome: Member | Missing
    solved: SolvedText | None
    """None where there is none."""


class Others:
    """Solves bikes with one cache, and keeps the last ones. One thread at a time may solve."""

    def __init__(self, source: str) -> None:
        """Keep nothing yet.

        Args:
            source: the file's name, for faults.
        """
        self._source = Source(source, "")
        self._memory = Cache(2 * ROOM)
        self._known: OrderedDict[tuple[str, Choice], Other] = OrderedDict()
        self._turn = Lock()

    def known(self, text: str, choice: Choice) -> Other | None:
        """Return a bike that was solved before; None where it was not."""
        return self._known.get((text, choice))

    def solve(self, text: str, choice: Choice) -> Other:
        """Return a bike of a text, solved unless it is known; for a thread of its own."""
        with self._turn:
            known = self._known.get((text, choice))
            if known is not None:
                return known
            try:
                made = self._make(text, choice)
            except Exception:  # the cache may hold half a result
                self._memory = Cache(2 * ROOM)
                raise
            self._known[text, choice] = made
            if len(self._known) > HELD:
                self._known.popitem(last=False)
            return made

    def _make(self, text: str, choice: Choice) -> Other:
        if text != self._source.text:
            self._source = Source(self._source.name, text)
        label = label_of(choice)
        outcome = solved(Wanted(self._source, choice), label, self._memory)
        if isinstance(outcome, Missing):
            return Other(outcome, None)
        scene = pictured_scene(outcome.bike)
        return Other(outcome, SolvedText(text, outcome.bike, scene, choice))


def label_of(choice: Choice) -> str:
    """Return the name of a bike among those of its file: ``L``, ``L low``, ``low``; maybe empty."""
    return " ".join(name for name in (choice.size, *choice.settings) if name)


def sizes_of(offered: Variants, choice: Choice) -> tuple[Choice, ...]:
    """Return each size that a file offers, with the settings of a choice."""
    return tuple(Choice(size, choice.settings).fitted(offered) for size in offered.sizes)
