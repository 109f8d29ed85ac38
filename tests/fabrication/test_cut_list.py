"""The cut list: rows, warnings, walls to scale."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.fabrication.cut_list import (
    ROWS,
    butt_warnings,
    cut_list_csv,
    cut_list_sheets,
    feather_warnings,
)
from frame3d.fabrication.tube_facts import Butt, TubeFacts, facts_of
from frame3d.paper.page_elements import PAPERS
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.fabrication.bars import between, facts
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import facts_of_all, texts
from tests.frames import bar, context


def test_a_mitre_that_leaves_the_thick_wall_is_warned_of() -> None:
    # The mitre is 2.6795 mm deep: a butt of 2 mm ends inside it, one of 30 mm leaves 27.32.
    wall = {"butted": [1.0, 0.6, 1.0], "lengths": [30, 2], "transition": 30}
    layout = between(wall)
    found = facts(layout, "middle")
    first, last = found.butts
    assert first is not None
    assert last is not None
    assert (first.length, first.left) == pytest.approx((30.0, 30 - 2.679492), abs=1e-5)
    assert (last.length, last.left) == pytest.approx((2.0, 2 - 2.679492), abs=1e-5)
    (note,) = butt_warnings(layout, [found])
    assert "middle: the cut at its end leaves the 1 mm wall by 0.7 mm" in note.message
    assert "a butt of 3 mm" in note.message
    assert not butt_warnings(between(1.0), [facts(between(1.0), "middle")])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_short_butts_leave_room_for_their_figures(paper: str) -> None:
    layout = between({"butted": [1.0, 0.6, 1.0], "lengths": [7, 6], "transition": 5})
    bodies = bodies_of(layout.frame)
    cutting = Cutting(layout.tube("middle"), bodies)
    found = facts_of(layout.tube("middle"), bodies, cutting)
    (sheet,) = cut_list_sheets(
        layout, [found], {"middle": cutting}, {"middle": 100.0}, PAPERS[paper]
    )
    assert crossed(sheet.entities(), through=()) == []
    said = [e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT"]
    # 265.36 mm cut: thick to 7, thin from 12 to 11 before the end, thick over the last 6.
    assert {"7", "12", "254", "259", "265.4"} <= set(said)


def test_the_cut_list_as_csv() -> None:
    layout = between()
    bodies = bodies_of(layout.frame)
    tube = layout.tube("middle")
    cutting = Cutting(tube, bodies)
    found = facts_of(tube, bodies, cutting)
    text = cut_list_csv([found], {"middle": cutting}, {"middle": 123.4}).decode().splitlines()
    row = dict(zip(text[0].split(","), text[1].split(","), strict=True))
    assert row["cut_length_mm"] == "265.36"
    assert (row["start_on"], row["start_angle_deg"], row["mass_g"]) == ("near", "90.00", "123.4")
    assert text[2].startswith('"# Geometry only')


def slow(angle: float) -> Bike:
    """A tube that meets an upright bar at so small an angle."""
    turn = np.radians(angle)
    far = (float(500 * np.sin(turn)), 0.0, float(500 * np.cos(turn)))
    return context(
        {
            "host": bar(40.0, (0, 0, -600), (0, 0, 600)),
            "brace": bar(12.0, {"on": "host", "from_start": 600}, far, 1.0),
        }
    )


def test_a_feather_edge_is_warned_of_by_every_command_and_on_the_cut_list() -> None:
    layout = slow(4.3)
    (note,) = [note for note in layout.notes if "feather" in note.message]
    # By hand: the middle planes' points lie (20 ± 6 cos θ) / sin θ along it, 12 / tan θ = 160 apart.
    assert (
        "brace: its cut to host runs out in a feather edge 160 mm long, under 15°" in note.message
    )
    tube, bodies = layout.tube("brace"), bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    one = facts_of(tube, bodies, cutting)
    sheets = cut_list_sheets(layout, [one], {"brace": cutting}, {"brace": 1.0}, PAPERS["A4"])
    said = " ".join(e.dxf.text for e in sheets[0].entities() if e.dxftype() == "TEXT")
    assert "feather edge 160 mm long" in said
    assert not any("feather" in note.message for note in slow(35.0).notes)


def test_a_feather_edge_beside_the_mitre_is_warned_of_in_the_pack() -> None:
    """A tube along x, mitred to an upright one; another, at 4°, shaves the underside of its far end."""
    low = -18.0 - 240.0 * float(np.tan(np.radians(4.0)))
    layout = context(
        {
            "host": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "under": bar(20.0, (300, 0, -18), (60, 0, low)),
            "branch": bar(24.0, {"on": "host", "from_start": 200}, (270, 0, 0), 1.0),
        }
    )
    tube, bodies = layout.tube("branch"), bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    one = facts_of(tube, bodies, cutting)
    (note,) = feather_warnings(layout, [one], {"branch": cutting})
    # In the middle plane the two meet where 18 + (300 − x) tan 4° − 10 / cos 4° = 12: 243 of 270.
    assert "branch: its cut to under runs out in a feather edge 28 mm long" in note.message


def listed(name: str) -> tuple[Bike, list[TubeFacts], dict[str, Cutting], dict[str, float]]:
    bike, found = facts_of_all(name)
    bodies = bodies_of(bike.frame)
    cuttings = {tube.name: Cutting(tube, bodies) for tube in bike.tubes}
    return bike, found, cuttings, {tube.name: 100.0 for tube in bike.tubes}


def test_sheet_and_csv_say_the_same_of_every_tube() -> None:
    bike, found, cuttings, grams = listed("trail_hardtail_29")
    text = cut_list_csv(found, cuttings, grams).decode()
    table = {row["tube"]: row for row in csv.DictReader(io.StringIO(text))}
    (sheet,) = cut_list_sheets(bike, found, cuttings, grams, PAPERS["A4"])
    said = texts(sheet)
    assert list(table)[:-1] == [tube.name for tube in bike.tubes]
    for one in found:
        row = table[one.tube.name]
        assert float(row["cut_length_mm"]) == pytest.approx(one.long_to_long, abs=0.0051)
        assert float(row["stock_length_mm"]) % 5 == 0
        assert 20 - 1e-9 <= float(row["stock_length_mm"]) - one.long_to_long < 25
        assert f"{float(row['cut_length_mm']):.1f}"[:-1] in " ".join(said)
        for at in ("start", "end"):
            angle = row[f"{at}_angle_deg"]
            assert angle or row[f"{at}_cut"] != "mitre"
            assert not angle or 0 < float(angle) <= 90
    assert f"{len(found)} tubes, {100 * len(found)} g" in said


def test_many_tubes_take_several_sheets_and_the_last_has_the_warnings() -> None:
    bike, found, cuttings, grams = listed("trail_hardtail_29")
    many = [found[i % len(found)] for i in range(ROWS + 3)]
    first, last = cut_list_sheets(bike, many, cuttings, grams, PAPERS["Letter"])
    assert (first.name, last.name) == ("cut_list-1", "cut_list-2")
    assert "sheet 2 of 2" in texts(last)
    assert sum(text == "tube" or text.startswith("Stock") for text in texts(first)) == 1
    assert crossed(first.entities(), through=()) == []
    assert "Walls along the butted tubes, from the start's long point" not in texts(first)


def test_a_pair_is_warned_of_once() -> None:
    bike, found, _, _ = listed("trail_hardtail_29")
    butt = Butt(0.9, 60.0, -1.25)
    worn = [replace(one, butts=(butt, None)) for one in found if one.tube.key == "chainstay"]
    assert len(worn) == 2
    (note,) = butt_warnings(bike, worn)
    assert "a butt of 62 mm" in note.message  # 60 + 1.25, in whole millimetres upward
    assert note.path == "tubes.chainstay.wall"
    assert note.place is not None
