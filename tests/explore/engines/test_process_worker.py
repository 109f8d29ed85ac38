"""One worker process as its parent sees it."""

from __future__ import annotations

import os

import pytest

from frame3d.explore.engines.process_worker import Hand
from tests.explore.fakes import STUDY, Formula, designs, result


def test_it_greets_works_and_ends() -> None:
    before = dict(os.environ)
    hand = Hand(Formula)
    try:
        assert dict(os.environ) == before  # one thread each is the child's affair
        assert hand.receive() is None
        assert hand.greeted
        piece = tuple(designs(3))
        hand.send(STUDY, piece)
        worked = hand.receive()
        assert worked is not None
        assert worked.evaluations == tuple(result(design) for design in piece)
    finally:
        hand.end()
    with pytest.raises(EOFError):
        hand.receive()
