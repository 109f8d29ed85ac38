"""Templates: compound ends, openings, where no paper lies on."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

import frame3d
from frame3d.bike.bike import Bike
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.template import StepError
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.fabrication.bikes import CONFIGS, demo
from tests.fabrication.unrolled import panels, paths, sheets, texts
from tests.frames import bar, context

Array = NDArray[np.float64]


def test_the_sheet_shows_the_panels_edges_unscaled() -> None:
    layout = demo()
    start, end = panels(layout, "top_tube")
    (sheet,) = sheets(layout, "top_tube")
    drawn = paths(sheet, "CUT")
    for panel in (start, end):
        wanted = panel.outer[0]
        assert any(
            len(path) == len(wanted) and np.allclose(path - path[0], wanted - wanted[0], atol=1e-9)
            for path in drawn
        )


def test_a_compound_edge_lies_on_one_or_the_other_tube_and_turns_sharply_between() -> None:
    """A branch on two crossing cylinders: each point of its edge is as far from one of the axes as that
    cylinder's radius, and outside of the other.
    """
    layout = context(
        {
            "one": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "two": bar(30.0, (-141, 0, -141), (141, 0, 141)),
            "branch": bar(24.0, {"on": "one", "from_start": 200}, (200, 0, 40), 1.0),
        }
    )
    tube = layout.tube("branch")
    cutting = Cutting(tube, bodies_of(layout.frame))
    assert cutting.place("start").cutters == ("one", "two")
    (outline,) = cutting.outlines(cutting.place("start"))
    centre, up, across = tube.axis.frames(outline.s)
    turn = np.radians(outline.phi)
    points = centre + 12 * (np.cos(turn)[:, None] * up + np.sin(turn)[:, None] * across)
    from_one = np.hypot(points[:, 0], points[:, 1]) - 20.0
    d = np.array([1.0, 0.0, 1.0]) / np.sqrt(2)
    from_two = np.linalg.norm(points - (points @ d)[:, None] * d, axis=1) - 15.0
    np.testing.assert_allclose(np.minimum(from_one, from_two), 0.0, atol=1e-4)
    corners = (np.abs(from_one) < 1e-4) & (np.abs(from_two) < 1e-4)
    assert corners.sum() == 2
    assert abs(outline.phi[-1] - outline.phi[0]) == pytest.approx(360.0)


def test_a_square_end_that_stands_in_what_it_meets_is_drawn_and_named_as_coped() -> None:
    """Stopped 12 mm short of the axis of a shell of 40: its sides end on the shell, √(20² − 10²) away
    from the axis, its middle 20 mm away.
    """
    brace = bar(20.0, {"on": "bottom_bracket", "stop_short": 12.0}, (150, 0, 200), 1.0)
    layout = context({"brace": brace}, bottom_bracket={"shell": "threaded-73"})
    (sheet,) = sheets(layout, "brace")
    said = texts(sheet)
    assert "START · square cut, coped to bottom bracket at 90.00°" in said
    assert "long point 5.32, short point 8.00 from it" in said
    edge = panels(layout, "brace")[0].outer[0]
    assert (edge[:, 1].min(), edge[:, 1].max()) == pytest.approx((300**0.5 - 12, 8.0), abs=1e-6)


def test_what_cuts_a_tube_between_its_ends_gets_an_opening() -> None:
    layout = context(
        {
            "pin": bar(16.0, (150, -40, 0), (150, 40, 0)),
            "host": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "long": bar(30.0, {"on": "host", "from_start": 200}, (300, 0, 0), 1.0),
        }
    )
    kinds = [panel.place.at for panel in panels(layout, "long")]
    assert kinds == ["start", "hole", "end"]
    hole = next(panel for panel in panels(layout, "long") if panel.place.at == "hole")
    # The pin crosses the tube at 150 mm, 16 mm across: both openings are as long along the tube.
    assert (hole.place.low, hole.place.high) == pytest.approx((142.0, 158.0), abs=1e-6)
    assert len(hole.outer) >= 2


def test_a_short_tube_whose_cuts_run_into_each_other_has_one_template() -> None:
    layout = demo("trail_full_140")
    (panel,) = panels(layout, "pivot_strut")
    assert panel.place.at == "whole"
    assert {"bottom_bracket", "seat_tube", "down_tube"} <= set(panel.place.cutters)
    (sheet,) = sheets(layout, "pivot_strut")
    said = texts(sheet)
    assert "TUBE" in said  # which side of the line is metal
    low = panel.extent[0]
    assert low < 0 < panel.place.low  # the paper starts on the plain side of the crossing of axes
    assert f"{-low:g} mm before the start's crossing of axes" in said
    cutting = Cutting(layout.tube("pivot_strut"), bodies_of(layout.frame))
    assert panel.keep is not None
    phi = np.array([panel.flat.centre - panel.keep[0]])
    assert cutting.is_metal(phi, np.array([panel.keep[1]])).all()


def stepped(od: str) -> Bike:
    """The hardtail with another outside of its top tube."""
    file = CONFIGS / "trail_hardtail_29.yaml"
    return frame3d.solve(frame3d.load(file, sets=[f"tubes.top_tube.od={od}"]))


def test_paper_ends_where_the_outside_changes() -> None:
    """As wide as the straight end, and no longer than that is; beyond it paper would not lie on."""
    plain = {p.place.at: p for p in panels(stepped("31.8"), "top_tube")}
    bike = stepped("{steps: [31.8, 36.0], lengths: [20], transition: 10}")
    made = {p.place.at: p for p in panels(bike, "top_tube")}
    step = bike.tube("top_tube").start.long_point + 20
    start = made["start"]
    assert start.straight is not None
    assert plain["start"].straight is not None
    assert start.straight <= max(step, start.place.high + 4.0) < plain["start"].straight
    assert start.width == pytest.approx(np.pi * 31.8)
    assert np.abs(start.outer[0] - plain["start"].outer[0]).max() < 1e-6
    assert made["end"].width == pytest.approx(np.pi * 36.0)


def test_an_edge_across_a_change_of_the_outside_has_no_template() -> None:
    with pytest.raises(StepError, match="within the edge"):
        panels(stepped("{steps: [28, 31.8], lengths: [4], transition: 8}"), "top_tube")


def test_the_pack_says_so_and_has_the_other_templates() -> None:
    pack = Maker(stepped("{steps: [28, 31.8], lengths: [4], transition: 8}"), "A4", None).make()
    assert [fault.path for fault in pack.faults] == ["tubes.top_tube.od"]
    assert "templates/down_tube.svg" in pack.files
    assert "templates/top_tube.svg" not in pack.files
