"""Loads on a slope against free bodies, and against published and worked figures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.ride.slopes.statics import (
    LIGHT,
    Balance,
    balance,
    fork_load,
    front_share,
    gradient_at,
    rear_lifts_at,
    rear_spring_load,
)

WORKED = balance(460, 1080, 1200)
"""Wheelbase 1200, centre of mass 460 mm ahead of the rear contact and 1080 mm high: a seated rider."""

BIKES = st.builds(
    balance,
    st.floats(200, 700),
    st.floats(600, 1400),
    st.floats(900, 1400),
)
SLOPES = st.floats(-0.6, 0.6)


def test_worked_figures_on_the_level() -> None:
    # Derived: moments about the contacts, by hand.
    assert front_share(WORKED, 0.0) == pytest.approx(0.383333, abs=5e-7)
    assert 100 * gradient_at(WORKED) == pytest.approx(42.5926, abs=5e-5)
    assert math.degrees(math.atan(gradient_at(WORKED))) == pytest.approx(23.07041, abs=5e-6)
    assert rear_lifts_at(WORKED, 0.0) == pytest.approx(0.685185, abs=5e-7)


@pytest.mark.parametrize(
    ("percent", "share"),
    [
        (-30, 0.653333),
        (-20, 0.563333),
        (-10, 0.473333),
        (10, 0.293333),
        (20, 0.203333),
        (30, 0.113333),
        (40, 0.023333),
    ],
)
def test_worked_front_shares(percent: float, share: float) -> None:
    # Derived: (460 - 1080 tan θ) / 1200.
    assert front_share(WORKED, percent / 100) == pytest.approx(share, abs=5e-7)


@pytest.mark.parametrize(("percent", "g"), [(-30, 0.368940), (-20, 0.475763), (-10, 0.582281)])
def test_worked_stops_downhill(percent: float, g: float) -> None:
    # Derived: 740/1080 cos θ + sin θ.
    assert rear_lifts_at(WORKED, percent / 100) == pytest.approx(g, abs=5e-7)


def test_worked_light_front_and_pulses() -> None:
    # Derived: (460 - 120)/1080 and 460/(2·1080).
    assert 100 * gradient_at(WORKED, LIGHT) == pytest.approx(31.48148, abs=5e-6)
    assert 100 * gradient_at(WORKED, pull=2.0) == pytest.approx(21.29630, abs=5e-6)


def test_published_stop_on_a_descent() -> None:
    # J. S. Riel, Maximal Braking on a Standard Bicycle (2005), eqs. 6 and 7: 0.7 g on the level are
    # 0.6 g on a descent of 10 %, to first order; exactly 0.59702 g.
    bike = balance(300.0, 1000.0, 1000.0)
    assert rear_lifts_at(bike, 0.0) == pytest.approx(0.7, abs=1e-12)
    assert rear_lifts_at(bike, -0.1) == pytest.approx(0.6, abs=5e-3)
    assert rear_lifts_at(bike, -0.1) == pytest.approx(0.59702, abs=5e-6)


def test_stop_of_a_textbook() -> None:
    # Value from memory of Whitt and Wilson, Bicycling Science: wheelbase 42 in, centre of mass 17 in
    # ahead of the rear contact and 45 in high: 0.56 g.
    inches = balance(17 * 25.4, 45 * 25.4, 42 * 25.4)
    assert rear_lifts_at(inches, 0.0) == pytest.approx(0.556, abs=5e-4)


@pytest.mark.parametrize(
    ("anti_squat", "load"), [(0, 727.787), (50, 645.568), (100, 563.350), (120, 530.462)]
)
def test_worked_load_on_the_rear_spring(anti_squat: float, load: float) -> None:
    # Derived: 95 kg on 20 %, standard gravity.
    weight = 95 * 9.80665
    found = rear_spring_load(WORKED, weight, 0.2, anti_squat)
    assert found == pytest.approx(load, abs=5e-4)
    level = rear_spring_load(WORKED, weight, 0.0)
    assert level == pytest.approx(574.506, abs=5e-4)


@given(BIKES, SLOPES)
def test_full_anti_squat_keeps_the_level_load(bike: Balance, gradient: float) -> None:
    # Derived: with 100 % the chain carries the whole transfer, W sin θ h / w.
    level = rear_spring_load(bike, 900.0, 0.0)
    held = rear_spring_load(bike, 900.0, gradient, 100.0)
    assert held == pytest.approx(level * math.cos(math.atan(gradient)), abs=1e-9)


def _moments(xs: list[tuple[np.ndarray, np.ndarray]], about: np.ndarray) -> float:
    """Return the sum of moments of forces (at, force) in the plane about a point."""
    return sum(float((at - about)[0] * force[1] - (at - about)[1] * force[0]) for at, force in xs)


def _on_slope(theta: float, along: float, up: float) -> np.ndarray:
    """Return a point or force given along and square to the ground in gravity's axes."""
    return along * np.array([math.cos(theta), math.sin(theta)]) + up * np.array(
        [-math.sin(theta), math.cos(theta)]
    )


@given(st.floats(200, 700), st.floats(600, 1400), st.floats(900, 1400), SLOPES)
def test_free_body_at_a_steady_speed(x: float, h: float, w: float, gradient: float) -> None:
    # A free body in gravity's axes: weight straight down, both wheels' loads square to the ground, drive
    # along it; moments about both contacts and the sum of forces must vanish.
    theta, weight = math.atan(gradient), 900.0
    share = float(front_share(balance(x, h, w), gradient))
    pressed = weight * math.cos(theta)
    rear, front = np.zeros(2), _on_slope(theta, w, 0)
    forces = [
        (_on_slope(theta, x, h), np.array([0.0, -weight])),
        (rear, _on_slope(theta, weight * math.sin(theta), (1 - share) * pressed)),
        (front, _on_slope(theta, 0, share * pressed)),
    ]
    assert _moments(forces, rear) == pytest.approx(0, abs=1e-6 * weight)
    assert _moments(forces, front) == pytest.approx(0, abs=1e-6 * weight)
    assert sum(force for _, force in forces) == pytest.approx([0, 0], abs=1e-9 * weight)


@given(st.floats(200, 700), st.floats(600, 1400), st.floats(900, 1400), SLOPES)
def test_free_body_as_the_rear_lifts(x: float, h: float, w: float, gradient: float) -> None:
    # d'Alembert: the front contact alone holds weight and inertia.
    theta, mass, g = math.atan(gradient), 90.0, 9.80665
    stop = float(rear_lifts_at(balance(x, h, w), gradient))
    inertia = _on_slope(theta, mass * stop * g, 0)
    centre, front = _on_slope(theta, x, h), _on_slope(theta, w, 0)
    forces = [(centre, np.array([0.0, -mass * g])), (centre, inertia)]
    assert _moments(forces, front) == pytest.approx(0, abs=1e-6 * mass)


@given(st.floats(200, 700), st.floats(600, 1400), st.floats(900, 1400), st.floats(0, 0.3))
def test_lift_is_the_root_of_the_share(x: float, h: float, w: float, share: float) -> None:
    bike = balance(x, h, w)
    for pull in (1.0, 2.0):
        at = gradient_at(bike, share, pull)
        assert front_share(bike, at, pull) == pytest.approx(share, abs=1e-12)


@given(BIKES, SLOPES, st.floats(0.01, 0.2))
def test_share_falls_with_the_gradient(bike: Balance, gradient: float, more: float) -> None:
    steeper = front_share(bike, gradient + more)
    assert steeper < front_share(bike, gradient)


def test_worked_load_on_the_fork() -> None:
    # Derived: 360 N at 65°: the part along the axis.
    assert fork_load(360.0, 65.0) == pytest.approx(326.271, abs=5e-4)
    # A fork that lies in the direction of the brake's force takes all of that and no load.
    assert fork_load(360.0, 0.0, 200.0) == pytest.approx(200.0, abs=1e-12)


@given(st.floats(0, 1500), st.floats(0, 1500), st.floats(45, 80))
def test_fork_takes_what_points_along_its_axis(load: float, brake: float, angle: float) -> None:
    # The ground's force on the wheel, back and up, projected on the unit vector up the steering axis.
    turn = math.radians(angle)
    up = np.array([-math.cos(turn), math.sin(turn)])
    assert fork_load(load, angle, brake) == pytest.approx(float(up @ [-brake, load]), abs=1e-9)


def test_arrays_go_through() -> None:
    bikes = balance([400.0, 460.0], 1080.0, 1200.0)
    assert front_share(bikes, [0.1, 0.2]).shape == (2,)
    assert rear_lifts_at(bikes, 0.0).shape == (2,)
