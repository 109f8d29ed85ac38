"""Sheets of marks: edges unscaled, a number to every cross, the table beside the check square."""

from __future__ import annotations

from functools import cache

import numpy as np

from frame3d.fabrication.on_tubes.marking import marking_of
from frame3d.fabrication.on_tubes.marking_sheets import ROWS, marking_sheets
from frame3d.fabrication.pack import Maker
from frame3d.paper.page_elements import PAPERS
from frame3d.paper.sheet import Sheet
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import texts
from tests.fabrication.unrolled import paths
from tests.featured import one_tube, solved


@cache
def maker() -> Maker:
    return Maker(solved(), "A4", None)


def sheets(made: Maker, name: str) -> list[Sheet]:
    facts = next(one for one in made.facts if one.tube.name == name)
    own = [mark for mark in made.marks if mark.tube.name == name]
    return marking_sheets(facts, marking_of(facts, own), own, made.bike, PAPERS["A4"])


def test_a_port_is_drawn_unscaled_with_its_number_and_figures() -> None:
    made = maker()
    pages = sheets(made, "down_tube")
    port = next(mark for mark in made.marks if mark.feature.name == "hose_in")
    facts = next(one for one in made.facts if one.tube is port.tube)
    panel = marking_of(facts, [port]).panels[0]
    drawn = [path for page in pages for path in paths(page, "CUT")]
    wanted = panel.outer[0]
    assert any(
        len(path) == len(wanted) and np.allclose(np.ptp(path, axis=0), np.ptp(wanted, axis=0))
        for path in drawn
    )
    said = [text for page in pages for text in texts(page)]
    for text in (str(port.number), f"{port.from_start:.2f}", f"{port.from_end:.2f}", port.what,
                 f"60° from top to left: {port.around:.2f}", "50 × 50 mm", "Down tube"):  # fmt: skip
        assert text in said


def test_the_paper_itself_says_whose_it_is() -> None:
    made = maker()
    for name in ("down_tube", "seat_tube"):
        said = [text for page in sheets(made, name) for text in texts(page)]
        facts = next(one for one in made.facts if one.tube.name == name)
        own = [mark for mark in made.marks if mark.tube.name == name]
        count = len(marking_of(facts, own).panels)
        named = [text for text in said if text.startswith(name.replace("_", " "))]
        assert len(named) == count


def test_every_mark_has_its_number_clear_of_all_lines() -> None:
    made = maker()
    for name in dict.fromkeys(mark.tube.name for mark in made.marks):
        pages = sheets(made, name)
        said = [text for page in pages for text in texts(page)]
        for mark in made.marks:
            if mark.tube.name == name:
                assert said.count(str(mark.number)) >= 2  # beside its cross, and in the table
        for page in pages:
            assert page.name.startswith(f"template_{name}-marks")
            assert crossed(page.entities(), through=("CENTRE",)) == []


def test_what_the_table_has_no_room_for_is_said() -> None:
    row = {"kind": "vent", "from_start": 200, "count": ROWS + 2, "spacing": 14}
    (page,) = sheets(Maker(one_tube(row), "A4", None), "beam")
    assert "2 more are on the fixture sheet's page of marks." in texts(page)
    assert crossed(page.entities(), through=("CENTRE",)) == []


def test_a_feature_in_a_bend_alone_has_no_sheet_and_the_pack_says_so() -> None:
    """A port, and one with a patch: the page of marks has their places."""
    patched = {"kind": "port", "from_start": 110, "angle": 90, "width": 4, "patch": 0.8}
    port = {"kind": "port", "from_start": 105, "angle": 180, "width": 4}
    bike = solved({"chainstay": {"out": patched | {"patch_margin": 3}}, "seatstay": {"out": port}})
    made = Maker(bike, "A4", None)
    for tube in ("chainstay_left", "seatstay_right"):
        assert any(mark.tube.name == tube for mark in made.marks)
        assert sheets(made, tube) == []
    pack = made.make()
    assert not pack.faults
    said = [note.message for note in pack.notes if "has no marking template" in note.message]
    assert len(said) == 4
    assert not any("-marks" in name for name in pack.files)
    assert "features.csv" in pack.files
