"""The seatpost's direction, and the saddle moved along it; grips and heights: see test_posture."""

from __future__ import annotations

import pytest

from frame3d.rider.contacts import crank_of, saddle_at, seatpost_axis
from tests.charts import TRAIL, spec


def test_a_seatpost_leans_back() -> None:
    assert seatpost_axis({"actual_seat_tube_angle": 90.0}) == pytest.approx(1j)
    assert seatpost_axis({"actual_seat_tube_angle": 60.0}) == pytest.approx(-0.5 + 0.75**0.5 * 1j)


def test_the_saddle_moves_along_the_post() -> None:
    """A post 30 mm ahead of the bottom bracket, upright: 3, 4, 5."""
    assert saddle_at(30 + 700j, 1j, 50) == pytest.approx(30 + 40j)
    assert saddle_at(30 + 700j, 1j, 20) == pytest.approx(30 + 0j)


def test_cranks() -> None:
    assert crank_of(spec(TRAIL)) == 170
    assert crank_of(spec(TRAIL, {"crank": {"length": 165}})) == 165
