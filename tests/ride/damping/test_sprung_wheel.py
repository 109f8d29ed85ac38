"""A mass on one spring: sag, forces, energy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from frame3d.linkage.curves.springs import Coil
from frame3d.ride.damping.sprung_wheel import SprungWheel, sprung_wheel


def _fork(load: float) -> SprungWheel:
    """Return a straight fork at 65° with 9.83 N/mm along its stanchions."""
    lean = float(np.sin(np.radians(65.0)))
    stroke = np.linspace(0.0, 150.0, 301)
    return sprung_wheel(lean * stroke, stroke, np.full(301, lean), np.zeros(301), Coil(9.83), load)


def test_fork() -> None:
    """Derived by virtual work: 360 N at the wheel is 326.271 N along the stanchion; 9.83 N/mm along it
    is 11.9675 N/mm at the wheel (65°).
    """
    fork = _fork(360.0)
    assert fork.wheel_rate == pytest.approx(11.9675, abs=5e-5)
    sag = fork.sag()
    assert sag is not None
    along = fork.at(sag, fork.stroke)
    assert 9.83 * along == pytest.approx(326.271, abs=5e-4)


def test_energy_is_the_work_at_the_wheel() -> None:
    fork = _fork(360.0)
    work = quad(lambda x: fork.at(x, fork.wheel_force), 0.0, fork.full_travel)[0]
    assert fork.energy[-1] == pytest.approx(work, rel=1e-6)


def test_sag_at_the_ends() -> None:
    assert _fork(0.0).sag() == 0.0
    assert _fork(1e5).sag() is None


def test_stiff_drop_on_a_linear_spring() -> None:
    """Derived: energy to full travel is m·g(H + s) with H/s = 1/(2σ) - 1 at a sag share σ."""
    for share, expected in ((0.20, 1.5), (0.25, 1.0), (0.30, 0.6667), (0.35, 0.4286)):
        fork = _fork(share * 150.0 * 9.83 / np.sin(np.radians(65.0)))
        drop = fork.energy[-1] / fork.load_n / fork.full_travel - 1
        assert drop == pytest.approx(expected, abs=5e-5)
