"""Times of return: closed forms, scipy's solver of differential equations, and the filmed inverse."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from frame3d.linkage.curves.springs import Air, Chamber, Coil, Table
from frame3d.ride.damping.damper import DampingLaw
from frame3d.ride.damping.free_return import ReturnError, filmed_law, return_time

COIL = Coil(80.0, 2.0)
AIR = Air((Chamber(1385.0, 130e3, 1.1, 1.3, -1, 30.0), Chamber(1385.0, 20e3, 1.1, 1.3, 1, 30.0)))
LINEAR, DIGRESSIVE = DampingLaw(5000.0), DampingLaw(6000.0, 1500.0, 0.15)


def test_linear_spring() -> None:
    """Derived: t = c/k ln(x0/x1); x counts from no force, so 42 and 12 mm with the preload."""
    assert return_time(COIL.force, LINEAR, 40.0, 10.0) == pytest.approx(
        5000.0 / 80000.0 * log(42.0 / 12.0), rel=1e-12
    )


@pytest.mark.parametrize("law", [LINEAR, DIGRESSIVE], ids=["linear", "digressive"])
@pytest.mark.parametrize("spring", [COIL, AIR], ids=["coil", "air"])
def test_against_an_ode_solver(spring: Coil | Air, law: DampingLaw) -> None:
    """Scipy's solve_ivp follows the shaft out, and an event takes the time at the end."""

    def speed(_: float, s: np.ndarray) -> np.ndarray:
        return -1000.0 * law.speed(spring.force(s))

    def out(_: float, s: np.ndarray) -> float:
        return float(s[0] - 12.0)

    out.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(speed, (0.0, 5.0), [45.0], events=out, rtol=1e-10, atol=1e-10, max_step=1e-3)
    assert return_time(spring.force, law, 45.0, 12.0) == pytest.approx(
        found.t_events[0][0], rel=1e-5
    )


def test_air_against_quadrature() -> None:
    """Scipy's quad of c ∫ ds/F(s)."""
    expected = quad(lambda s: 5.0 / float(AIR.force(np.array([s]))[0]), 12.0, 45.0, epsrel=1e-12)[0]
    assert return_time(AIR.force, LINEAR, 45.0, 12.0) == pytest.approx(expected, rel=1e-10)


def test_a_light_mass_moves_no_differently() -> None:
    """With 0.3 kg of shaft the time differs by m/c·(1 - ln(x0/x1)) to first order (derived): 15 µs."""

    def motion(_: float, y: np.ndarray) -> list[float]:
        return [y[1], 1000.0 * (-float(COIL.force(y[:1])[0]) - 5.0 * y[1]) / 0.3]

    def out(_: float, y: np.ndarray) -> float:
        return float(y[0] - 10.0)

    out.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        motion, (0.0, 1.0), [40.0, 0.0], events=out, rtol=1e-9, atol=1e-9, method="LSODA"
    )
    slower = found.t_events[0][0] - return_time(COIL.force, LINEAR, 40.0, 10.0)
    assert slower == pytest.approx(0.3 / 5000.0 * (1 - log(42.0 / 12.0)), abs=1e-6)


@pytest.mark.parametrize("spring", [COIL, AIR], ids=["coil", "air"])
@pytest.mark.parametrize("law", [DampingLaw(4321.0), DIGRESSIVE], ids=["one", "two"])
def test_filmed_is_the_inverse(spring: Coil | Air, law: DampingLaw) -> None:
    """Where the fast slope is known, the film tells the slow one."""
    seconds = return_time(spring.force, law, 45.0, 12.0)
    found = filmed_law(spring.force, 45.0, 12.0, seconds, law.fast_n_s_m, law.fast_from_m_s)
    assert found.low_n_s_m == pytest.approx(law.low_n_s_m, rel=1e-9)
    assert (found.fast_n_s_m, found.fast_from_m_s) == (law.fast_n_s_m, law.fast_from_m_s)


def test_filmed_at_240_a_second() -> None:
    """By hand: 80 N/mm from 40 to 10 mm in 26 pictures: c = (26/240)·80000/ln 4 = 6251.68 N s/m."""
    law = filmed_law(Coil(80.0).force, 40.0, 10.0, 26 / 240)
    assert law == DampingLaw(pytest.approx(6251.68, abs=0.01))


def test_slower_than_its_own_fast_slope() -> None:
    """From 40 to 10 mm against 8000 N s/m alone takes 0.14 s beyond the knee; filmed was 0.05 s."""
    with pytest.raises(ReturnError, match="less than the fast slope of 8000"):
        filmed_law(Coil(80.0).force, 40.0, 10.0, 0.05, 8000.0, 0.01)


def test_a_slow_slope_above_both() -> None:
    """A film that takes longer than the mean of one slope asks for a steep slope before the knee."""
    seconds = return_time(COIL.force, DampingLaw(90000.0, 100.0, 0.05), 40.0, 10.0)
    law = filmed_law(COIL.force, 40.0, 10.0, seconds, 100.0, 0.05)
    assert law.low_n_s_m == pytest.approx(90000.0, rel=1e-9)


def test_never_returns() -> None:
    """A spring that ends before the return does: the place is where it stops on the way out."""
    short = Table((0.0, 10.0, 20.0, 50.0), (0.0, 0.0, 500.0, 1500.0))
    with pytest.raises(ReturnError, match=r"never returns: .* does not push at (9\.\d|10\.0) mm"):
        filmed_law(short.force, 45.0, 5.0, 0.1)
    with pytest.raises(ReturnError):
        return_time(Coil(80.0).force, LINEAR, 40.0, 0.0)
