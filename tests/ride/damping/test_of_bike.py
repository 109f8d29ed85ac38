"""Damping of whole bikes: against the curves of the linkage, closed forms, and faults of the file."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from frame3d.bike.solve import solve
from frame3d.bike.sprung import sprung_of
from frame3d.bike.travel import over_travel
from frame3d.errors import FrameError
from frame3d.linkage.curves.curves import GRAVITY
from frame3d.linkage.curves.springs import Coil
from frame3d.parameters.reading.reader import loads
from frame3d.ride.damping.of_bike import damping_of
from frame3d.ride.damping.result import EndRide
from frame3d.ride.springs.fork import fork_spring_of
from tests.ride.damping.bikes import CONFIGS, DAMPED, FORK, SHOCK, bike, damping


def rear(*sets: str) -> EndRide:
    end = damping(*sets).rear
    assert end is not None
    return end


def front(*sets: str, name: str = "trail_full_140") -> EndRide:
    end = damping(*sets, name=name).front
    assert end is not None
    return end


def test_rear_is_that_of_the_curves() -> None:
    """Frequency √(k/m)/2π from the wheel rate of `solve --travel`, and its energy and force at the end."""
    end, moving = rear(), over_travel(bike(), 41)
    forces, carried = moving.curves.forces, moving.sprung.carried
    assert forces is not None
    assert carried is not None
    expected = np.sqrt(np.maximum(forces.wheel_rate, 0) * 1000 * GRAVITY / carried) / (2 * np.pi)
    found = np.array([0.0 if f is None else f for f in end.frequency_hz])
    assert found == pytest.approx(expected, abs=1e-6)
    assert end.end_force_n == pytest.approx(forces.bottom_out_wheel)
    assert end.energy_j == pytest.approx(forces.energy[-1] / 1000)
    assert moving.sag is not None
    assert end.at_sag.travel == pytest.approx(moving.sag.travel, abs=0.01)


def test_orders_of_magnitude() -> None:
    """The demo: 2 to 3 Hz at sag; critical damping at a shock of leverage 2.8 about 8 times the wheel's."""
    end = rear()
    assert 2.0 < end.at_sag.frequency_hz < 3.0
    assert end.at_sag.critical_damping_at_shaft_n_s_m == pytest.approx(
        end.at_sag.critical_damping_n_s_m * 2.76**2, rel=0.02
    )
    soonest = end.return_of("quickest")
    assert soonest is not None
    assert 0.05 < soonest.wheel_back_s < 0.1
    assert soonest.back_s is not None
    assert soonest.back_s < min(
        9.0 if one.back_s is None else one.back_s for one in end.returns if one.kind != "quickest"
    )


def test_mass_of_the_wheel_matters_little() -> None:
    """Scipy's solve_ivp with the unsprung mass and its weight: less than 0.01 s from the massless return."""
    linkage, end = bike().linkage, rear()
    assert linkage is not None
    spring = sprung_of(bike(), linkage).spring
    assert spring is not None
    travel = np.linspace(0.0, linkage.full_travel, 201)
    at = linkage.at_travels(travel)
    push = spring.force(at.stroke) / at.leverage

    def there(_: float, y: np.ndarray) -> float:
        return float(y[0] - end.at_sag.travel)

    there.terminal = True  # type: ignore[attr-defined]
    for one in end.returns:

        def motion(_: float, y: np.ndarray, damping: float = one.rebound_n_s_m) -> list[float]:
            at_wheel = damping / np.interp(y[0], travel, at.leverage) ** 2
            force = np.interp(y[0], travel, push) + at_wheel * y[1] / 1000
            return [y[1], -1000 * (force / end.unsprung_kg + GRAVITY)]

        found = solve_ivp(motion, (0, 1), [end.hit, 0], events=there, max_step=1e-3, rtol=1e-7)
        assert one.wheel_back_s == pytest.approx(found.t_events[0][0], abs=0.01)


def test_fork_with_a_coil() -> None:
    """Closed form: vertical rate k/sin², so f = sin⁻¹·√(k/m)/2π at every travel, with the file's angle."""
    sets = ("build.fork.spring={coil: {preload: 2}}",)
    end, fork = front(*sets), fork_spring_of(bike(*sets))
    assert fork is not None
    assert isinstance(fork.spring, Coil)
    lean = np.sin(np.radians(65.0))
    expected = np.sqrt(1000 * fork.spring.k / lean**2 / end.sprung_kg) / (2 * np.pi)
    assert end.frequency_hz == pytest.approx([expected] * len(end.travel))
    assert end.travel[-1] == pytest.approx(150 * lean)
    assert end.at_sag.stroke == pytest.approx(0.22 * 150)


def test_heavier_rider_at_the_same_sag() -> None:
    """Derived for a linear spring: with another mass at the same sag the frequency stays."""
    coil = "build.fork.spring={coil: {}}"
    one, two = (front(coil, f"build.rider.mass_kg={kg}") for kg in (60, 100))
    assert two.sprung_kg > 1.4 * one.sprung_kg
    assert two.at_sag.frequency_hz == pytest.approx(one.at_sag.frequency_hz)
    assert two.at_sag.critical_damping_n_s_m / one.at_sag.critical_damping_n_s_m == pytest.approx(
        two.sprung_kg / one.sprung_kg
    )


def test_hardtail_has_no_rear() -> None:
    part = damping(name="trail_hardtail_29")
    assert part.rear is None
    assert [end.end for end in part.ends] == ["front"]
    assert not any(line.startswith("rear") for line in part.left_out)


def test_rigid_says_nothing() -> None:
    assert damping_of(bike(name="adventure_rigid")) is None


def test_own_dampers() -> None:
    end = rear(*DAMPED)
    own, back = end.damper, end.return_of("own")
    assert own is not None
    assert back is not None
    assert own.filmed
    assert own.rebound is not None
    assert own.compression is not None
    assert own.rebound.low_n_s_m == back.rebound_n_s_m
    assert back.of_critical_share == pytest.approx(own.rebound.at_sag_share, rel=1e-3)
    assert own.compression.low_n_s_m == 2500
    other = front(*DAMPED)
    assert other.damper is not None
    assert other.damper.compression is None
    assert any(
        line.startswith("front: compression not given") for line in damping(*DAMPED).assumptions
    )
    assert any("filmed by itself" in line for line in damping(*DAMPED).assumptions)


def test_tyres() -> None:
    """With the pressure given: softer in series, and a wheel that hops far above the body's frequency."""
    end = rear(*DAMPED)
    assert end.tyre_rate_n_mm == pytest.approx(2 * np.pi * 0.17 * np.sqrt(372 * 30.5))
    assert end.at_sag.frequency_with_tyre_hz is not None
    assert end.at_sag.wheel_hop_hz is not None
    ratio = end.at_sag.frequency_with_tyre_hz / end.at_sag.frequency_hz
    rate, tyre = end.at_sag.wheel_rate_n_mm, end.tyre_rate_n_mm
    assert ratio == pytest.approx(np.sqrt(tyre / (rate + tyre)))
    nearly = np.sqrt(1000 * (rate + tyre) / end.unsprung_kg) / (2 * np.pi)
    assert end.at_sag.wheel_hop_hz == pytest.approx(nearly, rel=0.02)
    assert any("upper bound" in line for line in damping(*DAMPED).assumptions)


def test_a_tyre_in_millimetres() -> None:
    sets = ("build.rear_wheel.tyre={width: 50, diameter: 720}", "build.rear_wheel.pressure_bar=2")
    assert rear(*sets).tyre_rate_n_mm == pytest.approx(2 * np.pi * 0.2 * np.sqrt(360 * 25))


def test_what_is_left_out_names_its_key() -> None:
    left = "\n".join(damping().left_out)
    for key in (SHOCK, FORK, "build.rear_wheel.pressure_bar", "build.front_wheel.pressure_bar"):
        assert key in left
    only = damping(f"{SHOCK}.compression_n_s_m=2000")
    assert only.rear is not None
    assert only.rear.return_of("own") is None
    assert f"{SHOCK}.rebound_n_s_m" in "\n".join(only.left_out)


@pytest.mark.parametrize(
    ("sets", "said"),
    [
        (("suspension.spring={coil: {rate_n_mm: 12}}",), "rear: .* does not carry the load"),
        (("suspension.sag=75%", "suspension.sag_of=travel"), "rear: returns after a hit"),
    ],
)
def test_springs_that_fail(sets: tuple[str, ...], said: str) -> None:
    assert re.search(said, "\n".join(damping(*sets).left_out))


def test_without_a_rider() -> None:
    """Nothing to bounce: the key that gives it is named for both ends."""
    text = (CONFIGS / "trail_full_140.yaml").read_text("utf-8")
    text, count = re.subn(r"\n  rider: .*", "", text)
    assert count == 1
    text = re.sub(r"(air: \{piston: \d+,)", r"\1 pressure_bar: 9,", text)
    part = damping_of(solve(loads(text)))
    assert part is not None
    assert part.ends == ()
    assert part.assumptions == ()
    assert [line.partition(":")[0] for line in part.left_out] == ["rear", "front"]
    assert all("build.rider.mass_kg" in line for line in part.left_out)


def test_without_a_fork_spring() -> None:
    text = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")
    text, count = re.subn(r"\n     spring: \{.*\n.*\}\},", "", text)
    assert count == 1
    part = damping_of(solve(loads(text)))
    assert part is not None
    assert part.left_out == ("front: frequency, damping and energy (build.fork.spring)",)


def test_filmed_return_that_never_returns() -> None:
    """A table whose spring ends at 20 mm: filmed to 5, it cannot come back; the fault has its line."""
    sets = (
        "suspension.spring={table: [[0, 0], [20, 0], [52.5, 4000]]}",
        f"{SHOCK}.filmed_return={{start: 40, end: 5, seconds: 0.1}}",
    )
    with pytest.raises(FrameError) as caught:
        damping_of(bike(*sets))
    (fault,) = caught.value.faults
    assert fault.path == f"{SHOCK}.filmed_return"
    assert "never returns: the spring does not push at 20.0 mm" in fault.message
    assert fault.place is not None
    assert "filmed_return" in fault.place.source


def test_same_on_every_run() -> None:
    assert damping_of(bike(*DAMPED)) == damping(*DAMPED)
