"""Closed forms at the wheel: derived figures, and scipy's solver where a formula needs a witness."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from frame3d.linkage.curves.curves import GRAVITY
from frame3d.ride.damping.wheel import (
    critical_damping,
    damping_at_wheel,
    in_series,
    natural_frequency,
    overshoot,
    ratio_of_overshoot,
    tyre_rate,
)


@pytest.mark.parametrize(("sag", "hz"), [(30.0, 2.877530), (45.0, 2.349493), (60.0, 2.034721)])
def test_frequency_of_a_linear_spring(sag: float, hz: float) -> None:
    """Derived: f = √(g/sag)/2π, whatever the mass, as the rate is m·g/sag."""
    for mass in (40.0, 90.0):
        rate = np.array([mass * GRAVITY / sag])
        assert natural_frequency(rate, mass)[0] == pytest.approx(hz, abs=5e-7)


def test_same_sag_other_rider() -> None:
    """Derived: rate and critical damping go with the mass, the frequency stays."""
    light, heavy = (critical_damping(np.array([m * GRAVITY / 45.0]), m)[0] for m in (50.0, 100.0))
    assert heavy == pytest.approx(2 * light)


def test_critical_damping_is_the_border_of_swinging() -> None:
    """Derived: the roots of m·s² + c·s + k meet at c = 2√(k·m), and nowhere else."""
    mass, rate = 45.0, 12.0
    critical = critical_damping(np.array([rate]), mass)[0]
    roots = np.roots([mass, critical, 1000 * rate])
    assert abs(roots[0] - roots[1]) < 1e-6 * abs(roots[0])
    assert np.iscomplexobj(np.roots([mass, 0.999 * critical, 1000 * rate]))


def test_leverage() -> None:
    """Derived, power: c·(v/LR)² = c_w·v²; 4500 N s/m at LR 3 are 500 at the wheel."""
    assert damping_at_wheel(np.array([4500.0]), np.array([3.0]))[0] == pytest.approx(500.0)


@pytest.mark.parametrize(
    ("ratio", "share"), [(0.2, 0.526621), (0.3, 0.372326), (0.5, 0.163034), (0.7, 0.045988)]
)
def test_overshoot(ratio: float, share: float) -> None:
    """Derived, and against scipy's solve_ivp of x'' + 2ζx' + x = 0."""
    assert overshoot(ratio) == pytest.approx(share, abs=5e-7)
    assert ratio_of_overshoot(share) == pytest.approx(ratio, abs=2e-6)
    found = solve_ivp(
        lambda _, y: [y[1], -y[0] - 2 * ratio * y[1]], (0.0, 12.0), [1.0, 0.0],
        rtol=1e-9, atol=1e-9, max_step=0.01,
    )  # fmt: skip
    assert -found.y[0].min() == pytest.approx(share, abs=1e-4)


def test_no_overshoot() -> None:
    assert overshoot(1.0) == 0.0
    assert overshoot(2.5) == 0.0


def test_quickest_within_five_percent() -> None:
    """The ratio that overshoots by 5 % is back within 5 % sooner than others around it (linear system)."""
    time = np.linspace(0.0, 30.0, 60001)

    def back(ratio: float) -> float:
        w = np.sqrt(1 - ratio**2)
        x = np.exp(-ratio * time) * (np.cos(w * time) + ratio / w * np.sin(w * time))
        return float(time[np.flatnonzero(np.abs(x) > 0.05 * (1 + 1e-6))[-1]])

    best = ratio_of_overshoot(0.05)
    assert best == pytest.approx(0.6901, abs=5e-5)
    assert all(back(best) < back(other) for other in (0.3, 0.5, 0.6, 0.65, 0.72, 0.8, 0.95))


def test_no_rate() -> None:
    """A spring that does not push back has neither frequency nor critical damping."""
    none = np.array([-1.0, 0.0])
    assert list(natural_frequency(none, 50.0)) == [0.0, 0.0]
    assert list(critical_damping(none, 50.0)) == [0.0, 0.0]


def test_tyre() -> None:
    """Derived; 1.6 bar, wheel 372, section 30.5 mm."""
    assert tyre_rate(0.16, 372.0, 30.5) == pytest.approx(107.083, abs=5e-4)


def test_tyre_against_the_torus_cut_by_the_ground() -> None:
    """Area of the plane's cut through the undented torus, counted on a grid, at a dent of 0.5 mm."""
    radius, section, dent = 372.0, 30.5, 0.5
    x, y = np.meshgrid(np.arange(-30, 30, 0.02), np.arange(-9, 9, 0.02))
    z = radius - dent
    inside = (np.hypot(x, z) - (radius - section)) ** 2 + y**2 < section**2
    area = inside.sum() * 0.02**2
    assert 0.16 * area / dent == pytest.approx(tyre_rate(0.16, radius, section), rel=0.01)


def test_series() -> None:
    """The force deflects both: 1/k = 1/k1 + 1/k2, found here by the deflection that shares a force."""
    both = in_series(np.array([12.0]), 100.0)[0]
    shared = brentq(lambda d: 12.0 * d - 100.0 * (1.0 - d), 0.0, 1.0)
    assert both == pytest.approx(12.0 * shared)
