"""Where features stand: directions around tubes of every run, and feet on round and oval outsides."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from frame3d.tubes.features.stand import directions, inner, reach, root, spot, spots
from tests.featured import featured, of, one_tube


@pytest.mark.parametrize(
    ("tube", "zero", "quarter"),
    [
        ("down_tube", (0, 0, 1), (0, 1, 0)),
        ("seat_tube", (1, 0, 0), (0, 1, 0)),
        ("head_tube", (1, 0, 0), (0, 1, 0)),
        ("chainstay_left", (0, 0, 1), (0, 1, 0)),
        ("chainstay_right", (0, 0, 1), (0, -1, 0)),
        ("seatstay_bridge", (0, 0, 1), (1, 0, 0)),
    ],
)
def test_directions_are_those_of_the_file(
    tube: str, zero: tuple[int, ...], quarter: tuple[int, ...]
) -> None:
    """0 is up, or forward on a steep tube; 90 left, mirrored on the right one, forward on a bridge."""
    placed = featured({}).tube(tube)
    up, side = directions(placed, placed.axis.length / 2)
    along = placed.axis.tangent(placed.axis.length / 2)
    assert up @ zero > 0.6
    assert side @ quarter > 0.7
    assert abs(up @ side) + abs(up @ along) + abs(side @ along) == pytest.approx(0, abs=1e-12)


def test_a_foot_on_an_oval_lies_in_its_direction() -> None:
    """R = ab / √((b cos)² + (a sin)²): an ellipse in polar coordinates."""
    tube = one_tube({"kind": "vent", "from_start": 200}, od={"height": 30.0, "width": 18.0}).tube(
        "beam"
    )
    for angle in (0.0, 35.0, 90.0, -120.0):
        place = spot(tube, 120.0, angle)
        turn, a, b = np.radians(angle), 15.0, 9.0
        assert place.radius == pytest.approx(
            a * b / np.hypot(b * np.cos(turn), a * np.sin(turn)), abs=1e-9
        )
        assert place.foot == pytest.approx(
            [-80, place.radius * np.sin(turn), 100 + place.radius * np.cos(turn)]
        )


def test_a_row_is_even_about_its_middle_and_pairs_mirror() -> None:
    bike = featured()
    row = of(bike, "under")
    assert row.s == pytest.approx((236.0, 300.0, 364.0))
    left, right = (
        spots(of(bike, "rack", side), bike.tube(f"seatstay_{side}"))[0].foot
        for side in ("left", "right")
    )
    assert left * [1, -1, 1] == pytest.approx(right, abs=1e-9)
    assert left[1] > bike.tube("seatstay_left").axis.at(of(bike, "rack", "left").s[0])[1]


def test_the_inside_is_the_outside_less_the_wall() -> None:
    tube = one_tube({"kind": "vent", "from_start": 200}).tube("beam")
    assert reach(inner(tube), tube.axis.at(100.0), np.array([0.0, 1.0, 0.0])) == pytest.approx(19.0)
    solid = one_tube({"kind": "boss", "from_start": 200}, wall="solid").tube("beam")
    assert inner(solid) is solid


def test_a_root_without_a_change_of_sign_is_a_bound() -> None:
    low, high = np.zeros(2), np.full(2, 3.0)
    assert root(lambda x: x - [1.25, 9.0], low, high) == pytest.approx([1.25, 3.0])


def test_root_is_where_values_turn_positive() -> None:
    """Roots by closed form, of even, flat and steep values; else the bound that is told."""
    forms: tuple[Callable[[Any], Any], ...] = (
        lambda x: x - 17.3,
        lambda x: np.hypot(x, 0.5) - 15.0,
        lambda x: np.cbrt(x - 3.0),
        lambda x: (x - 5.0) ** 3,
        lambda x: np.exp(x / 10) - 50.0,
    )
    found = root(
        lambda x: np.array([form(value) for form, value in zip(forms, x, strict=True)]),
        np.zeros(len(forms)),
        np.full(len(forms), 60.0),
    )
    assert found == pytest.approx(
        [17.3, np.sqrt(15.0**2 - 0.5**2), 3.0, 5.0, 10 * np.log(50.0)], abs=2e-10
    )
    bounds = root(lambda x: np.array([x[0] + 1.0, x[1] - 100.0]), np.zeros(2), np.full(2, 60.0))
    assert bounds.tolist() == [0.0, 60.0]
