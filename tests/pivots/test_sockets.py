"""Sockets of stays on dropouts and lugs: along the stay, outside of the room beside a lug."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

import numpy as np
import pytest

from frame3d.pivots.sockets import (
    FREE,
    SOCKET_BACK,
    SOCKET_DEPTH,
    SOCKET_WALL,
    TONGUE,
    arm_to,
    middle_of,
    plate_of,
    socket,
)
from frame3d.tubes.hardware import Lug
from frame3d.tubes.tube import Dropout, Tube
from tests.frames import bar, context

DROPOUT = Dropout("d", "left", (-400.0, 74.0, 30.0), 7.0, 30.0, 12.0, ())
LUG = Lug("lug", "p", "left", (0.0, 40.0, 0.0), 8.0, 24.0, 12.0, (), None)
"""Its round has a radius of 12, its room of 13."""


def stay(start: Any, end: Any, od: Any = 16.0) -> Tube:
    return context({"stay": bar(od, start, end, 1.0)}).tube("stay")


@pytest.mark.parametrize("which", ["start", "end"])
def test_a_socket_goes_along_its_stay(which: Literal["start", "end"]) -> None:
    """5 mm behind the stay's end and 8 mm over it, 1.5 mm of wall all around."""
    tip, far = (-370.0, 77.5, 40.0), (-100.0, 40.0, 20.0)
    one = stay(tip, far, {"height": 20.0, "width": 14.0})
    if which == "end":
        one = stay(far, tip, {"height": 20.0, "width": 14.0})
    found = socket(DROPOUT, one, which)
    along = np.subtract(far, tip) / np.linalg.norm(np.subtract(far, tip))
    assert found.back == pytest.approx(tip - SOCKET_BACK * along)
    assert found.front == pytest.approx(tip + SOCKET_DEPTH * along)
    assert (found.height, found.width) == (20 + 2 * SOCKET_WALL, 14 + 2 * SOCKET_WALL)
    assert found.arm is not None
    assert found.arm.end == pytest.approx(tip)
    assert found.arm.start == pytest.approx(middle_of(DROPOUT))
    assert found.joined


def test_a_stay_in_the_middle_of_the_boss_needs_no_arm() -> None:
    one = stay(tuple(middle_of(DROPOUT)), (-100.0, 40.0, 20.0))
    found = socket(DROPOUT, one, "start")
    assert found.arm is found.tongue is None


def test_the_middle_lies_outward_on_either_side() -> None:
    assert middle_of(DROPOUT) == pytest.approx([-400, 77.5, 30])
    right = replace(DROPOUT, side="right", axle=(-400.0, -74.0, 30.0))
    assert middle_of(right) == pytest.approx([-400, -77.5, 30])


def distance_of(found: Any, lug: Lug) -> float:
    """How near the socket's upright slice at its back comes to the lug's axle, seen from the side."""
    back, front = np.array(found.back)[[0, 2]], np.array(found.front)[[0, 2]]
    along = (front - back) / np.linalg.norm(front - back)
    square = np.array([-along[1], along[0]])
    across = np.linspace(-found.height / 2, found.height / 2, 2001)[:, None] * square
    axle = np.array([lug.axle[0], lug.axle[2]])
    return float(np.linalg.norm(back + across - axle, axis=1).min())


@pytest.mark.parametrize("far", [13.5, 20.0, 60.0])
def test_a_socket_keeps_out_of_the_room_beside_a_lug(far: float) -> None:
    """Straight up in the lug's own plane: on a tongue of its plate near by, else on an arm."""
    one = stay((0.0, 44.0, far), (0.0, 44.0, 300.0))
    found = socket(LUG, one, "start")
    assert found.joined
    assert distance_of(found, LUG) >= min(LUG.room, far - SOCKET_BACK) - 1e-9
    assert found.tongue is not None
    if far <= LUG.room + FREE:
        assert found.arm is None
        assert found.tongue == pytest.approx((0.0, far, TONGUE * LUG.boss))
        assert distance_of(found, LUG) >= LUG.room - 0.01
    else:
        assert found.arm is not None
        assert found.arm.start[2] == pytest.approx(LUG.room + FREE)


@pytest.mark.parametrize(("od", "joined"), [(16.0, False), (8.0, True)])
def test_a_socket_that_nothing_of_the_lug_reaches_is_left_out(od: float, joined: bool) -> None:
    """It begins 13.2 mm from the axle; the tongue about 12.2 mm has a radius of 6: its wall, of half
    the stay's diameter and 1.5 mm more, lies around that or within.
    """
    one = stay((0.0, 44.0, 12.2), (0.0, 44.0, 300.0), od)
    found = socket(LUG, one, "start")
    assert found.back[2] > 12.2
    assert found.joined is joined


@pytest.mark.parametrize(("od", "joined"), [(16.0, False), (8.0, True)])
def test_a_socket_that_begins_level_with_its_stays_end_has_only_its_wall(
    od: float, joined: bool
) -> None:
    """The stay ends where the lug's room does, so that the socket has no back to be held by: the wall
    of a wide one would touch nothing but the end's own plane.
    """
    one = stay((0.0, 44.0, LUG.room), (0.0, 44.0, 300.0), od)
    found = socket(LUG, one, "start")
    assert found.back == pytest.approx((0.0, 44.0, LUG.room))
    assert found.joined is joined


def test_arms_to_the_side_start_from_a_tongue_on_a_lug_alone() -> None:
    end = np.array([60.0, 90.0, 0.0])
    arm, tongue = arm_to(LUG, end, (10.0, 9.0))
    assert tongue is not None
    assert tongue == pytest.approx((LUG.room + FREE, 0.0, TONGUE * LUG.boss))
    assert arm.start == pytest.approx((LUG.room + FREE, 44.0, 0.0))
    assert arm.end == pytest.approx(end)
    assert (arm.height[1], arm.width) == (10.0, (LUG.thickness, 9.0))
    arm, tongue = arm_to(DROPOUT, end, (10.0, 9.0))
    assert tongue is None
    assert arm.start == pytest.approx(middle_of(DROPOUT))


def test_a_lugs_plate_is_its_round_with_the_tongues() -> None:
    one = stay((0.0, 44.0, 60.0), (0.0, 44.0, 300.0))
    found = socket(LUG, one, "start")
    plate = plate_of(LUG, [found])
    assert plate.discs == ((0.0, 0.0, 12.0), found.tongue)
    assert (plate.low, plate.high) == LUG.span
    assert plate_of(LUG, []).discs == ((0.0, 0.0, 12.0),)


@pytest.mark.parametrize(("aside", "slanted"), [(46.0, True), (0.2, False)])
def test_a_steep_arm_within_the_room_starts_from_a_tongue_too(aside: float, slanted: bool) -> None:
    """10 mm from the axle: 46 mm aside it leaves the round's edge at once, 0.2 mm aside it does not."""
    arm, tongue = arm_to(LUG, np.array([10.0, 44.0 + aside, 0.0]), (10.0, 9.0))
    assert (tongue is not None) is slanted
    assert arm.start == pytest.approx((10.0, 44.0, 0.0) if slanted else (0.0, 44.0, 0.0))
