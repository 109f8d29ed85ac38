"""Pieces of pivots by hand: faces, openings, the room that they keep."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.tubes.hardware import AROUND, Boss, Housing, Lug, Seat

HOUSING = Housing("housing_p", "p", (10.0, 0.0, 70.0), 60.0, 30.0, 12.0, None)
LUG = Lug("lug", "p", "left", (10.0, 40.0, 70.0), 8.0, 24.0, 12.0, (), None)


def test_a_housing_runs_across_from_right_to_left() -> None:
    axis, section = HOUSING.axis, HOUSING.section
    assert axis.at(0.0) == pytest.approx((10.0, -30.0, 70.0))
    assert axis.at(axis.length) == pytest.approx((10.0, 30.0, 70.0))
    assert section.area_at(30.0) == pytest.approx(np.pi / 4 * (30.0**2 - 12.0**2))


def test_its_opening_is_the_bearings_seat_where_it_has_one() -> None:
    assert HOUSING.opening == 12.0
    assert replace(HOUSING, seat=Seat(24.0, 7.0)).opening == 24.0


@pytest.mark.parametrize(
    ("side", "y", "span"), [("left", 40.0, (40.0, 48.0)), ("right", -40.0, (-48.0, -40.0))]
)
def test_a_lug_grows_away_from_the_centre_plane(
    side: str, y: float, span: tuple[float, float]
) -> None:
    lug = replace(LUG, side=side, axle=(10.0, y, 70.0))  # type: ignore[arg-type]
    assert lug.span == span


def test_a_lug_keeps_room_for_the_wider_of_round_and_eye() -> None:
    assert LUG.room == 12.0 + AROUND
    assert replace(LUG, eye=30.0).room == 15.0 + AROUND
    assert replace(LUG, eye=10.0).room == 12.0 + AROUND


def test_a_boss_that_stands_out_is_slimmer_than_its_round() -> None:
    assert 0 < Boss("p", 0.0, 0.0, 10.0, 14.0, 26.0, 12.0).stands < 26.0
