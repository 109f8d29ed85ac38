"""The front end's drop, against a contact search on the tyre's surface and the product of wheel flop."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from frame3d.ride.steering.front_end import FrontEnd

THIN = FrontEnd(65.0, 44.0, 1210.0, 371.0, 371.0)
ROUND = replace(THIN, tyre_radius=30.5)
MIXED = FrontEnd(63.5, 42.0, 1255.0, 352.0, 372.0, 30.5)
BIKES = [THIN, ROUND, MIXED, replace(ROUND, head_angle=72.0, offset=50.0, tyre_radius=16.0)]


def lowest(bike: FrontEnd, pitch: float, bar: float) -> float:
    """Height of the front tyre's lowest point above the ground, found on its surface."""

    def turn(axis: np.ndarray, angle: float) -> np.ndarray:
        k = np.cross(np.eye(3), axis)
        return np.eye(3) + math.sin(angle) * k + (1 - math.cos(angle)) * k @ k

    head = math.radians(bike.head_angle)
    up = np.array([-math.cos(head), 0.0, math.sin(head)])
    ahead = np.array([math.sin(head), 0.0, math.cos(head)])
    axle = np.array([bike.wheelbase, 0.0, bike.front_radius - bike.rear_radius])
    on_axis = axle - bike.offset * ahead
    steered = turn(up, math.radians(bar))
    pitched = turn(np.array([0.0, 1.0, 0.0]), pitch)
    circle = bike.front_radius - bike.tyre_radius

    def height(p: np.ndarray) -> float:
        u, v = p
        out = circle + bike.tyre_radius * math.cos(v)
        local = np.array([out * math.sin(u), bike.tyre_radius * math.sin(v), -out * math.cos(u)])
        place = pitched @ (on_axis + steered @ (axle - on_axis + local))
        return float(place[2] + bike.rear_radius)

    options = {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000}
    return float(minimize(height, [0.0, 0.0], method="Nelder-Mead", options=options).fun)


@pytest.mark.parametrize("bike", BIKES)
@pytest.mark.parametrize("bar", [10.0, 45.0, 80.0])
def test_drop_against_a_search_on_the_tyre(bike: FrontEnd, bar: float) -> None:
    """Derived otherwise: the pitch at which the lowest of the tyre's points is on the ground."""
    expected = brentq(lambda pitch: lowest(bike, pitch, bar), -0.1, 0.1, xtol=1e-12)
    assert math.radians(bike.turned(bar).pitch) == pytest.approx(expected, abs=2e-10)


@pytest.mark.parametrize("bar", [0.5, 1.0, 2.0])
def test_small_turns_drop_by_wheel_flop(bar: float) -> None:
    """½ · wheel flop · angle² at the front contact, less towards the rear axle: for thin wheels. (Wheel
    flop as a product: trail · sin · cos of the head angle.)
    """
    head = math.radians(THIN.head_angle)
    trail = THIN.mechanical_trail / math.sin(head)
    flop = trail * math.sin(head) * math.cos(head)
    for at in ((THIN.wheelbase, 0.0), (800.0, 500.0)):
        product = 0.5 * flop * math.radians(bar) ** 2 * at[0] / THIN.wheelbase
        assert THIN.turned(bar).drop(at) == pytest.approx(product, rel=2 * math.radians(bar) ** 2)


def test_a_wide_tyre_drops_less() -> None:
    ratio = ROUND.turned(1.0).pitch / THIN.turned(1.0).pitch
    assert ratio == pytest.approx(ROUND.trail_on_round_tyre / ROUND.mechanical_trail, rel=1e-3)
    assert 0.8 < ratio < 0.95


@pytest.mark.parametrize("bike", BIKES)
def test_where_it_is_lowest(bike: FrontEnd) -> None:
    """Against a dense sampling, and, as the pitch is small, against the closed form without pitch:
    cos² = k² sin² H / (1 - k² cos² H), k = offset / ((R - r) cos H).
    """
    at = bike.lowest_at(90.0)
    assert at is not None
    bars = np.linspace(1.0, 90.0, 891)
    drops = [bike.turned(float(bar)).pitch for bar in bars]
    assert at == pytest.approx(bars[np.argmax(drops)], abs=0.1)
    head = math.radians(bike.head_angle)
    k = bike.offset / ((bike.front_radius - bike.tyre_radius) * math.cos(head))
    closed = math.acos(k * math.sin(head) / math.sqrt(1 - (k * math.cos(head)) ** 2))
    assert at == pytest.approx(math.degrees(closed), abs=1.0)


def test_not_lowest_before_the_stop() -> None:
    assert ROUND.lowest_at(40.0) is None


def test_without_offset_it_goes_down_to_the_side() -> None:
    """With no offset cos = 0 in the closed form: lowest at 90°, the end of the range."""
    assert replace(ROUND, offset=0.0).lowest_at(85.0) is None


def test_trail_ahead_of_the_axis_lifts_the_front() -> None:
    lifted = replace(THIN, offset=200.0)
    assert lifted.mechanical_trail < 0
    assert lifted.turned(20.0).pitch < 0
    assert lifted.lowest_at(90.0) is None


def test_upright_steering_axis_moves_nothing() -> None:
    upright = replace(ROUND, head_angle=90.0)
    for bar in (10.0, 60.0, 90.0):
        assert upright.turned(bar).drop((1000.0, 500.0)) == pytest.approx(0.0, abs=1e-9)
    assert upright.lowest_at(90.0) is None


@pytest.mark.parametrize("bike", BIKES)
@pytest.mark.parametrize("bar", [5.0, 50.0, 88.0])
def test_pitch_per_bar_is_the_derivative(bike: FrontEnd, bar: float) -> None:
    step = 1e-3
    between = (bike.turned(bar + step).pitch - bike.turned(bar - step).pitch) / (2 * step)
    assert bike.turned(bar).pitch_per_bar == pytest.approx(between, abs=1e-9)


def test_both_sides_are_alike() -> None:
    assert ROUND.turned(-30.0).pitch == pytest.approx(ROUND.turned(30.0).pitch, abs=1e-14)
    assert ROUND.turned(0.0).drop((1000.0, 400.0)) == 0.0


def test_every_plausible_bike_stands_on_both_wheels() -> None:
    """Head angles from 45 to 90°, any offset and wheels, all angles: the gap that is left, by the closed
    height of a torus, is nil, and the pitch small.
    """
    rng = np.random.default_rng(7)
    for _ in range(300):
        bike = FrontEnd(
            head_angle=rng.uniform(45, 90),
            offset=rng.uniform(-50, 150),
            wheelbase=rng.uniform(700, 1500),
            rear_radius=rng.uniform(150, 400),
            front_radius=rng.uniform(150, 400),
            tyre_radius=rng.uniform(0, 60),
        )
        bar = rng.uniform(0, 90)
        turned = bike.turned(bar)
        head, angle, pitch = (math.radians(a) for a in (bike.head_angle, bar, turned.pitch))
        back = bike.offset * (1 - math.cos(angle))
        axle = (
            bike.wheelbase - back * math.sin(head),
            bike.front_radius - bike.rear_radius - back * math.cos(head),
        )
        tilt = math.sin(angle) * math.cos(head + pitch)
        circle = bike.front_radius - bike.tyre_radius
        lowest_point = turned.height(axle) - circle * math.sqrt(1 - tilt**2) - bike.tyre_radius
        assert lowest_point + bike.rear_radius == pytest.approx(0.0, abs=1e-9)
        assert abs(turned.pitch) < 15
