"""The side view's points: each figure of the chart is the distance or angle between them."""

from __future__ import annotations

import math

import pytest

from frame3d.bike.bike import Bike
from frame3d.bodies import bodies_of
from frame3d.report.side import Side
from tests.report.drawn import lines
from tests.report.samples import four_link_layout, hardtail_bike, minimal_bike

BIKES = {"hardtail": hardtail_bike, "four_link": four_link_layout, "minimal": minimal_bike}


@pytest.fixture(params=BIKES)
def side(request: pytest.FixtureRequest) -> Side:
    bike: Bike = BIKES[request.param]()
    return Side(bike, bodies_of(bike))


def test_points_are_as_far_apart_as_the_figures_say(side: Side) -> None:
    axle, contact = side.at("front_axle"), side.at("front_contact")
    race, top = side.at("crown_race"), side.at("head_tube_top")
    assert math.dist(race, side.axle_foot) == pytest.approx(side.known("fork_axle_to_crown"))
    assert math.dist(axle, side.axle_foot) == pytest.approx(abs(side.known("fork_offset")))
    assert math.dist(contact, side.contact_foot) == pytest.approx(side.known("mechanical_trail"))
    assert side.steer_foot[0] - contact[0] == pytest.approx(side.known("trail"))
    assert contact[1] == side.steer_foot[1] == pytest.approx(side.ground)
    assert math.dist((0, 0), side.seat_foot) == pytest.approx(abs(side.known("seat_tube_offset")))
    assert top[0] - side.seat_at_stack[0] == pytest.approx(side.known("effective_top_tube"))
    assert side.contact_foot[1] - contact[1] == pytest.approx(side.known("wheel_flop"))


def test_directions_are_the_angles_of_head_and_seat_tube(side: Side) -> None:
    head = math.degrees(math.atan2(-side.down[1], side.down[0]))
    seat = math.degrees(math.atan2(side.seat_up[1], -side.seat_up[0]))
    assert head == pytest.approx(side.known("head_tube_angle"))
    assert seat == pytest.approx(side.known("actual_seat_tube_angle"))
    assert side.ahead[0] * side.down[0] + side.ahead[1] * side.down[1] == pytest.approx(0)
    assert side.ahead[0] > 0
    # The three feet of the steering axis lie on it.
    race = side.at("crown_race")
    for x, z in (side.steer_foot, side.axle_foot, side.contact_foot):
        off = (x - race[0]) * side.ahead[0] + (z - race[1]) * side.ahead[1]
        assert off == pytest.approx(0, abs=1e-6)


def test_everything_drawn_lies_within_the_corners(side: Side) -> None:
    (x0, z0), (x1, z1) = side.corners
    drawn = [
        point
        for class_ in ("part", "frame", "link", "part open", "frame open")
        for loop in lines(side.marks(), class_)
        for point in loop
    ]
    assert len(drawn) > 100
    assert all(x0 - 0.06 <= x <= x1 + 0.06 and z0 - 0.06 <= -y <= z1 + 0.06 for x, y in drawn)
    assert z0 == pytest.approx(side.ground, abs=0.5)


def test_a_bike_without_tubes_is_drawn_in_lines_between_its_nodes() -> None:
    bike = minimal_bike()
    side = Side(bike, bodies_of(bike))
    assert not bike.tubes
    drawn = lines(side.marks(), "frame open")
    assert len(drawn) == 6
    ends = [(x, -y) for line in drawn for x, y in line]
    for node in ("head_tube_top", "head_tube_bottom", "rear_axle", "seat_tube_top"):
        assert min(math.dist(side.at(node), end) for end in ends) < 0.1
    assert side.top_tube_edge("standover") is None


def test_the_top_tubes_edge_is_the_standover_above_the_ground() -> None:
    bike = hardtail_bike()
    side = Side(bike, bodies_of(bike))
    edge = side.top_tube_edge("standover")
    assert edge is not None
    assert edge[0] == pytest.approx(0, abs=1e-9)  # straight above the bottom bracket
    assert edge[1] - side.ground == bike.chart["standover"]
    middle = side.top_tube_edge("standover_mid_tube")
    assert middle is not None
    (tube,) = [t for t in bike.tubes if t.name == "top_tube"]
    start, end = tube.axis.start, tube.axis.end
    assert middle[0] == pytest.approx((start[0] + end[0]) / 2, abs=1e-6)
