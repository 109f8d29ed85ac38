"""What a file may say of its rear dropouts."""

from __future__ import annotations

import json
from typing import Any

import pytest

from frame3d.errors import SpecError
from frame3d.parameters import loads
from tests.bikes import hardtail_data

SLIDE = {"length": 16, "at": 6}
EDGE = [[-20, -20], [40, -20], [5, 45]]


def told(given: dict[str, Any]) -> set[tuple[str, str]]:
    """Code and key of every problem of a file with such dropouts."""
    data = hardtail_data()
    data["build"] = data["build"] | {"dropout": given}
    try:
        loads(json.dumps(data), "bike.yaml")
    except SpecError as error:
        return {(one.code, one.path.removeprefix("build.dropout.")) for one in error.faults}
    return set()


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        ({"tip": 12}, ("inconsistent", "tip")),
        ({"hood": {"wall": 2}}, ("inconsistent", "hood")),
        ({"kind": "sliding"}, ("missing-key", "slide")),
        ({"kind": "hooded", "slide": SLIDE}, ("inconsistent", "slide")),
        ({"kind": "sliding", "slide": {"length": 16, "at": 17}}, ("inconsistent", "slide.at")),
        ({"kind": "hooded", "hanger": {"kind": "bolted"}}, ("missing-key", "hanger.bolts")),
        ({"kind": "hooded", "hanger": {"kind": "around_axle"}}, ("missing-key", "hanger.bore")),
        (
            {"kind": "hooded", "hanger": {"kind": "around_axle", "bore": 16, "seat": 16}},
            ("inconsistent", "hanger.seat"),
        ),
        (
            {
                "kind": "hooded",
                "thickness": 5,
                "hanger": {"kind": "around_axle", "bore": 16, "seat": 20, "seat_depth": 5},
            },
            ("inconsistent", "hanger.seat_depth"),
        ),
        ({"kind": "hooded", "outline": {}}, ("missing-key", "outline.path")),
        (
            {"kind": "hooded", "outline": {"path": EDGE, "corners": EDGE}},
            ("inconsistent", "outline.path"),
        ),
        (
            {"kind": "hooded", "outline": {"path": [[0, 0], [9, 0]]}},
            ("inconsistent", "outline.path"),
        ),
        (
            {"kind": "hooded", "outline": {"corners": [[0, 0, -1], [9, 0], [0, 9]]}},
            ("out-of-range", "outline.corners.0.2"),
        ),
        ({"kind": "hooded", "tip": 9, "outline": {"path": EDGE}}, ("inconsistent", "tip")),
        (
            {
                "kind": "hooded",
                "outline": {"path": EDGE, "pockets": [{"at": [0, 0], "diameter": 5, "depth": 7}]},
            },
            ("inconsistent", "outline.pockets.0.depth"),
        ),
    ],
)
def test_what_does_not_go_together_is_told(given: dict[str, Any], problem: tuple[str, str]) -> None:
    assert told(given) == {problem}


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"kind": "hooded", "edge_radius": 50, "hanger": {"kind": "fixed"}},
        {"kind": "sliding", "slide": SLIDE | {"stop": "M5"}},
        {"kind": "sliding", "slide": SLIDE, "outline": {"path": EDGE}},
    ],
)
def test_what_goes_together(given: dict[str, Any]) -> None:
    assert told(given) == set()
