"""Masses on the parts list, and where they are from."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.parts.weights import weighed
from frame3d.parameters.reading.reader import load


def mass(item: Item, *sets: str) -> Item:
    (found,) = weighed(solve(load("configs/trail_full_140.yaml", sets)), [item])
    return found


def test_sources_of_masses() -> None:
    down = mass(Item("down tube", 1, "", weighs=("down_tube",)))
    assert down.mass_from == "computed"
    wheel = mass(Item("rear wheel", 1, "", weighs=("rear wheel",)), "build.rear_wheel.mass_kg=2.4")
    assert (wheel.grams, wheel.mass_from) == (pytest.approx(2400), "given")
    saddle = mass(Item("saddle", 1, "", weighs=("saddle",)))
    assert saddle.mass_from == "estimated"
    assert saddle.grams is not None


def test_a_front_assembly_is_shared_out() -> None:
    stem = mass(Item("stem", 1, "", weighs=("stem",)), "build.front_assembly_kg=4")
    assert stem.mass_from == "shared"


def test_each_of_several_weighs_its_part_and_unknown_ones_nothing() -> None:
    two = mass(Item("levers", 2, "", weighs=("levers",)))
    one = mass(Item("levers", 1, "", weighs=("levers",)))
    assert two.grams is not None
    assert one.grams == pytest.approx(2 * two.grams)
    assert mass(Item("plug", 1, "")).grams is None
