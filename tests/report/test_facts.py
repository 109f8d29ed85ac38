"""Facts about parts: sections in words, what a part joins, values of the file."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from frame3d.bodies import bodies_of
from frame3d.report.data import ReportData
from frame3d.report.facts import joins, plain_value, section_text
from frame3d.report.meshes import meshes_of
from frame3d.report.texts import texts
from tests.frames import bar, context
from tests.report.samples import bare, hardtail_bike
from tests.report.test_scene import document


@cache
def meshed() -> ReportData:
    """The demo hardtail, meshed and not checked."""
    return bare(hardtail_bike(), meshes=meshes_of(hardtail_bike(), bodies_of(hardtail_bike())))


def test_facts_of_a_part() -> None:
    parts = {p["name"]: p for p in document(meshed())["parts"]}
    facts = dict(parts["down_tube"]["facts"])
    assert facts["Section"] == "⌀ 38.1, wall 0.9/0.6/0.9"
    assert facts["Joins"] == "Bottom bracket shell, Head tube"
    assert facts["Mass"] == "460 g"
    assert dict(parts["chainstay_left"]["facts"])["Section"] == "26 × 11.5 to ⌀ 16, wall 0.9"
    assert dict(parts["rear_tyre"]["facts"])["Size"] == "61-622"
    assert parts["front_rotor"]["group"] == "front_wheel"


@pytest.mark.parametrize(
    ("od", "wall", "said"),
    [
        (38.1, 0.9, "⌀ 38.1, wall 0.9"),
        (30, "solid", "⌀ 30, solid"),
        ({"start": 62, "end": 50.25}, 2.0, "⌀ 62 to ⌀ 50.25, wall 2"),
        ({"height": 30, "width": 17}, 1.0, "30 × 17, wall 1"),
        ({"height": 30, "width": 30}, 1.25, "⌀ 30, wall 1.25"),
        (
            {"start": {"height": 30, "width": 17}, "end": 16},
            {"butted": [0.9, 0.6], "lengths": [60], "transition": 20},
            "30 × 17 to ⌀ 16, wall 0.9/0.6",
        ),
        (
            {"height": 40, "width": 30, "corner": 4.5},
            2.0,
            "40 × 30 rectangular, corners 4.5, wall 2",
        ),
        (
            {"height": 40, "width": 30, "corner": 4, "flat": "above"},
            "solid",
            "40 × 30 D, corners 4, solid",
        ),
    ],
)
def test_a_section_in_words(od: Any, wall: Any, said: str) -> None:
    bike = context({"brace": bar(od, (0, 0, 0), (200, 0, 0), wall=wall)})
    assert section_text(bike, "brace", texts()) == said
    assert section_text(bike, "rear_tyre", texts()) is None


def test_a_shell_has_a_section_too() -> None:
    said = section_text(hardtail_bike(), "bottom_bracket", texts())
    assert said is not None
    assert said.startswith("⌀ 40, wall 3.")  # 40 outside a bore of 33.65


def test_joining_goes_both_ways() -> None:
    bike = hardtail_bike()
    names = [tube.name for tube in bike.tubes]
    for name in names:
        for other in joins(bike, name):
            if other in names:
                assert name in joins(bike, other)
    assert "seat_tube" in joins(bike, "top_tube")


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        ("build.rear_wheel.tyre", "61-622"),
        ("geometry.reach", "455"),
        ("build.rear_wheel", None),
        ("build.nothing.there", None),
        ("tubes.chainstay.pair", None),
    ],
)
def test_a_plain_value_of_the_file(path: str, shown: str | None) -> None:
    assert plain_value(hardtail_bike().spec, path) == shown
