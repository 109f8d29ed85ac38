"""Parts of the drivetrain, seat and cockpit."""

from __future__ import annotations

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.fabrication.parts.drive_parts import drive_parts, seat_and_cockpit_parts
from frame3d.fabrication.parts.item import Item
from frame3d.parameters.reading.reader import load
from tests.fabrication.bikes import demo


def by_name(bike: Bike) -> dict[str, Item]:
    return {item.what: item for item in (*drive_parts(bike), *seat_and_cockpit_parts(bike))}


def test_derailleur_and_chain_follow_from_the_cogs() -> None:
    items = by_name(demo("trail_full_140"))
    assert items["cassette"].size == "12 cogs, 10 to 50 teeth"
    assert items["rear derailleur"].size == "12 cogs up to 50 teeth, takes up 40"
    assert items["chain"].size == "for 12 cogs"
    assert items["dropper post's lever"].count == 1
    assert items["brake levers"].count == 2


def test_one_cog_needs_no_derailleur() -> None:
    items = by_name(solve(load("configs/trail_full_140.yaml", ["build.cassette.cogs=[18]"])))
    assert items["cassette"].size == "1 cog, 18 teeth"
    assert "rear derailleur" not in items
    assert "shift lever" not in items


def test_two_rings_add_to_what_is_taken_up() -> None:
    sets = ["build.chainring.inner_teeth=22"]
    items = by_name(solve(load("configs/trail_full_140.yaml", sets)))
    assert items["rear derailleur"].size.endswith("takes up 50")
    assert items["front derailleur"].size == "22 and 32 teeth"


def test_nothing_is_listed_that_the_file_does_not_give() -> None:
    assert by_name(demo("minimal")) == {}
