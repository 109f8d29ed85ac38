"""The parts list: a line for each part whose size the file gives."""

from __future__ import annotations

import csv
import io

import pytest

from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.parts_list import Item, items_of, parts_csv, parts_sheet
from frame3d.paper.page_elements import PAPERS
from frame3d.parameters.reading.reader import loads
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import SMALL, facts_of_all, texts


def test_the_parts_list_names_standards() -> None:
    items = {item.what: item for item in items_of(*facts_of_all("trail_hardtail_29"))}
    assert "1.370 in × 24 tpi" in items["bottom bracket shell"].note
    assert items["bottom bracket"].size == "for a shell 73 wide, bore 33.65"
    assert items["headset, upper cup"].standard == "ZS44/28.6"
    assert "43.95 to 44.00" in items["headset, upper cup"].size
    assert items["headset, lower cup"].note == "crown seat 39.8"
    assert items["rear hub"].size == "148 wide, axle 12"
    assert items["seat clamp"].size == "on 34.9"
    items = {item.what: item for item in items_of(*facts_of_all("four links"))}
    assert items["rear shock"].size == "210 × 52.5"
    assert "axle bore 12" in items["housing main pivot"].size


@pytest.mark.parametrize(
    ("said", "note"), [("", ""), (", travel: 0", "rigid"), (", travel: 130", "130 travel")]
)
def test_only_a_fork_that_the_file_says_has_no_travel_is_rigid(said: str, note: str) -> None:
    layout = solve(loads(SMALL.replace("offset: 44}", f"offset: 44{said}}}"), "small.yaml"))
    items = {item.what: item for item in items_of(layout, Maker(layout, "A4", None).facts)}
    assert items["fork"].note == note


BARE = """\
format: 1
name: Small
geometry: {reach: 455, stack: 620, head_tube_angle: 65.5, head_tube_length: 115,
           effective_seat_tube_angle: 75.5, seat_tube_length: 430, chainstay_length: 432, bb_drop: 62}
build:
  fork: {axle_to_crown: 535, measured: straight, offset: 44}
  headset: {lower_stack: 4HEADSET}
  front_wheel: {tyre: 61-622}
  rear_wheel: {tyre: 61-622REAR}
"""


def items(headset: str = "", rear: str = "", more: str = "") -> dict[str, Item]:
    """The list of a bike without tubes, given some parts."""
    text = BARE.replace("HEADSET", headset).replace("REAR", rear).replace("stack: 620, ", "")
    return {item.what: item for item in items_of(solve(loads(text + more)), [])}


@pytest.mark.parametrize(
    ("part", "what", "size", "standard", "note"),
    [
        ({"headset": ", upper: {bore: 44, depth: 22}"}, "headset, upper cup", "bore 44, 22 deep", "", ""),
        ({"headset": ", angle: -1"}, "headset, angle", "-1° cups", "", ""),
        ({"headset": ", stop: 75"}, "headset, steering stop", "75° to each side", "", "clearances hold up"),
        (
            {"headset": ", lower: IS52/40"},
            "headset, lower cup",
            "ream 52.05 to 52.10, 12 deep",
            "IS52/40",
            "bearing seat 45° in the head tube, 45° inside; crown seat 39.8",
        ),
        ({"rear": ", hub: {width: 151, axle: 13}"}, "rear hub", "151 wide, axle 13", "", ""),
        ({"rear": ", hub: 142x12"}, "rear hub", "142 wide, axle 12", "142x12", "thru axle"),
        ({"more": "  chainring: {teeth: 34}\n"}, "chainring", "34 teeth", "", ""),
        ({"more": "  crank: {length: 165}\n"}, "crank", "length 165", "", ""),
        (
            {"more": "  crank: {length: 165, chainline: 52}\n"},
            "crank",
            "length 165, chainline 52",
            "",
            "",
        ),
        (
            {"more": "  seatpost: {diameter: 31.6, travel: 150, insertion: 180, saddle_height: 720}\n"},
            "seatpost",
            "31.6",
            "",
            "150 travel",
        ),
        (
            {"more": "  bottom_bracket: {shell: {width: 70, od: 42, bore: 36}}\n"},
            "bottom bracket shell",
            "70 wide, 42 outside, bore 36",
            "",
            "bore as given",
        ),
        (
            {"more": "  bottom_bracket: {shell: pressfit-42-79}\n"},
            "bottom bracket shell",
            "79 wide (34 right, 45 left), 48 outside, bore 41.96",
            "pressfit-42-79",
            "bore as given",
        ),
    ],
)  # fmt: skip
def test_a_part_has_the_sizes_of_the_file(
    part: dict[str, str], what: str, size: str, standard: str, note: str
) -> None:
    item = items(**part)[what]
    assert (item.count, item.size, item.standard) == (1, size, standard)
    assert item.note.startswith(note)
    assert note or not item.note


def test_nothing_is_listed_that_the_file_does_not_give() -> None:
    assert set(items()) == {"fork"}


def test_bottles_have_two_bosses_each() -> None:
    """64 mm apart: common practice, no source."""
    bike = facts_of_all("trail_hardtail_29")[0]
    count = len(bike.spec.build.bottles)
    listed = {item.what: item for item in items_of(bike, [])}
    assert count
    assert listed["bottle bosses"].count == 2 * count


def test_sides_are_counted_together() -> None:
    bike, facts = facts_of_all("four links")
    found = items_of(bike, facts)
    names = [item.what for item in found if item.what.startswith(("lug", "plate", "housing"))]
    assert names
    assert not any(name.endswith(("left", "right")) for name in names)
    total = sum(item.count for item in found if item.what in names)
    assert total == len(bike.pivots)


@pytest.mark.parametrize("name", ["trail_hardtail_29", "four links"])
def test_csv_and_sheet_have_every_item(name: str) -> None:
    bike, facts = facts_of_all(name)
    found = items_of(bike, facts)
    *rows, last = csv.DictReader(io.StringIO(parts_csv(found).decode()))
    assert last["item"] == f"# {CAUTION}"
    assert [(row["item"], int(row["count"])) for row in rows] == [(i.what, i.count) for i in found]
    sheet = parts_sheet(bike, found, PAPERS["A4"])
    said = texts(sheet)
    assert f"{len(found)} items" in said
    assert sum(text in {i.what for i in found} for text in said) >= len(found) - 2
    assert crossed(sheet.entities(), through=()) == []
