"""The engine that evaluates in processes of its own, as many as there are processors."""

from __future__ import annotations

import os
import time
from collections.abc import Iterable, Iterator, Sequence
from multiprocessing.connection import wait
from typing import Final, Self

from frame3d.explore.engines.engine import LeftOut, Make, engine_error
from frame3d.explore.engines.ordered import Ordered, Piece
from frame3d.explore.engines.pace import TARGET, Pace, Paces
from frame3d.explore.engines.process_worker import Hand
from frame3d.explore.engines.work import Worked
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study

PATIENCE: Final = 300.0
"""Time after which a piece counts as hung [s]; its process is ended."""
_WINDOW: Final = 4
"""Pieces for each worker that may be on their way, or wait for an earlier one."""
_STARTS: Final = 3
"""Processes in a row that may end before they are ready."""


class Processes:
    """Evaluates in processes of its own, which are started when first needed.

    One that ends, or hangs, is replaced; `Ordered` says what becomes of its designs.
    """

    def __init__(
        self,
        make: Make,
        workers: int | None = None,
        *,
        target: float = TARGET,
        patience: float = PATIENCE,
    ) -> None:
        """Prepare the engine.

        Args:
            make: what makes evaluators.
            workers: how many processes; as many as processors where not given.
            target: time that a piece is to take [s].
            patience: time after which a piece counts as hung [s].
        """
        self.make = make
        self.workers = workers or usable_processors()
        self.patience = patience
        self._paces = Paces(target)
        self.left_out: list[LeftOut] = []
        self._busy: dict[Hand, tuple[Piece | None, float]] = {}
        """Processes at work: their piece, None for one of an earlier run; and until when."""
        self._idle: list[Hand] = []
        self._failed_starts = 0

    def run(self, study: Study, designs: Iterable[Sequence[Design]]) -> Iterator[list[Evaluation]]:
        """Yield results; see `frame3d.explore.engines.engine.Engine.run`."""
        pace = self._paces.of(study, self.workers)
        ordered = Ordered(pace.pieces(designs), _WINDOW * self.workers)
        try:
            while True:
                self._hand_out(study, ordered)
                for found in ordered.done():
                    self.left_out += found.left_out
                    yield list(found.evaluations)
                self._hand_out(study, ordered)
                if ordered.is_empty:
                    return
                self._listen(ordered, pace)
        finally:  # what is under way is of no use to a later run
            self._busy = {hand: (None, until) for hand, (_, until) in self._busy.items()}

    def close(self) -> None:
        """End all processes."""
        for hand in (*self._busy, *self._idle):
            hand.end()
        self._busy.clear()
        self._idle.clear()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def _hand_out(self, study: Study, ordered: Ordered) -> None:
        """Give a piece to each process that has none, as long as there are pieces."""
        while len(self._busy) < self.workers:
            piece = ordered.take()
            if piece is None:
                return
            hand = self._idle.pop() if self._idle else Hand(self.make)
            self._busy[hand] = (piece, time.monotonic() + self.patience)
            hand.send(study, piece.designs)

    def _listen(self, ordered: Ordered, pace: Pace) -> None:
        """Wait until a process says something, ends, or has been silent for too long."""
        until = min(until for _, until in self._busy.values())
        by_pipe = {hand.pipe: hand for hand in self._busy}
        speaking = wait(list(by_pipe), max(0.0, until - time.monotonic()))
        for hand in [by_pipe[pipe] for pipe in by_pipe if pipe in speaking]:
            try:
                found = hand.receive()
            except EOFError:
                self._lost(hand, ordered)
                continue
            self._failed_starts = 0
            if found is not None:
                self._found(hand, found, pace)
        now = time.monotonic()
        for hand in [hand for hand, (_, until) in self._busy.items() if until <= now]:
            self._lost(hand, ordered)

    def _found(self, hand: Hand, found: Worked, pace: Pace) -> None:
        piece, _ = self._busy.pop(hand)
        self._idle.append(hand)
        if piece is not None:
            piece.found = found.or_fault()
            pace.took(len(piece.designs), found.seconds)

    def _lost(self, hand: Hand, ordered: Ordered) -> None:
        piece, _ = self._busy.pop(hand)
        hand.end()
        if not hand.greeted:
            self._failed_starts += 1
            if self._failed_starts >= _STARTS:
                raise engine_error(
                    "processes end before they are ready to work",
                    "free some memory, or go without them (--engine serial); a script of your own calls "
                    "frame3d below if __name__ == '__main__':",
                )
        if piece is not None:
            ordered.lost(piece)


def usable_processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return max(1, len(os.sched_getaffinity(0)))
    return os.cpu_count() or 1
