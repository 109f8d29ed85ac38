"""The linearised bicycle of a bike: its parameters from the bodies, and what is listed over speed."""

import math

import numpy as np
import pytest

from frame3d.ride.steering.linear import SPEEDS, in_paper_axes, linear_bicycle, whipple_of
from frame3d.ride.steering.mass_properties import combined, point_mass
from frame3d.ride.steering.of_bike import bodies_in_stances, linear_left_out, linear_of
from tests.ride.steering.benchmark import BENCHMARK
from tests.ride.steering.bikes import FULL, HARDTAIL, NO_RIDER, bike


def test_axes_of_the_paper() -> None:
    """Two points, one ahead and up: minus the integral of x·z is negative with z up, positive down."""
    pair = combined((point_mass(1.0, (1000.0, 0, 1000.0)), point_mass(1.0, (-1000.0, 0, -1000.0))))
    assert pair.inertia[0, 2] == pytest.approx(-2.0)
    turned = in_paper_axes(pair.inertia)
    assert turned[0, 2] == pytest.approx(2.0)
    assert np.diag(turned) == pytest.approx(np.diag(pair.inertia))


@pytest.mark.parametrize("name", [HARDTAIL, FULL])
def test_parameters_are_those_of_bike_and_bodies(name: str) -> None:
    own = bike(name)
    bodies, _ = bodies_in_stances(own)
    assert bodies is not None
    made = whipple_of(bodies, own.nodes, own.chart)
    assert 1000 * made.wheelbase_m == pytest.approx(own.chart["wheelbase"])
    assert 1000 * made.trail_m == pytest.approx(own.chart["trail"])
    assert 90 - made.tilt_degrees == pytest.approx(own.chart["head_tube_angle"])
    assert made.body.z_m < -0.9
    assert 0.3 < made.body.x_m < made.front_assembly.x_m < made.wheelbase_m
    assert 1000 * made.front_wheel.radius_m == pytest.approx(own.chart["front_wheel_radius"])


def test_the_ridden_bike_counts() -> None:
    own = bike(FULL)
    made = linear_of(own)
    assert made is not None
    assert own.sagged is not None
    assert made.at_sag
    assert 1000 * made.parameters.trail_m == pytest.approx(own.sagged.chart["trail"])
    assert made.rider_mass_kg == pytest.approx(82.0)


def test_over_speed_of_the_benchmark_bicycle() -> None:
    made = linear_bicycle(BENCHMARK, point_mass(76.0, (0.0, 0.0, 0.0)), at_sag=False)
    assert [at.speed_m_s for at in made.over_speed] == list(SPEEDS)
    assert made.weave_speed_m_s == pytest.approx(4.2924, abs=1e-4)
    assert made.capsize_speed_m_s == pytest.approx(6.0243, abs=1e-4)
    assert made.meeting_speed_m_s == pytest.approx(0.6843, abs=1e-4)
    at_4 = made.over_speed[4]
    assert at_4.eigenvalues_per_s[0].real == pytest.approx(-12.15861426576447)
    assert math.degrees(at_4.steady_torque_nm_per_degree) == pytest.approx(-3.948234, abs=1e-6)


def test_none_without_rider_or_wheels() -> None:
    assert linear_of(bike(NO_RIDER)) is None
    said = linear_left_out(bike(NO_RIDER))
    assert [line.partition("(")[2].split()[0].removesuffix(")") for line in said] == [
        "build.rider",
        "build.rear_wheel.tyre",
        "build.front_wheel.tyre",
    ]
    bare = ("build.front_wheel={radius: 370}",)
    assert linear_of(bike(FULL, *bare)) is None
    known = bike(FULL, "build.front_wheel={radius: 370, mass_kg: 2.1}")
    assert linear_left_out(known) == ()
    made = linear_of(known)
    assert made is not None
    wheel = made.parameters.front_wheel
    assert wheel.iyy_kg_m2 == pytest.approx(0.5 * 2.1 * 0.37**2)  # a disc, where no tyre is known
