"""A hardtail at 1:18, where thickened parts meet: it is thickened less, and its desk moved out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.mockup.meeting import clearance, gap, meetings, neighbourhood
from frame3d.mockup.model import assembled
from frame3d.mockup.options import THIN_ROD, THIN_WALL
from frame3d.mockup.solid import bounds
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
    assert "name plate is moved out" in told


def test_nothing_is_told_where_nothing_meets() -> None:
    assert made().changes == ()
    assert made().drawing.eased == {}


def test_the_thickening_is_the_largest_that_keeps_the_clearance() -> None:
    """At a scale where a share between none and all of it does: there, and no longer a little above."""
    start = drawing(("cranks",), 1 / 13)
    met = next(iter(meetings(assembled(replace(start, eased={})).parts)), None)
    assert met is None
    found = assembled(drawing(("cranks",), 1 / 13)).drawing
    if not found.eased:
        pytest.skip("nothing meets at this scale")
    (share,) = set(found.eased.values())
    for more, keeps in ((0.0, True), (0.1, False)):
        names = dict.fromkeys(found.eased, min(share + more, 1.0))
        parts = {p.name: p for p in assembled(replace(found, eased=names, ledger=Ledger())).parts}
        a, b = parts["frame"].solid, parts["crank_arm_right"].solid
        room = clearance(found.options, "frame", "crank_arm_right")
        assert (gap(a, b, neighbourhood(bounds(b)), room) >= 0.95 * room) is keeps
