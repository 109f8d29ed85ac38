"""The engine that evaluates in this process, one piece after the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Self

from frame3d.explore.engines.engine import LeftOut, Make
from frame3d.explore.engines.pace import Paces
from frame3d.explore.engines.work import Evaluators, work
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study


class Serial:
    """Evaluates in this process."""

    def __init__(self, make: Make) -> None:
        """Take what makes evaluators."""
        self.make = make
        self.left_out: list[LeftOut] = []
        self._evaluators = Evaluators()
        self._paces = Paces()

    def run(self, study: Study, designs: Iterable[Sequence[Design]]) -> Iterator[list[Evaluation]]:
        """Yield results; see `frame3d.explore.engines.engine.Engine.run`."""
        pace = self._paces.of(study, 1)
        for piece in pace.pieces(designs):
            found = work(self._evaluators, self.make, study, piece).or_fault()
            pace.took(len(piece), found.seconds)
            self.left_out += found.left_out
            yield list(found.evaluations)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        """Nothing is to be ended."""
