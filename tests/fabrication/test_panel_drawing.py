"""Panels on pages: tiled, clipped, their names and marks clear of lines."""

from __future__ import annotations

import numpy as np
import pytest

import frame3d
from frame3d.fabrication.panel_drawing import OVERLAP, clipped
from frame3d.paper.page_elements import MARGIN, PAPERS
from tests.fabrication.bikes import CONFIGS
from tests.fabrication.crossing import crossed
from tests.fabrication.unrolled import panels, paths, sheets, texts
from tests.frames import bar, context


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
