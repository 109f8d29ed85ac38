"""Straight stanchions as a guide: virtual work, and the same answers as for a rear suspension."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from frame3d.linkage import equilibrium_sag, shock_load, sold_coils, target_sag
from frame3d.linkage.curves.guide import StraightGuide
from frame3d.linkage.curves.springs import Coil
from frame3d.linkage.curves.wheel_force import wheel_force, wheel_rate

FORK = StraightGuide(150.0, 65.0)


def test_a_fork_at_65_degrees() -> None:
    """Virtual work without friction, derived: N·dz = F·ds with dz = ds·sin(65°). 360 N at the contact are
    326.271 N along the stanchions; 9.83 N/mm there are 11.9675 N/mm at the wheel.
    """
    assert shock_load(FORK, 360.0, 20.0) == pytest.approx(326.271, abs=5e-4)
    there = FORK.at_strokes(np.array([10.0, 40.0]))
    coil = Coil(9.83)
    rate = wheel_rate(
        coil.force(there.stroke), coil.rate(there.stroke), there.leverage, there.leverage_rate
    )
    assert rate == pytest.approx([11.9675, 11.9675], abs=5e-5)


def test_work_at_the_wheel_is_work_in_the_spring() -> None:
    coil = Coil(9.83, 4.0)

    def at_wheel(travel: float) -> float:
        there = FORK.at_strokes(FORK.strokes_at(np.array([travel])))
        return float(wheel_force(coil.force(there.stroke), there.leverage)[0])

    work, _ = quad(at_wheel, 0, FORK.full_travel)
    assert work == pytest.approx(coil.energy(np.array([150.0]))[0], rel=1e-12)


def test_strokes_and_travels() -> None:
    assert FORK.full_travel == pytest.approx(150 * np.sin(np.radians(65)))
    assert FORK.stroke[[0, -1]] == pytest.approx([0, 150])
    assert FORK.leverage.shape == FORK.stroke.shape
    travels = np.array([0.0, 30.0, FORK.full_travel])
    assert FORK.at_strokes(FORK.strokes_at(travels)).travel == pytest.approx(travels)


def test_sag_of_a_fork_on_a_coil() -> None:
    """By hand: 326.271 N on 9.83 N/mm with 2 mm of preload is 31.191 mm."""
    sag = equilibrium_sag(FORK, Coil(9.83, 2.0), 360.0)
    assert sag is not None
    assert sag.stroke == pytest.approx(326.271 / 9.83 - 2, abs=1e-4)
    assert sag.travel == pytest.approx(sag.stroke * np.sin(np.radians(65)))
    assert sag.stroke_share == pytest.approx(sag.travel_share)
    assert target_sag(FORK, 0.2).stroke == pytest.approx(30)
    assert target_sag(FORK, 0.2, "travel").stroke == pytest.approx(30)
    assert equilibrium_sag(FORK, Coil(1.0), 360.0) is None


def test_sold_coils_of_a_fork() -> None:
    """9.83 N/mm are 56.13 lb/in."""
    soft, hard = sold_coils(FORK, Coil(9.83), 360.0)
    assert (soft.rate_lb_in, hard.rate_lb_in) == (50, 75)
    assert soft.sag is not None
    assert soft.sag.stroke == pytest.approx(326.271 / (50 * 4.4482216152605 / 25.4), abs=1e-4)
