"""The parts list: a line for each part whose size the file gives."""

from __future__ import annotations

import csv
import io
import math

import pytest
from hypothesis import given as given_
from hypothesis import settings
from hypothesis import strategies as st

from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.errors import SpecError
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.parts_list import COLUMNS, Item, items_of, parts_csv, parts_sheets
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
    assert set(items()) == {"fork", "front rim", "front tyre", "rear rim", "rear tyre"}


def test_bottles_have_two_bosses_each() -> None:
    """64 mm apart: common practice, no source."""
    bike = facts_of_all("trail_hardtail_29")[0]
    count = len(bike.spec.build.bottles)
    listed = {item.what: item for item in items_of(bike, [])}
    assert count
    assert listed["bottle bosses"].count == 2 * count


@pytest.mark.parametrize(
    ("part", "what", "size"),
    [
        (
            {"rear": ", hub: 148x12, axle_thread: M12 x 1.75"},
            "rear axle",
            "12, for 148 between the ends, thread M12 x 1.75",
        ),
        (
            {
                "rear": ", hub: 148x12, rotor: 200",
                "more": "  rear_brake: {mount_rotor: 160}\n",
            },
            "rear brake adaptor",
            "from 160 to 200",
        ),
        (
            {"more": "  chainring: {teeth: 36, inner_teeth: 24}\n  cassette: {cogs: [11, 20, 34]}\n"},
            "rear derailleur",
            "3 cogs up to 34 teeth, takes up 35",  # 34 - 11 + 36 - 24
        ),
        ({"headset": ", lower: EC34/30"}, "headset, crown race", "on 30"),
    ],
)  # fmt: skip
def test_what_the_file_implies_is_listed(part: dict[str, str], what: str, size: str) -> None:
    assert items(**part)[what].size == size


def test_a_rotor_that_the_mount_fits_needs_no_adaptor() -> None:
    same = items(rear=", hub: 148x12, rotor: 160", more="  rear_brake: {mount_rotor: 160}\n")
    assert "rear brake adaptor" not in same
    assert "adaptor" not in same["rear brake"].note
    with pytest.raises(SpecError, match="takes none of 160 mm"):
        items(rear=", hub: 148x12, rotor: 160", more="  rear_brake: {mount_rotor: 180}\n")


def test_a_loose_post_has_a_shim() -> None:
    """A tube of 34.9 with a wall of 1.2 is 32.5 wide inside."""
    text = SMALL.replace("  bottom_bracket", "  seatpost: {diameter: 31.6}\n  bottom_bracket")
    bike = solve(loads(text))
    shim = {item.what: item for item in items_of(bike, [])}["seatpost shim"]
    assert shim.size == "31.6 inside, 32.5 outside, at least 63 long"  # 2 diameters


def test_masses_say_where_they_are_from() -> None:
    bike, facts = facts_of_all("trail_hardtail_29")
    listed = {item.what: item for item in items_of(bike, facts)}
    shell = bike.shell
    assert shell is not None
    # A bored cylinder of 4130 (7.85 g/cm³), without its vents.
    plain = math.pi / 4 * (shell.od**2 - shell.bore**2) * shell.width * 7.85e-3
    made = listed["bottom bracket shell"]
    assert made.mass_from == "computed"
    assert made.grams is not None
    assert 0.8 * plain < made.grams <= plain
    assert listed["stem"].mass_from == "estimated"
    given = items(more="  front_assembly_kg: 3\n  stem: {length: 50}\n  handlebar: {}\n")
    assert given["stem"].mass_from == "shared"
    wheel = items(rear=", hub: 148x12, mass_kg: 2.5")
    assert (wheel["rear wheel"].grams, wheel["rear wheel"].mass_from) == (2500, "given")
    assert wheel["rear hub"].grams is None


CELL = st.text(st.sampled_from("=+-@\t 1.aM\u00d7\u2013,\"'"), max_size=8)


@settings(max_examples=60, deadline=None)
@given_(st.lists(st.tuples(CELL, st.integers(1, 9), CELL, CELL, CELL, CELL), max_size=4))
def test_no_cell_begins_as_a_formula_does(rows: list[tuple[str, int, str, str, str, str]]) -> None:
    """Cells that begin with = + - @ are formulas to a spreadsheet (OWASP, "CSV Injection")."""
    found = [Item(a, n, b, c, d, material=e, grams=-0.0) for a, n, b, c, d, e in rows]
    head, *body = csv.reader(io.StringIO(parts_csv(found).decode(), newline=""))
    assert tuple(head) == COLUMNS
    for cell in (cell for row in body for cell in row):
        assert not cell.lstrip().startswith(("=", "@"))
        if cell.lstrip().startswith(("+", "-")):
            float(cell)


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
    sheets = parts_sheets(bike, found, PAPERS["A4"])
    said = [text for sheet in sheets for text in texts(sheet)]
    assert f"{len(found)} items" in said
    assert sum(text in {i.what for i in found} for text in said) >= len(found) - 2
    for sheet in sheets:
        assert crossed(sheet.entities(), through=()) == []
