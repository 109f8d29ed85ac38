"""Which bodies meet, counted by hand on a small front triangle with a brace."""

from __future__ import annotations

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.errors import SpecError
from frame3d.fabrication.bench.joints import joints_of, own_order, spread
from frame3d.parameters.reading.reader import loads
from tests.fabrication.bikes import demo
from tests.fabrication.samples import SMALL

MEET = (
    ("seat_tube", "bottom_bracket"),
    ("down_tube", "bottom_bracket"),
    ("down_tube", "head_tube"),
    ("down_tube", "seat_tube"),
    ("top_tube", "seat_tube"),
    ("top_tube", "head_tube"),
    ("brace", "down_tube"),
    ("brace", "top_tube"),
)


def small(bench: str = "") -> Bike:
    return solve(loads(SMALL + bench, "small.yaml"))


def listed(*pairs: tuple[str, str]) -> str:
    return "bench: {order: [" + ", ".join(f"[{a}, {b}]" for a, b in pairs) + "]}\n"


def test_every_two_that_meet_are_one_joint() -> None:
    joints = joints_of(small())
    assert {joint.names for joint in joints} == {frozenset(pair) for pair in MEET}
    assert len(joints) == len(MEET)


def test_a_joint_comes_once_both_its_bodies_are_there() -> None:
    bike = demo("trail_full_140")
    at = {tube.key: i for i, tube in enumerate(bike.tubes)}
    for joint in joints_of(bike):
        if joint.first in at and joint.second in at:
            assert at[joint.first] > at[joint.second]
    links = [joint.assembly for joint in joints_of(bike)]
    assert list(dict.fromkeys(links)) == ["front frame", "chainstay link", "seatstay link"]
    assert links == sorted(links, key=list(dict.fromkeys(links)).index)


def test_both_sides_are_one_joint() -> None:
    joints = {joint.names: joint for joint in joints_of(demo("trail_hardtail_29"))}
    assert joints[frozenset(("chainstay", "rear_dropout"))].sides == 2
    assert joints[frozenset(("down_tube", "head_tube"))].sides == 1


def test_the_builders_order_replaces_ours() -> None:
    pairs = [(b, a) for a, b in reversed(MEET)]
    bike = small(listed(*pairs))
    order = own_order(bike, joints_of(bike))
    assert [joint.names for joint in order] == [frozenset(pair) for pair in pairs]


def test_joints_left_out_or_made_up_are_told_with_their_line() -> None:
    pairs = (*MEET[:-1], ("brace", "head_tube"))
    bike = small(listed(*pairs))
    with pytest.raises(SpecError) as caught:
        own_order(bike, joints_of(bike))
    faults = {fault.path: fault for fault in caught.value.faults}
    assert set(faults) == {"bench.order.7", "bench.order"}
    assert "brace and head_tube do not meet" in faults["bench.order.7"].message
    assert faults["bench.order.7"].hint == "brace meets down_tube, top_tube"
    assert "[brace, top_tube]" in faults["bench.order"].hint
    place = faults["bench.order"].place
    assert place is not None
    assert place.line == SMALL.count("\n") + 1


def test_heat_is_spread() -> None:
    """No two neighbours share a body as long as there is a choice."""
    joints = joints_of(small())
    order = spread(joints)
    assert sorted(order, key=joints.index) == list(joints)
    for i in range(1, len(order)):
        if order[i].names & order[i - 1].names:
            assert all(joint.names & order[i - 1].names for joint in order[i:])
