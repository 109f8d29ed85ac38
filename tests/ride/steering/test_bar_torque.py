"""Torques at the bar, against the linear bicycle, potential energy and the plane geometry of a turn."""

import math
from dataclasses import replace

import pytest

from frame3d.ride.steering.bar_torque import Carried, Weights, bar_angle_for, push_torque_nm
from frame3d.ride.steering.front_end import FrontEnd
from frame3d.ride.steering.whipple import GRAVITY, Whipple
from tests.ride.steering.benchmark import BENCHMARK, OTHER


def of(bicycle: Whipple, tyre_radius: float = 0.0) -> tuple[FrontEnd, Weights]:
    """The same bicycle in this room's own terms."""
    B, H, F = bicycle.body, bicycle.front_assembly, bicycle.front_wheel
    tilt = math.radians(bicycle.tilt_degrees)
    head = math.pi / 2 - tilt
    radius = 1000 * F.radius_m
    rear = 1000 * bicycle.rear_wheel.radius_m
    offset = radius * math.cos(head) - 1000 * bicycle.trail_m * math.sin(head)
    mass = H.mass_kg + F.mass_kg
    x = 1000 * (H.mass_kg * H.x_m + F.mass_kg * bicycle.wheelbase_m) / mass
    z = 1000 * (-H.mass_kg * H.z_m + F.mass_kg * F.radius_m) / mass
    ahead = (x - 1000 * (bicycle.wheelbase_m + bicycle.trail_m)) * math.cos(tilt) + z * math.sin(
        tilt
    )
    front_end = FrontEnd(
        90 - bicycle.tilt_degrees, offset, 1000 * bicycle.wheelbase_m, rear, radius, tyre_radius
    )
    weights = Weights(
        Carried(B.mass_kg, (1000 * B.x_m, -1000 * B.z_m - rear)),
        Carried(mass, (x, z - rear)),
        ahead,
    )
    return front_end, weights


@pytest.mark.parametrize("bicycle", [BENCHMARK, OTHER])
def test_falling_in_against_the_linear_bicycle(bicycle: Whipple) -> None:
    """g·SA·sin(tilt) of Meijaard et al. (2007), on thin wheels near straight bars."""
    front_end, weights = of(replace(bicycle, gravity_m_s2=GRAVITY))
    linear = replace(bicycle, gravity_m_s2=GRAVITY).falling_in_nm_per_rad * math.pi / 180
    assert weights.falling_in_nm_per_degree(front_end) == pytest.approx(linear, rel=1e-12)
    assert weights.falling_in_nm(front_end, 0.01) / 0.01 == pytest.approx(linear, rel=1e-6)


def test_falling_in_of_the_benchmark_bicycle() -> None:
    """7.8803 N m/rad with g = 9.81, derived from the printed matrix K0."""
    front_end, weights = of(BENCHMARK)
    per_degree = weights.falling_in_nm_per_degree(front_end) * 9.81 / GRAVITY
    assert math.degrees(per_degree) == pytest.approx(9.81 * 0.80329488458618, rel=1e-12)


@pytest.mark.parametrize("tyre_radius", [0.0, 30.0])
@pytest.mark.parametrize("bar", [5.0, 30.0, 70.0, 85.0])
def test_falling_in_is_what_the_weights_lose_in_height(tyre_radius: float, bar: float) -> None:
    """Energy by finite differences: positions in space, with a turn about the steering axis."""
    front_end, weights = of(OTHER, tyre_radius)
    head = math.radians(front_end.head_angle)

    def energy(angle: float) -> float:
        turned = front_end.turned(angle)
        back = weights.ahead * (1 - math.cos(math.radians(angle)))
        x, z = weights.front.at
        heights = (
            (weights.rear.mass_kg, turned.height(weights.rear.at)),
            (
                weights.front.mass_kg,
                turned.height((x - back * math.sin(head), z - back * math.cos(head))),
            ),
        )
        return sum(GRAVITY * mass * height for mass, height in heights) / 1000

    step = 1e-3
    lost = -(energy(bar + step) - energy(bar - step)) / math.radians(2 * step)
    assert weights.falling_in_nm(front_end, bar) == pytest.approx(lost, abs=1e-6)


def test_falling_in_near_straight_on_a_round_tyre() -> None:
    front_end, weights = of(OTHER, 30.0)
    near = weights.falling_in_nm(front_end, 0.01) / 0.01
    assert weights.falling_in_nm_per_degree(front_end) == pytest.approx(near, rel=1e-6)


def test_front_load() -> None:
    """Moments about the rear contact, by hand: 0.3·85 + 0.9·4 + 1.02·3 = 32.16 kg m over 1.02 m."""
    front_end, weights = of(BENCHMARK)
    assert weights.front_load_n(front_end) == pytest.approx(GRAVITY * 32.16 / 1.02, rel=1e-12)


def test_push_at_the_contact_has_mechanical_trail_as_its_lever() -> None:
    """Mechanical trail is c·cos(tilt): 80 mm · cos 18°."""
    front_end, _ = of(BENCHMARK)
    assert push_torque_nm(front_end, 100.0) == pytest.approx(
        8.0 * math.cos(math.pi / 10), rel=1e-12
    )


@pytest.mark.parametrize(("radius", "angle"), [(2500, 27.907), (4000, 18.315), (8000, 9.398)])
def test_bars_of_a_turn(radius: float, angle: float) -> None:
    """Wheelbase 1200, head angle 65°: derived by hand from the tangent."""
    found = bar_angle_for(FrontEnd(65.0, 44.0, 1200.0, 370.0, 370.0), radius)
    assert found == pytest.approx(angle, abs=5e-4)


def test_bars_of_a_turn_point_the_wheel_along_its_track() -> None:
    """In space: the turned wheel's plane cuts the ground square to the line to the turn's centre."""
    front_end = FrontEnd(65.0, 44.0, 1200.0, 370.0, 370.0)
    bar = math.radians(bar_angle_for(front_end, 4000.0))
    head = math.radians(65.0)
    axle = (-math.sin(bar) * math.sin(head), math.cos(bar))  # x, y of its direction
    assert axle[0] / axle[1] == pytest.approx(-1200.0 / 4000.0)
