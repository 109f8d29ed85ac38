"""Bikes beside the one in view are those that are solved alone, and kept."""

from __future__ import annotations

import pytest

from frame3d.bike.choice import Choice
from frame3d.family.members import Member, Missing
from frame3d.live.choosing import others as module
from frame3d.live.choosing.others import Others, label_of, sizes_of
from frame3d.live.solved_text import good
from frame3d.parameters.models.variants import Variants
from tests.live.families import FAMILY


def test_each_is_the_bike_that_it_is_alone() -> None:
    others = Others("bike.yaml")
    choice = Choice("L", ("long",))
    assert others.known(FAMILY, choice) is None
    made = others.solve(FAMILY, choice)
    assert isinstance(made.outcome, Member)
    assert made.solved is not None
    assert made.solved.key == (FAMILY, choice)
    assert made.solved.name == "Small bike, size L, long"
    assert made.solved.bike.chart == good(FAMILY, "bike.yaml", choice).bike.chart
    assert others.known(FAMILY, choice) is others.solve(FAMILY, choice) is made


def test_one_that_cannot_be_made_says_why() -> None:
    others = Others("bike.yaml")
    made = others.solve(FAMILY.replace("S: 60", "S: wide"), Choice("S"))
    assert made.solved is None
    assert isinstance(made.outcome, Missing)
    assert made.outcome.label == "S"


def test_the_oldest_are_dropped_and_an_error_spoils_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "HELD", 1)
    others = Others("bike.yaml")
    others.solve(FAMILY, Choice("S"))
    with monkeypatch.context() as broken:
        broken.setattr(module, "pictured_scene", lambda _: 1 // 0)
        with pytest.raises(ZeroDivisionError):
            others.solve(FAMILY, Choice("M"))
    assert others.solve(FAMILY, Choice("M")).solved is not None
    assert others.known(FAMILY, Choice("S")) is None


def test_names_and_sizes() -> None:
    offered = Variants(("S", "M"), "M", ("long",))
    assert sizes_of(offered, Choice("M", ("long",))) == (
        Choice("S", ("long",)),
        Choice("M", ("long",)),
    )
    assert [label_of(one) for one in (Choice(), Choice("S"), Choice("S", ("long",)))] == [
        "",
        "S",
        "S long",
    ]
