"""Pieces of designs on their way: results in order, and pieces whose worker was lost tried again.

A worker may be lost for reasons of its own (killed, a machine switched off) or because of a design. So
the designs of a lost piece are tried again one by one; a design that is lost alone for the second time
is left out::

    piece 7 (a b c d)  lost
        a  done     b  done     c  lost     d  done
                                c  lost again: left out
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from frame3d.explore.engines.engine import LeftOut
from frame3d.explore.engines.work import Worked
from frame3d.explore.study.study import Design

WHY: Final = "its worker process ended or hung, twice, with this design alone"


@dataclass(eq=False)
class Piece:
    """Designs that are evaluated together, or one that is tried again alone."""

    designs: tuple[Design, ...]
    whole: Piece | None = None
    """The piece that it was part of."""
    losses: int = 0
    """How often a worker was lost with it, alone."""
    tries: int = 0
    """How often its result was lost on the way, for no fault of its own."""
    found: Worked | None = None
    parts: list[Piece] = field(default_factory=list)

    @property
    def is_second(self) -> bool:
        """Whether it is one design that is tried again, because a worker was lost with it."""
        return self.whole is not None or self.losses > 0

    @property
    def is_done(self) -> bool:
        """Whether all its designs have a result or are left out."""
        return self.found is not None or (
            bool(self.parts) and all(part.is_done for part in self.parts)
        )

    def results(self) -> Iterator[Worked]:
        """Yield what it gave, in the order of its designs."""
        if self.found is not None:
            yield self.found
        for part in self.parts:
            yield from part.results()


class Ordered:
    """Pieces in order of submission, at most `window` of them at a time."""

    def __init__(self, pieces: Iterator[tuple[Design, ...]], window: int) -> None:
        self._source = pieces
        self.window = window
        """Most pieces that are on their way or wait for an earlier one."""
        self._pieces: deque[Piece] = deque()
        self._again: deque[Piece] = deque()
        self._is_over = False

    def take(self) -> Piece | None:
        """Return the piece to evaluate next; None where none is, at present or at all."""
        if self._again:
            return self._again.popleft()
        if self._is_over or len(self._pieces) >= self.window:
            return None
        designs = next(self._source, None)
        if designs is None:
            self._is_over = True
            return None
        piece = Piece(designs)
        self._pieces.append(piece)
        return piece

    def lost(self, piece: Piece) -> None:
        """Take note that a worker was lost with a piece."""
        if len(piece.designs) > 1:
            piece.parts = [Piece((design,), piece) for design in piece.designs]
            self._again.extend(piece.parts)
            return
        piece.losses += 1
        if piece.losses > 1:
            piece.found = Worked(left_out=(LeftOut(piece.designs[0], WHY),))
        else:
            self._again.append(piece)

    def done(self) -> Iterator[Worked]:
        """Yield the results of the first pieces as far as they are done, and forget them."""
        while self._pieces and self._pieces[0].is_done:
            yield from self._pieces.popleft().results()

    @property
    def is_empty(self) -> bool:
        """Whether no piece is on its way, and none is to come."""
        return self._is_over and not self._pieces
