"""Warnings of features in butts, bends and welds, and of those that run into each other."""

from __future__ import annotations

from typing import Any

import pytest

from tests.featured import ALL, featured, one_tube

BUTTED = {"butted": [1.2, 0.8], "lengths": [150], "transition": 40}


def said(feature: dict[str, Any], **tube: Any) -> str:
    return " ".join(
        note.message for note in one_tube(feature, **tube).notes if "it on" in note.message
    )


@pytest.mark.parametrize(
    ("s", "kind", "words"),
    [
        (60, "boss", "within the butt of 1.2 mm"),
        (170, "boss", "on the taper from 1.2 to 0.8 mm"),
        (170, "port", "on the taper from 1.2 to 0.8 mm"),
        (60, "port", ""),
        (300, "boss", ""),
        (170, "guide", ""),
    ],
)
def test_butts_matter_to_what_pierces_the_wall(s: float, kind: str, words: str) -> None:
    found = said({"kind": kind, "from_start": s, "count": 1}, wall=BUTTED)
    assert words in found if words else found == ""


def test_a_bend_is_warned_of() -> None:
    bends = [{"along": 200, "rise": 40, "radius": 150}]
    assert "in a bend" in said({"kind": "port", "from_start": 210}, bends=bends)
    assert said({"kind": "port", "from_start": 40}, bends=bends) == ""


@pytest.mark.parametrize(
    ("below", "angle", "near"), [(66, 0, True), (95, 0, False), (66, 120, False)]
)
def test_a_joint_is_warned_of_on_its_own_side(below: float, angle: float, near: bool) -> None:
    """The top tube, 31.8 mm thick, sits on the seat tube's front, 40 mm below its top."""
    feature = {"kind": "boss", "from_end": below, "count": 1, "angle": angle}
    found = [n.message for n in featured({"seat_tube": {"it": feature}}).notes]
    assert any("joint with top tube, within the 8 mm" in m for m in found) is near


def test_a_port_through_a_joint_and_features_into_each_other() -> None:
    top = {"it": {"kind": "port", "from_end": 40, "angle": 0, "width": 8}}
    bike = featured({"seat_tube": top})
    assert any("through the joint with top tube" in n.message for n in bike.notes)
    two = {
        "one": {"kind": "boss", "from_start": 300, "count": 1},
        "two": {"kind": "port", "from_start": 305, "width": 8},
        "far": {"kind": "port", "from_start": 305, "width": 8, "angle": 180},
    }
    bike = featured({"down_tube": two})
    assert [n.message for n in bike.notes if "runs into" in n.message] == [
        "two on the down tube: runs into one on the down tube"
    ]


def test_a_bike_with_some_of_all_is_warned_of_nothing() -> None:
    assert [n.message for n in featured(ALL).notes if "features" in n.path] == []
