"""Evaluate a piece of designs, in whatever process; what fails is told and left out."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from frame3d.errors import Fault, FrameError
from frame3d.explore.engines.engine import EngineError, Evaluates, LeftOut, Make
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study

LONGEST = 300
"""Characters of a defect that users are told."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What a piece gave."""

    evaluations: tuple[Evaluation, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    seconds: float = 0.0
    """Time that it took [s]."""
    faults: tuple[Fault, ...] = ()
    """Why the study cannot be evaluated at all; none where it can."""

    def or_fault(self) -> Worked:
        """Return it.

        Raises:
            EngineError: the study cannot be evaluated.
        """
        if self.faults:
            raise EngineError(self.faults)
        return self


class Evaluators:
    """Makes the evaluator of a study once, and keeps that of the last one."""

    def __init__(self) -> None:
        self._last: tuple[Make, Study, Evaluates] | None = None

    def of(self, make: Make, study: Study) -> Evaluates:
        """Return the evaluator of a study.

        Raises:
            FrameError: it cannot be made.
        """
        if self._last is None or self._last[1] != study or not _same(self._last[0], make):
            self._last = (make, study, make(study))
        return self._last[2]


def _same(one: Make, other: Make) -> bool:
    """Whether two makers are one; partials that came from another process are compared by parts."""
    return one == other or (
        getattr(one, "func", one) == getattr(other, "func", other)
        and getattr(one, "args", ()) == getattr(other, "args", ())
        and getattr(one, "keywords", {}) == getattr(other, "keywords", {})
    )


def work(evaluators: Evaluators, make: Make, study: Study, designs: Sequence[Design]) -> Worked:
    """Return the results of designs; one with a defect of frame3d's own is left out, and says so."""
    begun = time.perf_counter()
    try:
        evaluator = evaluators.of(make, study)
    except FrameError as error:
        return Worked(faults=tuple(error.faults))
    try:
        return Worked(tuple(evaluator.evaluate(designs)), (), time.perf_counter() - begun)
    except Exception as error:
        if len(designs) == 1:
            why = f"frame3d has a defect: {type(error).__name__}: {error}"[:LONGEST]
            return Worked((), (LeftOut(designs[0], why),), time.perf_counter() - begun)
    parts = [work(evaluators, make, study, [design]) for design in designs]
    return Worked(
        tuple(one for part in parts for one in part.evaluations),
        tuple(one for part in parts for one in part.left_out),
        time.perf_counter() - begun,
    )
