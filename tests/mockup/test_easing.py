"""A hardtail at 1:18, where thickened parts meet: it is thickened less, and its name plate lies flatter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from manifold3d import Manifold

from frame3d.mockup.meeting import clearance, gap, meetings
from frame3d.mockup.model import assembled
from frame3d.mockup.options import THIN_ROD, THIN_WALL
from frame3d.mockup.parts.cranks import cranks
from frame3d.mockup.parts.frame import frame
from frame3d.mockup.solid import block, bounds
from frame3d.mockup.thicken import Ledger
from tests.mockup.samples import drawing, made


def test_what_would_meet_is_thickened_less_and_told() -> None:
    found = made(scale="1:18")
    assert list(meetings(found.parts)) == []
    sizes = {(e.part, e.size): e.printed for e in found.drawing.ledger.entries}
    assert THIN_ROD <= sizes["chainstay", "height"] < 2.0
    assert sizes["seatstay", "diameter"] == pytest.approx(2.0), "meets nothing"
    assert THIN_WALL <= sizes["crank_arm", "thickness"] <= 1.2
    told = "; ".join(found.changes)
    assert "chainstay: height" in told
    assert "frame and crank arm right" in told
    assert "name plate leans back by" in told


def test_nothing_is_told_where_nothing_meets() -> None:
    assert made().changes == ()
    assert made().drawing.eased == {}


def test_the_thickening_is_the_largest_that_keeps_the_clearance() -> None:
    """At 1:14: at the share found the clearance is kept, a little above it no longer."""
    found = assembled(drawing(("cranks",), 1 / 14)).drawing
    (share,) = set(found.eased.values())
    assert 0 < share < 1
    for more, keeps in ((0.0, True), (0.05, False)):
        trial = replace(found, eased=dict.fromkeys(found.eased, share + more), ledger=Ledger())
        arm = next(part.solid for part in cranks(trial).parts if part.name == "crank_arm_right")
        room = clearance(found.options, "frame", "crank_arm_right")
        apart = gap(frame(trial).parts[0].solid, arm, _beside_stays(arm), room)
        assert (apart >= 0.95 * room) is keeps, (share, apart)


def _beside_stays(arm: Manifold) -> Manifold:
    """The block around the arm but for its boss, which runs on the shell."""
    box = bounds(arm)
    grown = box + np.array([[-2.0], [2.0]])
    return block(grown[0], (box[1, 0] - 12.0, *grown[1, 1:]))
