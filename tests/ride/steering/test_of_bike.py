"""How the demos steer, against their charts, moments about the contacts, and limits that are plain."""

import math

import pytest

from frame3d.bike.mass_model import mass_model
from frame3d.ride.steering.of_bike import SteeringFigures, steering_of
from frame3d.ride.steering.whipple import GRAVITY
from tests.ride.steering.bikes import FULL, HARDTAIL, MIXED, NO_RIDER, RIGID, bike

EVERY = [HARDTAIL, FULL, MIXED, RIGID, NO_RIDER]


def figures(name: str, *sets: str) -> SteeringFigures:
    return steering_of(bike(name, *sets))


@pytest.mark.parametrize("name", EVERY)
def test_lever_is_the_charts_mechanical_trail(name: str) -> None:
    own, found = bike(name), figures(name)
    assert found.drawn.mechanical_trail == pytest.approx(own.chart["mechanical_trail"])
    assert found.drawn.push_torque_nm == pytest.approx(100 * own.chart["mechanical_trail"] / 1000)  # type: ignore[operator]
    assert (found.sagged is None) == (own.sagged is None)
    if found.sagged is not None and own.sagged is not None:
        assert found.ridden is found.sagged
        assert found.sagged.mechanical_trail == pytest.approx(own.sagged.chart["mechanical_trail"])


def test_one_hand_holds_the_push() -> None:
    found = figures(HARDTAIL)
    assert found.grip_lever == 325.0
    assert found.drawn.grip_force_n == pytest.approx(found.drawn.push_torque_nm / 0.325)


@pytest.mark.parametrize("name", [HARDTAIL, FULL, MIXED, RIGID])
def test_front_load_by_moments_about_the_rear_contact(name: str) -> None:
    own, found = bike(name), figures(name)
    assert own.rider is not None
    assert own.rider.seated is not None
    assert own.spec.build.rider is not None
    model, rear = mass_model(own), own.nodes["rear_contact"][0]
    moment = model.total_kg * (model.centre[0] - rear)
    moment += own.spec.build.rider.mass_kg * (own.rider.seated.centre_of_mass[0] - rear)
    wheelbase = own.nodes["front_contact"][0] - rear
    assert found.drawn.front_load_n == pytest.approx(GRAVITY * moment / wheelbase)


@pytest.mark.parametrize("name", [HARDTAIL, FULL, MIXED, RIGID])
def test_falling_in_on_round_and_thin_tyres(name: str) -> None:
    """The round tyre's contact wanders: load times tyre radius · cos², by hand, is what it takes off."""
    found = figures(name).drawn
    own = bike(name)
    assert found.falling_in_nm_per_degree is not None
    assert found.falling_in_thin_tyre_nm_per_degree is not None
    assert found.front_load_n is not None
    cos = math.cos(math.radians(own.chart["head_tube_angle"]))  # type: ignore[arg-type]
    less = math.radians(found.front_load_n * figures(name).tyre_radius / 1000 * cos**2)
    assert found.falling_in_thin_tyre_nm_per_degree - found.falling_in_nm_per_degree == (
        pytest.approx(less, rel=1e-9)
    )


@pytest.mark.parametrize("name", EVERY)
def test_drop_over_the_bar_angle(name: str) -> None:
    found = figures(name)
    own = found.ridden
    assert own.turned[0].drop == 0.0
    assert own.turned[-1].bar_angle == min(found.stop_angle, 90.0)
    drops = [turned.drop for turned in own.turned]
    top = max(drops)
    assert top > 1.0
    if own.lowest_angle is not None:
        assert own.lowest_drop is not None
        assert own.lowest_drop >= top
        assert own.at(own.lowest_angle).drop == pytest.approx(own.lowest_drop)
        assert own.at(own.lowest_angle + 1).drop < own.lowest_drop
    half = own.at(1.0)
    flop = own.turned[1].drop / own.turned[1].bar_angle ** 2
    assert half.drop == pytest.approx(flop, rel=0.01)


def test_the_bumper_ends_the_range() -> None:
    found = figures(FULL)
    assert found.stop_angle == 75.0
    assert [turned.bar_angle for turned in found.drawn.turned] == [5.0 * i for i in range(16)]


def test_a_stop_between_the_steps_is_the_last() -> None:
    found = figures(FULL, "build.bumper.stop=62")
    assert [turned.bar_angle for turned in found.drawn.turned[-2:]] == [60.0, 62.0]


def test_a_turn_past_the_stop() -> None:
    found = figures(FULL, "build.bumper.stop=20").drawn
    assert [turn.within_stop for turn in found.turns] == [False, True, True]


def test_without_a_rider_what_needs_mass_is_left_out_and_listed() -> None:
    found = figures(NO_RIDER)
    own = found.drawn
    assert own.front_load_n is None
    assert own.falling_in_nm_per_degree is None
    assert {turned.falling_in_nm for turned in own.turned} == {None}
    assert own.turned[-1].drop > 0
    assert any("(build.rider)" in line for line in found.left_out)
    assert any("build.handlebar.width" in line for line in found.left_out)
    assert any("thin disc" in line for line in found.assumptions)


@pytest.mark.parametrize(
    ("name", "key"),
    [(HARDTAIL, "build.stem"), (FULL, "build.rider.height or build.rider.inseam")],
)
def test_what_a_rider_lacks_is_named(name: str, key: str) -> None:
    gone = {
        "build.stem": ("build.stem=null",),
        "build.rider.height or build.rider.inseam": ("build.rider={mass_kg: 80}",),
    }
    found = figures(name, *gone[key])
    assert found.drawn.falling_in_nm_per_degree is None
    assert any(key in line for line in found.left_out)


def test_no_trail() -> None:
    """Offset R·cos(head angle): the contact is on the steering axis."""
    offset = 368 * math.cos(math.radians(67))
    found = figures(NO_RIDER, f"geometry.fork_offset={offset!r}").drawn
    assert found.mechanical_trail == pytest.approx(0.0, abs=1e-6)
    assert found.push_torque_nm == pytest.approx(0.0, abs=1e-9)
    assert found.lowest_angle is None
    assert found.lowest_drop is None
    assert found.turned[-1].drop < 0  # a wheel without trail lifts the front at large angles
