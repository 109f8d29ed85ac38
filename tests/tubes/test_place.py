"""Placing features: what cannot stand is left out with its line; bottles imply their bosses."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from frame3d import solve
from frame3d.parameters.reading.reader import loads
from frame3d.tubes.features.place import bottle_bosses
from tests.featured import featured, of, one_tube

RIGID = (Path(__file__).parents[2] / "configs" / "adventure_rigid.yaml").read_text()


@pytest.mark.parametrize(
    ("tube", "feature", "words"),
    [
        ("top_tube", {"kind": "boss", "from_start": 900}, "mm off the tube"),
        ("top_tube", {"kind": "port", "from_start": 300, "width": 31}, "larger than the bore"),
        ("top_tube", {"kind": "vent", "from_start": 300, "diameter": 40}, "larger than the bore"),
        ("seatstay", {"kind": "boss", "from_start": 200, "thread": "M8", "diameter": 30}, "allows"),
        (
            "seatstay",
            {"kind": "port", "from_start": 200, "width": 6, "length": 12, "lean": 60},
            "cut the far wall",
        ),
        ("down_tube", {"kind": "clamp_slot"}, "only the seat tube"),
        ("down_tube", {"kind": "boss", "from_start": 18, "count": 1}, "no metal"),
    ],
)
def test_what_cannot_stand_is_left_out_and_the_rest_stays(
    tube: str, feature: dict[str, Any], words: str
) -> None:
    bike = featured({tube: {"wrong": feature, "right": {"kind": "vent", "from_end": 200}}})
    assert {f.name for f in bike.frame.features} == {"right"}
    (note,) = (n for n in bike.notes if "wrong" in n.message)
    assert words in note.message
    assert note.message.endswith("it is left out")
    assert note.path == f"tubes.{tube}.features.wrong"


def test_a_warning_names_its_line() -> None:
    put = "  top_tube:\n    features:\n      far: {kind: boss, from_start: 700}\n"
    bike = solve(loads(RIGID.replace("  top_tube:\n", put)))
    (note,) = (n for n in bike.notes if "features" in n.path)
    assert note.place is not None
    line = note.place.line
    assert line is not None
    assert "far:" in RIGID.replace("  top_tube:\n", put).splitlines()[line - 1]


def test_a_bar_has_no_inside_for_a_port() -> None:
    bike = one_tube({"kind": "port", "from_start": 200, "width": 4}, wall="solid")
    assert not bike.frame.features
    assert any("the tube is a bar" in note.message for note in bike.notes)


def test_bottles_imply_two_bosses_about_their_middle() -> None:
    bottle = {"on": "seat_tube", "from_start": 100, "side": "front", "length": 180}
    bike = featured({}, bottles=[bottle, {**bottle, "on": "down_tube", "side": "bottom"}])
    one, two = bike.frame.features
    assert (one.s, one.angle, one.implied) == ((158.0, 222.0), 0.0, True)
    assert (two.key, two.angle) == ("down_tube", 180.0)
    assert bottle_bosses(bike.spec, ()) == ()


def test_bosses_of_the_file_take_the_place_of_a_bottle_s() -> None:
    bottle = [{"on": "down_tube", "from_start": 250, "length": 190}]
    held = featured({"down_tube": {"cage": {"kind": "boss", "from_start": 345}}}, bottles=bottle)
    assert [f.implied for f in held.frame.features] == [False]
    beside = {"cage": {"kind": "boss", "from_start": 375}}
    apart = featured({"down_tube": beside}, bottles=bottle)
    assert any("does not hold it" in note.message for note in apart.notes)
    assert of(apart, "bottle_1").implied
