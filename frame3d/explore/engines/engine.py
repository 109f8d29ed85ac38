"""What an engine is: it evaluates designs, wherever that is, and gives results in their order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol, Self

from frame3d.errors import Fault, FrameError
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study


class Evaluates(Protocol):
    """Evaluates designs of a study; the same result for a design whatever it is asked with."""

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        """Return the results of designs, in their order."""


Make = Callable[[Study], Evaluates]
"""Makes an evaluator: a class or function at the top of a module, or a `functools.partial` of one, so
that other processes can take it over."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A design without a result: frame3d failed at it, or ended with it."""

    design: Design
    why: str


class EngineError(FrameError):
    """An engine cannot be used, or was lost."""


def engine_error(message: str, hint: str) -> EngineError:
    """Return the error about an engine."""
    return EngineError(Fault("engine", "", message, hint))


class Engine(Protocol):
    """Evaluates designs. Used in a ``with`` block, its workers are kept from one run to the next."""

    left_out: list[LeftOut]
    """Designs that have no result, as they were found."""

    def run(self, study: Study, designs: Iterable[Sequence[Design]]) -> Iterator[list[Evaluation]]:
        """Yield results in the order of the designs, in lists of any length.

        Args:
            study: what the designs are values for.
            designs: batches of them, taken one after the other as workers are free.

        Raises:
            FrameError: the study cannot be evaluated at all, or the engine is lost. What was yielded
                before is right.
        """

    def __enter__(self) -> Self: ...

    def __exit__(self, *error: object) -> None: ...
