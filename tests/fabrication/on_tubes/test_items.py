"""What is joined to tubes on the parts list: counts, sizes, masses; bottles' bosses once."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.fabrication.on_tubes.items import feature_items
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.parts_list import items_of
from tests.featured import featured, solved
from tests.mounted import mounted


def listed(features: dict[str, dict[str, Any]] | None = None, **build: Any) -> dict[str, Item]:
    return {f"{i.what} {i.size}": i for i in feature_items(featured(features, **build))}


def test_those_of_one_size_stand_together() -> None:
    found = listed()
    assert found["threaded boss M5, 9 outside, 13.5 long"].count == 2
    assert found["threaded boss M6, 10 outside, 13.5 long"].count == 3
    assert found["guide for 5.5, 9 outside, 15 long"].count == 3
    eyes = found["threaded eye M5, 11 outside, 6 long"]
    assert (eyes.count, eyes.note) == (2, "rack on seatstay")
    assert found["cable stop for 5, 8.5 outside, 14 long"].count == 1
    assert found["boss bolts M5"].count == 2
    assert found["boss bolts M6"].count == 3


def test_each_has_the_mass_of_its_metal() -> None:
    bike = solved()
    eyes = next(i for i in items_of(bike, []) if i.what == "threaded eye")
    grams = bike.frame.masses.parts["seatstay-rack_left"]
    assert eyes.grams == pytest.approx(grams, rel=1e-9)
    assert eyes.mass_from == "computed"
    assert eyes.material == bike.tube("seatstay_left").material


BOTTLE = {"on": "down_tube", "from_start": 290, "length": 200}


def test_bosses_of_the_file_that_hold_a_bottle_are_not_listed_again() -> None:
    """A bottle of 200 mm from 290 on: its middle, and that of its bosses, at 390."""
    own = {"down_tube": {"cage": {"kind": "boss", "from_start": 390}}}
    both = listed(own, bottles=[BOTTLE])
    assert "bottle bosses M5, pairs 64 apart" not in both
    assert both["threaded boss M5, 9 outside, 13.5 long"].count == 2
    assert both["bottle cage on a pair of bosses"].count == 1
    alone = listed({}, bottles=[BOTTLE])
    assert alone["bottle bosses M5, pairs 64 apart"].count == 2
    assert alone["bottle boss bolts M5"].count == 2
    assert not any(name.startswith("threaded") for name in alone)


def test_a_flat_mount_has_two_sleeves_and_two_bolts() -> None:
    found = listed({"chainstay": {"brake": {"kind": "flat_mount", "from_end": 90}}})
    sleeves = [item for item in found.values() if item.what == "flat mount sleeve"]
    assert sum(item.count for item in sleeves) == 2
    assert all(item.size.startswith("for M5, 12 outside, bored 5.5, ") for item in sleeves)
    assert found["flat mount bolts M5"].count == 2


def test_a_post_mount_has_two_posts_its_bolts_and_the_adaptor_for_a_larger_rotor() -> None:
    bike = mounted({"kind": "post_mount", "lean": 6}, rotor=203.0, mount_rotor=180)
    found = {item.what: item for item in items_of(bike, [])}
    posts = [item for item in feature_items(bike) if item.what == "brake post"]
    assert sum(item.count for item in posts) == 2
    assert all(item.size.startswith("M6, face 14 square, ") for item in posts)
    assert (found["post mount bolts"].count, found["post mount bolts"].size) == (2, "M6")
    assert found["rear brake adaptor"].size == "from 180 to 203"
    # Without `mount_rotor` it is made for the wheel's rotor.
    own = {item.what: item for item in items_of(mounted({"kind": "post_mount", "lean": 6}), [])}
    assert "rear brake adaptor" not in own
    assert own["rear brake"].note == "mount to the caliper's drawing"
