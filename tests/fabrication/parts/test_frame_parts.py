"""Parts of the frame itself."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.parts.frame_parts import frame_parts, metal
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.parts_list import items_of
from frame3d.parameters.reading.reader import load
from tests.fabrication.samples import facts_of_all


def by_name(*sets: str) -> dict[str, Item]:
    bike = solve(load("configs/trail_hardtail_29.yaml", sets))
    return {item.what: item for item in frame_parts(bike, Maker(bike, "A4", None).facts)}


def test_what_a_hardtail_is_made_of_beside_its_tubes() -> None:
    items = {item.what: item for item in frame_parts(*facts_of_all("trail_hardtail_29"))}
    assert items["bottom bracket shell"].standard == "threaded-73"
    assert items["seatstay bridge"].is_tube


def test_a_loose_post_needs_a_shim() -> None:
    assert "seatpost shim" not in by_name()
    shim = by_name("build.seatpost.diameter=27.2")["seatpost shim"]
    assert shim.size.startswith("27.2 inside, 31.7 outside")


def test_flat_parts_of_the_file_are_listed() -> None:
    tab = "kind: tab, on: down_tube, from_start: 200, base: 30, height: 15, radius: 8, hole: 6, thickness: 3"
    items = by_name(f"plates={{guide: {{{tab}}}}}")
    assert any("3 thick" in item.size for item in items.values())


def test_own_material_by_its_name() -> None:
    bike = solve(
        load("configs/trail_hardtail_29.yaml", ["material={name: Own, density_g_cm3: 7.8}"])
    )
    assert metal(bike) == "Own"


def test_a_collar_of_the_file_stands_in_for_the_usual_seat_clamp() -> None:
    own = ("tubes.seat_tube.features.slot={kind: clamp_slot}",
           "tubes.seat_tube.features.clamp={kind: collar, thread: M6}")  # fmt: skip
    assert by_name()["seat clamp"].size == "on 34.9"
    found = by_name(*own)
    assert "seat clamp" not in found
    assert found["seat collar"].size == "bore 34.9, 43.9 outside, 14 high, screw M6"
    bike = solve(load("configs/trail_hardtail_29.yaml", own))
    listed = next(item for item in items_of(bike, []) if item.what == "seat collar")
    assert listed.grams == pytest.approx(29.0, abs=0.1)
    assert listed.mass_from == "estimated"
    marks = Maker(bike, "A4", None).marks
    assert not any(mark.feature.spec.kind == "collar" for mark in marks)  # nothing to mark


def test_dropouts_with_what_is_bolted_to_them() -> None:
    plain = by_name()
    assert plain["rear dropout"].weighs == ("dropouts",)
    assert "derailleur hanger" in plain  # bought: nothing is said of it
    sliding = by_name("build.dropout={kind: sliding, slide: {length: 16, at: 6, stop: M5}}")
    assert "axle slot 12" in sliding["rear dropout"].size
    assert (sliding["stop bolt"].count, sliding["stop bolt"].size) == (2, "M5")
    bolts = "hanger: {kind: bolted, bolts: [[-14, -17], [8, -20]]}"
    bolted = by_name(f"build.dropout={{kind: hooded, {bolts}}}")
    assert bolted["rear dropout"].weighs == ("rear_dropout_left", "rear_dropout_right")
    assert bolted["derailleur hanger"].size.endswith("6 thick, 3 holes")
    assert bolted["hanger bolt"].count == 2
    fixed = by_name("build.dropout={kind: hooded, hanger: {kind: fixed}}")
    assert "derailleur hanger" not in fixed


def test_an_eccentric_insert_holds_the_bottom_bracket() -> None:
    plain = by_name()
    assert "eccentric insert" not in plain
    found = by_name(
        "build.bottom_bracket={shell: eccentric-73, eccentric: {offset: 6, angle: -90}}"
    )
    assert "60 outside, bore 54" in found["bottom bracket shell"].size
    insert, held = found["eccentric insert"], found["bottom bracket"]
    assert insert.size == "54 outside, 6 off its middle, for 73 wide, bore 33.65"
    assert "1.370 in" in insert.note
    assert held.size == "for the insert, bore 33.65"
    assert held.standard == "threaded-73"
