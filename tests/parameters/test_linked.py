"""Tubes and the links that they belong to: each fault stands at its line, once, with a way out."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault, SpecError
from frame3d.parameters import loads
from frame3d.parameters.starters.starter import starter

TEXT = starter("My bike", "four-bar")


def faults_of(*changes: tuple[str, str]) -> list[Fault]:
    """What reading the four-bar starter says after changes to its text."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    with pytest.raises(SpecError) as caught:
        loads(text, "my_bike.yaml")
    for fault in caught.value.faults:
        assert fault.hint
        assert fault.place is not None
        assert fault.place.line is not None
        if fault.path.rpartition(".")[2] in fault.place.text:
            continue
        assert fault.path.split(".")[1] in fault.place.text, fault.render()
    return list(caught.value.faults)


STAY = "    start: {on: rocker_rear, y: 44, stop_short: 14}\n"
CASES = {
    "a link that is not there": (
        ("    link: seatstay_link\n" + STAY, "    link: seatstay\n" + STAY),
        {"tubes.seatstay.link": ("there is no link seatstay", "did you mean seatstay_link?")},
    ),
    "an end on a foreign pivot": (
        ("end: {on: rear_pivot, y: 78.5", "end: {on: rocker_rear, y: 78.5"),
        {
            "tubes.chainstay.end.on": (
                "rocker_rear is no point of chainstay_link",
                "points of chainstay_link: main_pivot, rear_pivot",
            )
        },
    ),
    "an end on a foreign tube": (
        ("start: {on: chainstay, side: left, from_start: 35", "start: {on: seat_tube, from_start: 35"),
        {
            "tubes.chainstay_bridge.start.on": (
                "seat_tube belongs to frame and chainstay_bridge to chainstay_link",
                "a pivot of chainstay_link, e.g. on: main_pivot",
            )
        },
    ),
    "the front frame on a link's tube": (
        ("end: {on: seat_tube, from_start: 75}", "end: {on: seatstay, side: left, from_start: 30}"),
        {
            "tubes.pivot_strut.end.on": (
                "seatstay belongs to seatstay_link and pivot_strut to frame",
                "tubes.pivot_strut.link: seatstay_link",
            )
        },
    ),
    "dropouts that move with another link": (
        ("end: {on: rear_pivot, y: 78.5, stop_short: 24}", "end: {on: rear_dropout, y: 78.5}"),
        {
            "tubes.chainstay.end.on": (
                "rear_dropout belongs to seatstay_link",
                "tubes.chainstay.link: seatstay_link",
            )
        },
    ),
    "a node of the front frame": (
        ("    start: {on: main_pivot, y: 31}\n", "    start: {on: bottom_bracket, y: 31}\n"),
        {"tubes.chainstay.start.on": ("bottom_bracket belongs to frame", "on: main_pivot")},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_one_mistake_is_one_fault(name: str) -> None:
    change, expected = CASES[name]
    found = faults_of(change)
    assert [fault.path for fault in found] == list(expected), [f.render() for f in found]
    for fault, (message, hint) in zip(found, expected.values(), strict=True):
        assert fault.code in ("inconsistent", "not-allowed")
        assert message in fault.message
        assert hint in fault.hint


def test_a_tube_on_the_wrong_link_tells_of_every_joint() -> None:
    start = "    start: {on: main_pivot, y: 31}\n"
    found = faults_of(("    link: chainstay_link\n" + start, "    link: rocker\n" + start))
    assert {fault.path for fault in found} == {
        "tubes.chainstay.start.on",
        "tubes.chainstay.end.on",
        "tubes.chainstay_bridge.start.on",
        "tubes.chainstay_bridge.end.on",
    }
    assert all("rocker" in fault.message for fault in found)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        (("axle: {on: seatstay_link} ", "axle: {on: wheel} "), "suspension.axle.on"),
        (("size: 210x52.5", "size: 210x53"), "suspension.shock.size"),
        (("travel: 140 ", "travel: long "), "suspension.travel"),
        (("rocker_pivot: {on: seat_tube,", "rocker_pivot: {on: seat,"), "suspension.points.rocker_pivot.on"),
    ],
)  # fmt: skip
def test_a_suspension_at_fault_blames_no_tube(change: tuple[str, str], path: str) -> None:
    assert [fault.path for fault in faults_of(change)] == [path]


def test_a_tube_at_fault_blames_no_other_tube() -> None:
    found = faults_of(("od: {start: 20, end: 17}", "od: {start: 20, end: none}"))
    assert [fault.path for fault in found] == ["tubes.seatstay.od.end"]


def test_faults_of_tube_and_suspension_come_together() -> None:
    found = faults_of(
        ("wall: 1.4", "wall: 90"), ("size: 210x52.5", "size: 210x53"), ("reach: 480", "reach: far")
    )
    assert [fault.path for fault in found] == [
        "geometry.reach",
        "tubes.top_tube.wall",
        "suspension.shock.size",
    ]


def test_without_a_suspension_no_tube_may_name_a_link() -> None:
    text = TEXT[: TEXT.index("suspension:\n")]
    with pytest.raises(SpecError) as caught:
        loads(text)
    found = {fault.path: fault for fault in caught.value.faults}
    assert "no rear suspension" in found["tubes.seatstay.link"].message
    assert "leave link out" in found["tubes.seatstay.link"].hint


def test_points_on_a_tube_at_fault_are_not_blamed_for_it() -> None:
    change = ("    od: 36\n    wall: 2.2\n", "    od: 36\n    wall: thick\n")
    assert [fault.path for fault in faults_of(change)] == ["tubes.seat_tube.wall"]


def test_a_suspension_without_tubes_is_read_beside_another_fault() -> None:
    before, after = TEXT[: TEXT.index("tubes:\n")], TEXT[TEXT.index("suspension:\n") :]
    with pytest.raises(SpecError) as caught:
        loads(before.replace("reach: 480", "reach: far") + after)
    told = [fault.path for fault in caught.value.faults]
    assert told[0] == "geometry.reach"
    assert set(told[1:]) == {
        f"suspension.points.{point}.on" for point in ("main_pivot", "rocker_pivot", "shock_front")
    }
