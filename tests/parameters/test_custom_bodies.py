"""The user's own bodies: which sizes each kind takes, and what else cannot be."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.base import Problem
from frame3d.parameters.models.custom_bodies import FIXED, SIZES, SpareSpec
from tests.parameters.faults import GEO, Row, hold, row, row_name

VALUES: dict[str, Any] = {
    "diameter": 40.0,
    "end_diameter": 30.0,
    "length": 210.0,
    "size": [60.0, 40.0, 20.0],
    "rounding": 3.0,
    "forward": [1.0, 0.0, 0.0],
    "profile": [[0.0, -5.0], [30.0, -5.0], [30.0, 5.0], [0.0, 5.0]],
}
NEEDS = {
    "capsule": {"diameter", "length"},
    "cylinder": {"diameter", "length"},
    "box": {"size"},
    "ring": {"profile"},
    "disc": {"profile"},
}
"""What defines each body: a bar its diameter and length, a block its edges, a turned body its outline."""
MAY = {
    "capsule": {"end_diameter"},
    "cylinder": {"end_diameter"},
    "box": {"rounding", "forward"},
    "ring": set[str](),
    "disc": set[str](),
}


def problems(data: dict[str, Any]) -> list[Problem]:
    """What is inconsistent in a body; fails where nothing is."""
    with pytest.raises(ValidationError) as caught:
        SpareSpec.model_validate({"at": [0, 0, 0], **data})
    (found,) = caught.value.errors()
    return list(found["ctx"]["problems"])


def whole(kind: str) -> dict[str, Any]:
    return {"kind": kind} | {key: VALUES[key] for key in NEEDS[kind]}


def test_there_are_no_other_kinds() -> None:
    assert set(NEEDS) == set(SIZES)


@pytest.mark.parametrize("kind", NEEDS)
def test_a_kind_takes_its_sizes_and_no_others(kind: str) -> None:
    for key, value in VALUES.items():
        data = {"at": [0, 0, 0], **whole(kind), key: value}
        if key in NEEDS[kind] | MAY[kind]:
            assert SpareSpec.model_validate(data).kind == kind
        else:
            assert [(p.code, p.key) for p in problems(data)] == [("inconsistent", key)]


@pytest.mark.parametrize("kind", NEEDS)
def test_a_kind_without_one_of_its_sizes_misses_that_one(kind: str) -> None:
    for key in NEEDS[kind]:
        data = whole(kind)
        del data[key]
        (found,) = problems(data)
        assert (found.code, found.key) == ("missing-key", key)
        assert all(wanted in found.hint for wanted in NEEDS[kind])


def test_a_box_is_rounded_by_half_its_smallest_edge_at_most() -> None:
    assert SpareSpec.model_validate({"at": [0, 0, 0], **whole("box"), "rounding": 10.0})
    (found,) = problems(whole("box") | {"rounding": 10.5})
    assert (found.key, found.hint) == ("rounding", "at most 10")


@pytest.mark.parametrize("on", [*FIXED, "swingarm"])
def test_a_pair_needs_two_sides_that_move_alike(on: str) -> None:
    """Cranks stand opposite each other, so what is fixed to one of them has no mirror image that moves
    with it.
    """
    data = whole("capsule") | {"pair": True, "fixed_to": on}
    if on in ("frame", "steering", "fork", "swingarm"):
        assert SpareSpec.model_validate({"at": [0, 0, 0], **data}).pair
    else:
        assert [p.key for p in problems(data)] == ["pair"]


GUARD = "build: {bodies: {guard: {kind: KIND, at: [0, 0, 9], axis: [0, 0, 1]}}}\n"
FLAT = GEO + GUARD.replace("KIND", "capsule, diameter: 9, length: 8").replace("0, 1]", "0, 0]")
BARE = GEO + GUARD.replace("KIND", "disc")
ODD = GEO + GUARD.replace("KIND", "ball")
ROWS: list[Row] = [
    row(FLAT, "inconsistent", "build.bodies.guard.axis", "[0, 0, 0]", "no direction", "[0, 0, 1]"),
    row(BARE, "missing-key", "build.bodies.guard.profile", "{kind", "a disc has one", "profile"),
    row(ODD, "not-allowed", "build.bodies.guard.kind", "ball", '"ball"', "capsule or cylinder"),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
