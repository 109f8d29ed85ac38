"""Template sheets: what is on them, compound ends, openings, paper."""

from __future__ import annotations

import re

import numpy as np
import pytest
from numpy.typing import NDArray

import frame3d
from frame3d.bike.bike import Bike
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.template import (
    OVERLAP,
    Panel,
    StepError,
    TooWideError,
    clipped,
    panels_of,
    sheets_of,
)
from frame3d.fabrication.tube_facts import facts_of
from frame3d.paper.page_elements import MARGIN, PAPERS, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.fabrication.bikes import CONFIGS, demo
from tests.fabrication.crossing import crossed
from tests.frames import bar, context

Array = NDArray[np.float64]


def panels(layout: Bike, name: str) -> list[Panel]:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    cutting = Cutting(tube, bodies)
    return panels_of(facts_of(tube, bodies, cutting), cutting, bodies)


def sheets(layout: Bike, name: str, paper: Paper = PAPERS["A4"]) -> list[Sheet]:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    cutting = Cutting(tube, bodies)
    found = facts_of(tube, bodies, cutting)
    return sheets_of(found, panels_of(found, cutting, bodies), layout, paper, bodies)


def paths(sheet: Sheet, layer: str) -> list[Array]:
    return [
        np.array(e.get_points("xy"))
        for e in sheet.entities()
        if e.dxf.layer == layer and e.dxftype() == "LWPOLYLINE"
    ]


def texts(sheet: Sheet) -> str:
    return "\n".join(e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT")


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


def test_the_sheet_says_what_a_builder_asks() -> None:
    (sheet,) = sheets(demo(), "top_tube")
    said = texts(sheet)
    for text in ("Top tube", "seat tube at 81.00°", "head tube at 89.00°", "centre to centre",
                 "long point to long point", "twist, start to end", "50 × 50 mm", "top", "left",
                 "right", "bottom", "99.90", "Geometry only"):  # fmt: skip
        assert text in said
    assert np.pi * 31.8 == pytest.approx(99.90, abs=0.005)  # the circumference


def test_both_ends_share_their_lines() -> None:
    (sheet,) = sheets(demo(), "top_tube")
    middles = [(path[:, 0].min() + path[:, 0].max()) / 2 for path in paths(sheet, "CUT")]
    assert np.ptp(middles) < 1e-9


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


def test_no_sheet_prints_a_minus_before_nothing() -> None:
    """A mitre whose long point lies on the crossing of axes, off by rounding."""
    for name in ("trail_hardtail_29", "adventure_rigid", "trail_full_140"):
        layout = demo(name)
        for tube in layout.tubes:
            assert not re.search(r"(?<![\d.])-0\.?0*(?![.\d])", texts(sheets(layout, tube.name)[0]))
    equal = {
        "host": bar(30.0, (0, 0, -200), (0, 0, 200)),
        "equal": bar(30.0, {"on": "host", "from_start": 200}, (300, 0, 0), 1.0),
    }
    (sheet,) = sheets(context(equal), "equal")
    assert "long point 0.00" in texts(sheet)


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


def test_a_template_too_wide_for_the_paper_is_refused() -> None:
    layout = context({"fat": bar(90.0, (0, 0, 0), (300, 0, 0), 2.0)})
    with pytest.raises(TooWideError, match="289 mm wide with its flap, and A4 has room for 279 mm"):
        sheets(layout, "fat")


def test_one_too_wide_for_portrait_lies_on_its_side() -> None:
    layout = context({"wide": bar(70.0, (0, 0, 0), (300, 0, 0), 2.0)})
    (sheet,) = sheets(layout, "wide")
    assert (sheet.width, sheet.height) == (297.0, 210.0)


def test_a_long_template_is_tiled_with_marks_to_lay_it_together_by() -> None:
    """A tube at 8° on its target: its mitre is longer than a page."""
    turn = np.radians(8.0)
    layout = context(
        {
            "host": bar(60.0, (-600, 0, 0), (600, 0, 0)),
            "slow": bar(44.0, {"on": "host", "from_start": 600},
                        (float(1200 * np.cos(turn)), 0, float(1200 * np.sin(turn))), 1.0),
        }
    )  # fmt: skip
    pages = sheets(layout, "slow")
    assert len(pages) >= 3
    # A tube's name may end in _1, and never holds a hyphen: no two sheets have one name.
    assert [page.name for page in pages[:2]] == ["template_slow-1", "template_slow-2"]
    first, second = texts(pages[0]), texts(pages[1])
    marks = {line for line in first.splitlines() if line.startswith(("A ", "B "))}
    assert len(marks) == 2
    assert marks <= set(second.splitlines())
    for i, page in enumerate(pages[:-1]):
        assert {"top", "left", "right"} <= set(texts(page).splitlines())
        assert crossed(page.entities(), through=("CENTRE",)) == []
        assert f"piece {i + 1} of {len(pages) - 1}" in texts(page)
        # Only the last has the plain edge that the text tells the place of.
        assert ("plain edge" in texts(page)) == (i == len(pages) - 2)
        assert ("lay the crosses" in texts(page)) == (i < len(pages) - 2)
    # The same marks on both, at the same place of the template: laid over each other the pieces meet.
    panel = panels(layout, "slow")[0]
    low, high = panel.extent
    assert high - low > pages[0].height - 2 * MARGIN - 80
    assert OVERLAP > 10
    whole = np.vstack(paths(pages[0], "CUT") + paths(pages[1], "CUT"))
    assert np.ptp(whole[:, 0]) == pytest.approx(np.pi * 44.0, abs=0.5)


def test_a_path_is_clipped_between_two_heights() -> None:
    path = np.array([[0.0, 0.0], [10.0, 10.0], [20.0, 0.0]])
    low, high = clipped(path, 2.0, 8.0)
    np.testing.assert_allclose(low, [[2, 2], [8, 8]])
    np.testing.assert_allclose(high, [[12, 8], [18, 2]])


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


def test_the_word_on_a_narrow_tubes_metal_stands_clear_of_the_seam() -> None:
    """Two fat stays leave little of the bridge between them: one template for both ends."""
    spec = frame3d.load(
        CONFIGS / "adventure_rigid.yaml",
        sets=["geometry.head_tube_angle=73.2", "geometry.reach=430", "tubes.seatstay.od=37.4"],
    )
    (sheet,) = sheets(frame3d.solve(spec), "seatstay_bridge")
    assert "TUBE" in texts(sheet)
    assert crossed(sheet.entities(), through=("CENTRE",)) == []


def test_names_lean_with_their_lines() -> None:
    layout = context(
        {
            "host": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "cone": bar(
                {"start": 56, "end": 25}, {"on": "host", "from_start": 200}, (70, 0, 0), 1.0
            ),
        }
    )
    (sheet,) = sheets(layout, "cone")
    assert crossed(sheet.entities(), through=("CENTRE",)) == []


def test_names_stand_clear_of_the_marks_of_a_tiled_template() -> None:
    """A straight strut along the seat tube: its one template is longer than a page."""
    spec = frame3d.load(
        CONFIGS / "trail_full_140.yaml",
        sets=["tubes.pivot_strut.bends=[]", "tubes.pivot_strut.end.from_start=116"],
    )
    pages = sheets(frame3d.solve(spec), "pivot_strut", PAPERS["Letter"])
    assert len(pages) == 2
    for page in pages:
        assert crossed(page.entities(), through=("CENTRE",)) == []


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
