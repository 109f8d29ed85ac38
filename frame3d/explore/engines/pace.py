"""Cut designs into pieces that take about half a second each."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from frame3d.explore.study.study import Design, Study

TARGET: Final = 0.5
"""Time that a piece is to take [s]: long beside handing it over, short beside a run."""
MOST: Final = 5_000
"""Largest number of designs in a piece."""
_GROWTH: Final = 4
"""A piece is at most so many times one measured before: the first ones also make things ready."""


class Pace:
    """How many designs a worker gets at once, from the time that the last ones took."""

    def __init__(self, workers: int, target: float = TARGET) -> None:
        self.workers, self.target = workers, target
        self._size = 1

    @property
    def size(self) -> int:
        """Largest number of designs in a piece at present."""
        return self._size

    def took(self, count: int, seconds: float) -> None:
        """Take note of the time that a piece of `count` designs took [s]."""
        if count > 0:
            fitting = math.floor(count * self.target / max(seconds, 1e-9))
            # The last pieces of a batch are small because it ends, not because more would take too long.
            self._size = max(1, min(fitting, max(_GROWTH * count, self._size), MOST))

    def pieces(self, batches: Iterable[Sequence[Design]]) -> Iterator[tuple[Design, ...]]:
        """Yield the designs of batches in pieces, as large as `size` is when each is taken.

        The last pieces of a batch are small enough for every worker to have one.
        """
        for batch in batches:
            begin = 0
            while begin < len(batch):
                share = math.ceil((len(batch) - begin) / self.workers)
                end = begin + min(self._size, share)
                yield tuple(batch[begin:end])
                begin = end


class Paces:
    """Keeps the pace of the last study, so that a run goes on as fast as the one before."""

    def __init__(self, target: float = TARGET) -> None:
        self._target = target
        self._last: tuple[Study, Pace] | None = None

    def of(self, study: Study, workers: int) -> Pace:
        """Return the pace of a study, for so many workers."""
        if self._last is None or self._last[0] != study:
            self._last = (study, Pace(workers, self._target))
        self._last[1].workers = workers
        return self._last[1]
