"""What everyone in the trade knows happens: common practice, no source.

Each check is a direction, or a magnitude within generous bounds.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from frame3d.chart.as_built import pitch, sagged_parts
from frame3d.chart.givens import held, shown
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import Solved, solve_chart
from frame3d.rider.posture import place_rider
from tests.charts import MULLET, ROAD, TRAIL, spec, without

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}
COCKPIT = {
    "stem": {"length": 50, "angle": 0, "spacers": 10},
    "handlebar": {"rise": 20, "forward": -30},
    "rider": {"mass_kg": 80, "height": 1780, "inseam": 830},
    "seatpost": {"saddle_height": 735},
}

bikes = pytest.mark.parametrize("bike", BIKES)


def chart(figures: Mapping[str, float]) -> dict[str, float]:
    return numbers(solve_chart(spec(figures)).values)


def numbers(values: Mapping[str, float]) -> dict[str, float]:
    """Variables, with angles in degrees."""
    return {name: shown(name, value) for name, value in values.items()}


def as_built(solved: Solved, **parts: float) -> dict[str, float]:
    """Change of each figure on the built frame, with parts given by how much they grow [mm]."""
    pitched = pitch(solved, {name: solved.values[name] + by for name, by in parts.items()})
    assert pitched is not None
    before, after = numbers(solved.values), numbers(pitched.values)
    return {name: after[name] - before[name] for name in before}


# --- design: the figures stand, the frame changes -----------------------------------------------


@bikes
def test_a_slacker_head_angle_lengthens_front_centre_and_trail(bike: str) -> None:
    figures = BIKES[bike]
    slack = chart(figures | {"head_tube_angle": figures["head_tube_angle"] - 1})
    before = chart(figures)
    for figure in ("front_centre", "wheelbase", "trail", "mechanical_trail", "wheel_flop"):
        assert slack[figure] > before[figure], figure
    assert slack["stack"] < before["stack"]
    # About 5 to 7 mm of trail and 8 to 13 mm of front centre a degree on any bike.
    assert 4 < slack["trail"] - before["trail"] < 9
    assert 5 < slack["front_centre"] - before["front_centre"] < 15


@bikes
def test_more_fork_offset_lessens_trail_and_lengthens_the_front(bike: str) -> None:
    figures = BIKES[bike]
    more, before = chart(figures | {"fork_offset": figures["fork_offset"] + 7}), chart(figures)
    assert more["trail"] < before["trail"]
    assert more["wheelbase"] > before["wheelbase"]


@bikes
def test_more_reach_lengthens_the_wheelbase_by_as_much(bike: str) -> None:
    figures = BIKES[bike]
    more, before = chart(figures | {"reach": figures["reach"] + 20}), chart(figures)
    assert more["wheelbase"] - before["wheelbase"] == pytest.approx(20, abs=1e-9)
    assert more["effective_top_tube"] - before["effective_top_tube"] == pytest.approx(20, abs=1e-9)
    assert more["stack"] == pytest.approx(before["stack"], abs=1e-9)


@bikes
def test_a_longer_head_tube_raises_the_stack(bike: str) -> None:
    figures = BIKES[bike]
    more = chart(figures | {"head_tube_length": figures["head_tube_length"] + 10})
    before = chart(figures)
    assert 8.5 < more["stack"] - before["stack"] < 10
    # At the same reach the front wheel moves forward with it.
    assert more["front_centre"] > before["front_centre"]


@bikes
def test_a_longer_chainstay_lengthens_the_wheelbase_by_nearly_as_much(bike: str) -> None:
    figures = BIKES[bike]
    more = chart(figures | {"chainstay_length": figures["chainstay_length"] + 10})
    assert 10 <= more["wheelbase"] - chart(figures)["wheelbase"] < 10.5


@bikes
def test_more_drop_lowers_the_bottom_bracket_and_adds_stack(bike: str) -> None:
    figures = BIKES[bike]
    more, before = chart(figures | {"bb_drop": figures["bb_drop"] + 5}), chart(figures)
    assert more["bb_height"] - before["bb_height"] == pytest.approx(-5, abs=1e-9)
    assert more["stack"] - before["stack"] == pytest.approx(5, abs=1e-9)


@bikes
def test_a_steeper_seat_shortens_the_effective_top_tube(bike: str) -> None:
    figures = BIKES[bike]
    steeper = figures | {"effective_seat_tube_angle": figures["effective_seat_tube_angle"] + 1}
    shorter = chart(figures)["effective_top_tube"] - chart(steeper)["effective_top_tube"]
    # About a centimetre a degree.
    assert 8 < shorter < 13


@bikes
def test_a_steeper_seat_moves_the_rider_forward(bike: str) -> None:
    """Saddle forward, and weight to the front wheel."""
    figures = BIKES[bike]
    saddles, shares = [], []
    for more in (0.0, 2.0):
        angle = figures["effective_seat_tube_angle"] + more
        bike_spec = spec(figures | {"effective_seat_tube_angle": angle}, COCKPIT)
        solved = solve_chart(bike_spec)
        nodes = nodes_of(solved.values, 735)
        rider = place_rider(bike_spec, nodes, solved.figures())
        assert rider.seated is not None
        saddles.append(nodes["saddle"][0])
        rear, front = nodes["rear_contact"][0], nodes["front_contact"][0]
        shares.append((rider.seated.centre_of_mass[0] - rear) / (front - rear))
    assert saddles[1] > saddles[0] + 20
    assert 0.25 < shares[0] < shares[1] < 0.6


# --- as built: the frame stays, a part changes --------------------------------------------------


@bikes
def test_a_longer_fork_slackens_lifts_and_shortens(bike: str) -> None:
    change = as_built(solve_chart(spec(BIKES[bike])), fork_axle_to_crown=10)
    assert change["head_tube_angle"] < 0
    assert change["actual_seat_tube_angle"] < 0
    assert change["bb_height"] > 0
    assert change["reach"] < 0
    assert change["stack"] > 0
    assert change["trail"] > 0
    assert change["wheelbase"] > 0
    assert change["bb_drop"] < 0


def test_ten_millimetres_of_fork_are_about_half_a_degree() -> None:
    """And about a third of them at the bottom bracket, on a mountain bike."""
    change = as_built(solve_chart(spec(TRAIL)), fork_axle_to_crown=10)
    assert -0.55 < change["head_tube_angle"] < -0.35
    assert 2.5 < change["bb_height"] < 4.5
    assert -6 < change["reach"] < -3


@bikes
def test_a_taller_lower_cup_is_as_good_as_a_longer_fork(bike: str) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    cup = as_built(solved, lower_headset_stack=8)
    fork = as_built(solved, fork_axle_to_crown=8)
    assert cup["head_tube_angle"] < 0
    for figure in ("head_tube_angle", "reach", "stack", "bb_height", "trail", "wheelbase"):
        assert cup[figure] == pytest.approx(fork[figure], abs=1e-9), figure


@bikes
def test_a_bigger_rear_wheel_steepens_and_lifts(bike: str) -> None:
    change = as_built(solve_chart(spec(BIKES[bike])), rear_wheel_radius=15)
    assert change["head_tube_angle"] > 0
    assert change["actual_seat_tube_angle"] > 0
    assert change["trail"] < 0
    assert change["reach"] > 0
    assert 0 < change["bb_height"] < 15


@bikes
def test_a_smaller_front_wheel_steepens_and_lowers(bike: str) -> None:
    change = as_built(solve_chart(spec(BIKES[bike])), front_wheel_radius=-15)
    assert change["head_tube_angle"] > 0
    assert change["bb_height"] < 0
    assert change["trail"] < 0


@bikes
def test_more_offset_on_the_built_frame_quickens_the_steering(bike: str) -> None:
    change = as_built(solve_chart(spec(BIKES[bike])), fork_offset=7)
    assert change["trail"] < 0
    assert change["wheelbase"] > 0
    # The axle also sits a little higher on the fork, so the front drops.
    assert change["head_tube_angle"] > 0


def test_slackening_cups_slacken_by_about_their_angle() -> None:
    """A little less, since the front of the bike settles a little lower."""
    solved = solve_chart(spec(TRAIL))
    pitched = pitch(solved, {"cup_angle": held("cup_angle", -1.0)})
    assert pitched is not None
    before, after = numbers(solved.values), numbers(pitched.values)
    assert -1 < after["head_tube_angle"] - before["head_tube_angle"] < -0.7
    assert after["bb_height"] < before["bb_height"]
    assert after["trail"] > before["trail"]
    assert after["wheelbase"] > before["wheelbase"]


def test_sag_steepens_and_lowers() -> None:
    """A hardtail under its rider: a shorter fork, so the opposite of a longer one."""
    figures = without(TRAIL, "fork_axle_to_crown", "fork_offset")
    fork = {"axle_to_crown": 531, "measured": "straight", "offset": 44, "travel": 130, "sag": "25%"}
    bike = spec(figures, {"fork": fork})
    solved = solve_chart(bike)
    parts = sagged_parts(bike, solved)
    assert parts is not None
    pitched = pitch(solved, parts)
    assert pitched is not None
    before, after = numbers(solved.values), numbers(pitched.values)
    # 32.5 mm of sag: about one and a half degrees.
    assert 1.2 < after["head_tube_angle"] - before["head_tube_angle"] < 1.8
    assert after["bb_height"] < before["bb_height"]
    assert after["reach"] > before["reach"]
    assert after["stack"] < before["stack"]
