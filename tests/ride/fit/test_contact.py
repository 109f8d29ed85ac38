"""Contact points, against distances laid off by hand."""

from __future__ import annotations

import math

import pytest

from frame3d.ride.fit.contact import Points, contact, turned

POINTS = Points(saddle=(-200.0, 700.0), grips=(450.0, 720.0), crank=170.0, seat_up=(-0.28, 0.96))


def test_distances_by_hand() -> None:
    found = contact("drawn", POINTS, 330.0)
    assert (found.grip_reach, found.grip_stack) == (450, 720)
    assert (found.saddle_setback, found.saddle_stack) == (200, 700)
    assert found.saddle_height == pytest.approx(math.sqrt(200**2 + 700**2))
    assert found.saddle_angle == pytest.approx(math.degrees(math.atan(3.5)))
    assert (found.saddle_to_grips, found.grips_above_saddle) == (650, 20)
    assert found.saddle_to_grips_straight == pytest.approx(math.sqrt(650**2 + 20**2))
    assert found.saddle_to_pedal == pytest.approx(found.saddle_height + 170)
    assert found.saddle_above_pedal == 870
    assert (found.saddle_above_ground, found.grips_above_ground) == (1030, 1050)
    assert found.pedal_above_ground == 160


def test_the_saddle_drops_along_its_post() -> None:
    down = contact("saddle_down", POINTS.dropped(100.0), 330.0)
    assert (down.saddle_setback, down.saddle_stack) == pytest.approx((172, 604))
    assert down.grips_above_saddle == pytest.approx(116)


def test_a_turn_keeps_what_is_rigid_and_lifts_the_nose() -> None:
    flat, up = contact("drawn", POINTS, 330.0), contact("sag", POINTS, 330.0, 2.0)
    for name in ("saddle_height", "saddle_to_grips_straight", "saddle_to_pedal"):
        assert getattr(up, name) == pytest.approx(getattr(flat, name))
    assert flat.grip_stack is not None
    assert up.grip_stack is not None
    assert up.grip_stack > flat.grip_stack
    assert flat.saddle_angle is not None
    assert up.saddle_angle == pytest.approx(flat.saddle_angle - 2)
    assert turned((1.0, 0.0), 90.0) == pytest.approx((0, 1))


def test_what_is_not_given_has_no_distance() -> None:
    none = contact("drawn", Points(None, None, None, (0.0, 1.0)), 330.0)
    given = {name for name in none.__slots__ if getattr(none, name) is not None}
    assert given == {"stance", "pitch_degrees"}
    grips = contact("drawn", Points(None, (450.0, 720.0), None, (0.0, 1.0)).dropped(50.0), 330.0)
    assert grips.grips_above_ground == 1050
    assert grips.saddle_to_grips is None
