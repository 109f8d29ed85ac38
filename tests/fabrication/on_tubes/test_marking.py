"""Panels of marks: which share paper, where its edges and its middle line are, where none lies on."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.marking import Marking, marking_of, unlaid_notes
from frame3d.fabrication.on_tubes.marks import marks_of
from frame3d.fabrication.tube_facts import facts_of
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.featured import featured, one_tube
from tests.frames import bar, context


def marking(bike: Bike, name: str) -> Marking:
    bodies = bodies_of(bike.frame)
    facts = [facts_of(t, bodies, Cutting(t, bodies)) for t in bike.tubes]
    one = next(f for f in facts if f.tube.name == name)
    return marking_of(one, [m for m in marks_of(bike, facts) if m.tube.name == name])


def numbers(found: Marking) -> list[list[str]]:
    return [[number for number, _, _ in panel.crosses] for panel in found.panels]


def test_near_marks_share_a_panel_and_far_ones_do_not() -> None:
    row: dict[str, Any] = {"kind": "vent", "from_start": 200, "count": 3}
    assert numbers(marking(one_tube(row | {"spacing": 60}), "beam")) == [["1", "2", "3"]]
    assert numbers(marking(one_tube(row | {"spacing": 90}), "beam")) == [["1"], ["2"], ["3"]]


def test_edges_of_the_paper_are_whole_from_the_cut_end() -> None:
    bike = featured()
    (low, panel) = (bike.tube("down_tube").start.long_point, marking(bike, "down_tube").panels[0])
    for edge in (panel.low, panel.high):
        assert (edge - low) / 5.0 == pytest.approx(round((edge - low) / 5.0))
    start, end = f"{panel.low - low:.0f}", f"{panel.high - low:.0f}"
    assert panel.texts[1] == f"edges {start} and {end} mm from the long point of the start"


def test_no_mark_lies_on_the_seam() -> None:
    for angle in (0, 90, 180, -90, 135):
        (panel,) = marking(
            one_tube({"kind": "port", "from_start": 200, "angle": angle, "width": 9}), "beam"
        ).panels
        x = np.concatenate([path[:, 0] for path in panel.outer])
        assert len(panel.outer) == 1
        assert np.abs(x).max() < panel.width / 2 * (1 - 20 / 180)
        at = panel.crosses[0][1]
        assert (x.min() + x.max()) / 2 == pytest.approx(at, abs=1e-6)


def test_paper_ends_where_the_tube_does() -> None:
    (panel,) = marking(featured(), "seat_tube").panels
    tube = featured().tube("seat_tube")
    assert panel.high == pytest.approx(tube.axis.length - tube.end.long_point)


def bent(**feature: Any) -> Bike:
    """A tube that bends from 100 mm on."""
    tube = bar(30.0, (-100.0, 0.0, 100.0), (300.0, 0.0, 220.0), 1.0)
    tube["bends"] = [{"along": 120.0, "radius": 160.0, "rise": -25.0}]
    return context({"beam": tube | {"features": {"it": {"kind": "vent"} | feature}}})


def test_a_bend_has_no_template_and_says_so() -> None:
    bike = bent(from_start=122.0)
    found = marking(bike, "beam")
    assert found.panels == ()
    assert len(found.without) == 1
    (note,) = unlaid_notes(bike, found)
    assert note.path == "tubes.beam.features.it"
    assert "no marking template" in note.message


def test_beside_a_bend_paper_ends_at_the_bend() -> None:
    bike = bent(from_start=50.0)
    (panel,) = marking(bike, "beam").panels
    first = float(bike.tube("beam").axis.starts[1])
    assert panel.high <= first
    assert not list(unlaid_notes(bike, marking(bike, "beam")))


def test_a_change_of_the_outside_divides_marks() -> None:
    """A taper of 40 mm between two bosses: each on paper of its own side, one on the edge on none."""
    od = {"start": 34, "end": 40, "after": 180, "over": 40}
    row: dict[str, Any] = {"kind": "boss", "from_start": 200, "spacing": 64}
    assert numbers(marking(one_tube(row, od=od), "beam")) == [["1"], ["2"]]
    assert marking(one_tube(row | {"from_start": 212}, od=od), "beam").without
