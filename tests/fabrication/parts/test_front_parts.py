"""Parts of the front end."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.parts.front_parts import front_parts, travel_text
from frame3d.fabrication.parts.item import Item
from frame3d.parameters.reading.reader import load


def by_name(*sets: str) -> dict[str, Item]:
    bike = solve(load("configs/trail_full_140.yaml", sets))
    return {item.what: item for item in front_parts(bike)}


def test_headset_down_to_crown_race_and_cap() -> None:
    items = by_name()
    assert items["headset, upper cup"].standard == "ZS44/28.6"
    assert items["headset, crown race"].size == "on 39.8"
    assert items["headset, spacers"].size == "15 in all, for a steerer of 28.6"
    assert items["fork"].note == "150 travel, steerer 190 from the race"
    assert items["headset, upper cup"].share + items["headset, lower cup"].share == pytest.approx(1)


def test_no_spacers_none_listed_and_an_angle_is() -> None:
    items = by_name("build.stem.spacers=0", "build.headset.angle=1")
    assert "headset, spacers" not in items
    assert items["headset, angle"].size == "1° cups"


def test_travel_in_words() -> None:
    assert travel_text(0) == ""
    assert travel_text(130) == "130 travel"
