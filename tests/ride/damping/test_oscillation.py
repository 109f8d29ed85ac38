"""The body's return: closed form on a linear spring, scipy's solve_ivp on nonlinear ones."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from frame3d.linkage.curves.curves import GRAVITY
from frame3d.linkage.curves.springs import Air, Chamber, Coil, Spring
from frame3d.ride.damping.damper import Damper, DampingLaw, linear
from frame3d.ride.damping.oscillation import returns, settled
from frame3d.ride.damping.sprung_wheel import SprungWheel, sprung_wheel
from frame3d.ride.damping.wheel import overshoot

AIR = Air((Chamber(1385.0, 120e3, 1.1, 1.3, -1, 15.0), Chamber(1385.0, 20e3, 1.1, 1.3, 1, 15.0)))


def _wheel(spring: Spring, load: float, first: float = 2.9, last: float = 2.4) -> SprungWheel:
    """Return a wheel whose leverage ratio goes evenly over 55 mm of stroke."""
    stroke = np.linspace(0.0, 55.0, 801)
    slope = (last - first) / 55.0
    leverage = first + slope * stroke
    travel = first * stroke + slope * stroke**2 / 2
    return sprung_wheel(travel, stroke, leverage, np.full(801, slope), spring, load)


def _by_scipy(
    wheel: SprungWheel, damper: Damper, spring: Spring, start: float, times: np.ndarray
) -> np.ndarray:
    """Integrate the shaft's own equation of motion, not the wheel's: m·LR²·s'' + m·LR·LR'·s'² = …"""
    first = wheel.leverage[0]
    slope = (wheel.leverage[-1] - first) / 55.0
    mass = wheel.sprung_kg

    def motion(_: float, y: np.ndarray) -> list[float]:
        s, v = y
        ratio = first + slope * s
        speed = abs(v) / 1000.0
        law = damper.compression if v > 0 else damper.rebound
        damped = np.sign(v) * float(law.force(np.array([speed]))[0])
        force = wheel.load_n * ratio - float(spring.force(np.array([s]))[0]) - damped
        return [v, (1000.0 * force / mass - ratio * slope * v**2) / ratio**2]

    s0 = float(np.interp(start, wheel.travel, wheel.stroke))
    found = solve_ivp(
        motion, (0.0, times[-1]), [s0, 0.0], t_eval=times, rtol=1e-8, atol=1e-8, max_step=0.002
    )
    s = found.y[0]
    return np.asarray(first * s + slope * s**2 / 2)


def test_linear_spring_closed_form() -> None:
    """Any textbook: x = sag + A·e^(-ζωt)(cos ω_d t + ζω/ω_d sin ω_d t), and its overshoot."""
    wheel = _wheel(Coil(90.0, 10.0), 470.0, 2.5, 2.5)
    rate, mass = 90.0 / 2.5**2, 470.0 / GRAVITY
    sag, w = wheel.sag(), np.sqrt(1000 * rate / mass)
    assert sag == pytest.approx((470.0 * 2.5 / 90.0 - 10.0) * 2.5, abs=1e-6)
    ratio, start = 0.3, 20.0
    time, found = returns(wheel, [linear(ratio * 2 * mass * w * 2.5**2)], start, 1.5)
    d = w * np.sqrt(1 - ratio**2)
    swing = np.exp(-ratio * w * time) * (np.cos(d * time) + ratio * w / d * np.sin(d * time))
    assert found[0] == pytest.approx(sag + (start - sag) * swing, abs=1e-6)
    assert (sag - found[0].min()) / (start - sag) == pytest.approx(overshoot(ratio), abs=2e-3)


@pytest.mark.parametrize(
    "damper",
    [
        linear(1200.0),
        linear(4500.0),
        linear(14000.0),
        Damper(DampingLaw(6000.0, 1500.0, 0.15), DampingLaw(2500.0, 900.0, 0.1)),
    ],
    ids=["little", "middle", "much", "digressive"],
)
def test_nonlinear_against_scipy(damper: Damper) -> None:
    """Air spring on a falling leverage ratio: the wheel's equation here, the shaft's there; to 0.02 mm."""
    wheel = _wheel(AIR, 470.0)
    time, found = returns(wheel, [damper], 0.7 * wheel.full_travel, 1.5)
    assert found.min() > 0
    assert found[0] == pytest.approx(
        _by_scipy(wheel, damper, AIR, 0.7 * wheel.full_travel, time), abs=0.02
    )


def test_several_at_once() -> None:
    wheel = _wheel(AIR, 470.0)
    dampers = [linear(1200.0), Damper(DampingLaw(6000.0, 1500.0, 0.15), DampingLaw(2500.0))]
    _, both = returns(wheel, dampers, 90.0, 0.6)
    for damper, travel in zip(dampers, both, strict=True):
        assert returns(wheel, [damper], 90.0, 0.6)[1][0] == pytest.approx(travel)


def test_rest_stays_at_rest() -> None:
    wheel = _wheel(AIR, 470.0)
    sag = wheel.sag()
    assert sag is not None
    assert returns(wheel, [linear(2000.0)], sag, 0.5)[1][0] == pytest.approx(sag, abs=1e-6)


def test_off_the_ground() -> None:
    """Thrown past full extension, the body flies: x'' = g until it lands (Newton)."""
    wheel = _wheel(Coil(120.0), 300.0, 2.5, 2.5)
    time, (travel,) = returns(wheel, [linear(1e-6)], 100.0, 0.8)
    flying = np.flatnonzero(travel < -1.0)
    assert len(flying) > 10
    run = flying[: int(np.argmax(np.diff(np.append(flying, 10**6)) > 1)) + 1]
    fall = np.polyfit(time[run], travel[run], 2)[0]
    assert 2 * fall == pytest.approx(1000 * GRAVITY, rel=1e-3)


def test_settled() -> None:
    time = np.linspace(0.0, 1.0, 101)
    travel = 30.0 + 40.0 * np.exp(-5 * time)
    assert settled(time, travel, 30.0, 0.05) == pytest.approx(np.log(20) / 5, abs=0.011)
    assert settled(time, travel, 30.0, 1e-3) is None
    assert settled(time, np.full(101, 30.0), 30.0, 0.05) == 0.0
