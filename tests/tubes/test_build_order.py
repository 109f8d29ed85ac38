"""The order in which tubes are placed: each after what it sits on."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.bike.place_tubes import PlacedTubes
from tests.bikes import hardtail_data
from tests.tubes.placing import OTHER, Faulty, assert_fault, from_data, strut


def test_order_of_the_file_gives_way_to_what_leans_on_what() -> None:
    data = hardtail_data()
    data["tubes"] = dict(reversed(data["tubes"].items()))
    order = [t.key for t in from_data(data).tubes]
    assert order[:2] == ["head_tube", "seat_tube"]
    for bridge, host in (("seatstay_bridge", "seatstay"), ("chainstay_bridge", "chainstay")):
        assert order.index(host) < order.index(bridge)


def test_whatever_a_tube_is_cut_by_comes_before_it(hardtail: PlacedTubes) -> None:
    names = [t.name for t in hardtail.tubes]
    for i, tube in enumerate(hardtail.tubes):
        assert set(tube.cut_by) <= {"bottom_bracket", *names[:i]}
        targets = [e.target for e in (tube.start, tube.end) if e.cut == "mitre"]
        assert list(tube.cut_by[: len(targets)]) == targets


FAULTS: dict[str, Faulty] = {
    "unknown name": (
        strut({"on": "sead_tube", "below_top": 50.0}, OTHER),
        "junction-target",
        "tubes.strut.start.on",
        "there is no tube or node sead_tube",
    ),
    "in a circle": (
        {
            "one": {
                "od": 20.0,
                "wall": 1.0,
                "start": {"on": "two", "from_start": 50.0},
                "end": OTHER,
            },
            "two": {
                "od": 20.0,
                "wall": 1.0,
                "start": OTHER,
                "end": {"on": "strut", "from_start": 50.0},
            },
            **strut({"on": "one", "from_start": 50.0}, OTHER),
        },
        "junction-cycle",
        "tubes.one.start.on",
        "in a circle: one → two → strut → one",
    ),
    "on itself": (
        strut({"on": "strut", "from_start": 50.0}, OTHER),
        "junction-cycle",
        "tubes.strut.start.on",
        "in a circle: strut → strut",
    ),
    "member's name": (
        {"seatstay_left": strut({"on": "seat_tube", "below_top": 50.0}, OTHER)["strut"]},
        "bad-name",
        "tubes.seatstay_left",
        "has this name already",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    assert_fault(tubes, code, path, words)
