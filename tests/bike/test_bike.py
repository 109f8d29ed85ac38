"""The hub: a bike shows its frame's pieces, and its tubes by name."""

from __future__ import annotations

import pytest

from tests.bikes import hardtail_layout


def test_tubes_by_name() -> None:
    bike = hardtail_layout()
    for tube in bike.tubes:
        assert bike.tube(tube.name) is tube
    assert bike.tube("chainstay_left").side == "left"
    for wrong in ("chainstay", "Down_tube", ""):
        with pytest.raises(KeyError, match=f"'{wrong}'"):
            bike.tube(wrong)


def test_the_frames_pieces_are_the_bikes() -> None:
    bike = hardtail_layout()
    frame = bike.frame
    assert (bike.tubes, bike.shell, bike.dropouts) == (frame.tubes, frame.shell, frame.dropouts)
    assert (bike.bores, bike.pivots) == (frame.bores, frame.pivots)
    assert bike.shell is not None
    assert [dropout.side for dropout in bike.dropouts] == ["left", "right"]
