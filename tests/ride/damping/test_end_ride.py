"""One end of a bike: what is said of it, on springs of closed form."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.curves.springs import Coil, Spring, Table
from frame3d.ride.damping.damper import DampingLaw
from frame3d.ride.damping.end_ride import RATIOS, SECONDS, Tyre, end_ride
from frame3d.ride.damping.of_damper import GivenDamper
from frame3d.ride.damping.result import EndRide
from frame3d.ride.damping.sprung_wheel import SprungWheel, sprung_wheel
from frame3d.ride.damping.wheel import overshoot

NO_TYRE = Tyre(None, 4.0)


COIL = Coil(90.0)


def wheel(spring: Spring = COIL, load: float = 500.0, ratio: float = 2.5) -> SprungWheel:
    stroke = np.linspace(0.0, 55.0, 201)
    return sprung_wheel(ratio * stroke, stroke, np.full(201, ratio), np.zeros(201), spring, load)


def end(made: SprungWheel, given: GivenDamper | None = None, tyre: Tyre = NO_TYRE) -> EndRide:
    sag = made.sag()
    assert sag is not None
    return end_ride("rear", made, sag, tyre, given)


def test_coil() -> None:
    """Wheel rate 90/2.5² = 14.4 N/mm; sag 500/14.4 = 34.72 mm; energy 90·55²/2; all by hand."""
    found = end(wheel())
    mass = 500 / 9.80665
    assert found.at_sag.travel == pytest.approx(34.722, abs=1e-3)
    assert found.at_sag.stroke == pytest.approx(13.889, abs=1e-3)
    assert found.frequency_hz == pytest.approx([np.sqrt(14400 / mass) / (2 * np.pi)] * 41)
    assert found.critical_damping_n_s_m == pytest.approx([2 * np.sqrt(14400 * mass)] * 41)
    assert found.critical_damping_at_shaft_n_s_m[7] == pytest.approx(
        6.25 * 2 * np.sqrt(14400 * mass)
    )
    assert found.energy_j == pytest.approx(136.125)
    assert found.energy_from_sag_j == pytest.approx(136.125 - 0.5 * 500 * 0.034722, abs=2e-3)
    assert found.end_force_n == pytest.approx(1980)
    assert found.end_force_of_load_share == pytest.approx(3.96)
    assert found.at_sag.wheel_hop_hz is None


def test_returns_of_a_linear_suspension() -> None:
    """Body by the closed overshoot, wheel by t = c/k ln(x0/x1) (derived; strokes from no force)."""
    found = end(wheel())
    assert {one.kind for one in found.returns} == set(RATIOS)
    deep = found.hit - found.at_sag.travel
    for one in found.returns:
        assert one.of_critical_share == pytest.approx(RATIOS[one.kind])
        assert one.overshoot == pytest.approx(deep * overshoot(RATIOS[one.kind]), abs=0.3)
        assert one.wheel_back_s == pytest.approx(
            one.rebound_n_s_m / 90e3 * np.log(found.hit_stroke / found.at_sag.stroke)
        )
        assert len(one.travel) == len(found.time_s)
    assert found.time_s[-1] == SECONDS
    assert found.return_of("own") is None


def test_own_damper_each_way() -> None:
    law = DampingLaw(5000.0, 2000.0, 0.3)
    found = end(wheel(), GivenDamper(law, DampingLaw(1500.0), False))
    own = found.damper
    assert own is not None
    assert own.rebound is not None
    assert own.compression is not None
    critical = found.at_sag.critical_damping_at_shaft_n_s_m
    assert own.rebound.at_sag_share == pytest.approx(5000 / critical)
    assert own.rebound.of_critical_share == pytest.approx([5000 / critical] * 41)
    assert own.rebound.force_n == pytest.approx(law.force(np.array(own.speed_m_s)))
    assert own.speed_m_s[-1] >= 0.6
    assert found.return_of("own") is not None


def test_compression_alone() -> None:
    found = end(wheel(), GivenDamper(None, DampingLaw(1500.0), False))
    assert found.damper is not None
    assert found.damper.rebound is None
    assert found.return_of("own") is None
    assert found.damper.speed_m_s[-1] == 1.0


def test_no_damping_never_settles() -> None:
    """With a coefficient of 0 the wheel snaps out at once, and the body bounces on."""
    own = end(wheel(), GivenDamper(DampingLaw(0.0), DampingLaw(0.0), False)).return_of("own")
    assert own is not None
    assert own.back_s is None
    assert own.wheel_back_s == 0.0
    assert own.overshoot_share == 1.0


def test_where_the_rate_falls_away() -> None:
    """A table that is flat at first: neither frequency nor damping there, and none is invented."""
    flat = Table((0.0, 10.0, 55.0), (300.0, 300.0, 5000.0))
    found = end(wheel(flat), GivenDamper(DampingLaw(4000.0), None, False))
    assert found.frequency_hz[0] is None
    assert found.critical_damping_n_s_m[0] is None
    assert found.damper is not None
    assert found.damper.rebound is not None
    assert found.damper.rebound.of_critical_share[0] is None
    assert found.frequency_hz[-1] is not None


def test_sag_as_deep_as_the_hit() -> None:
    assert end(wheel(load=1400.0)).returns == ()


def test_tyre_in_series() -> None:
    found = end(wheel(), tyre=Tyre(110.0, 4.0))
    assert found.frequency_with_tyre_hz is not None
    both = 14.4 * 110 / 124.4
    assert found.frequency_with_tyre_hz == pytest.approx(
        [np.sqrt(1000 * both / (500 / 9.80665)) / (2 * np.pi)] * 41
    )
    assert found.at_sag.wheel_hop_hz == pytest.approx(np.sqrt(124.4e3 / 4) / (2 * np.pi), rel=0.01)
