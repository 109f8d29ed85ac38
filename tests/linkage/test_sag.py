"""Sag: where the spring carries the load, and the spring that gives a wanted sag."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from frame3d.linkage import (
    equilibrium_sag,
    shock_load,
    sold_coils,
    solve_linkage,
    target_sag,
    wheel_load,
)
from frame3d.linkage.curves.springs import Coil, Spring, air_of, coil_of
from frame3d.linkage.curves.wheel_force import wheel_rate
from frame3d.parameters.models.springs import AirSpec, CoilSpec, NegativeSpec
from frame3d.parameters.units import LB_IN
from tests.linkage.bikes import spec_of
from tests.linkage.test_solve import AT, FOUR_LINK
from tests.linkage.test_springs import CHAMBERS, gas


def test_the_worked_wheel_rate() -> None:
    """80 kg at rear share 0.65, 450 lb/in, constant leverage ratio 2.5: worked by hand."""
    load = wheel_load(80, 0.65)
    assert load == pytest.approx(509.946, abs=5e-4)
    k = 450 * LB_IN
    one = np.ones(1)
    rate = wheel_rate(k * one, k * one, 2.5 * one, 0 * one)[0]
    assert rate == pytest.approx(12.6091, abs=5e-5)
    assert load / rate == pytest.approx(40.443, abs=5e-4)
    assert load * 2.5 / k == pytest.approx(16.177, abs=5e-4)
    wanted = coil_of(CoilSpec(), load * 2.5, 0.3 * 60)
    assert wanted.k == pytest.approx(70.826, abs=5e-4)
    assert wanted.k / LB_IN == pytest.approx(404.43, abs=5e-3)


def test_a_given_pressure_sags_as_at_rest() -> None:
    """The gas laws and brentq again; the polytropic exponent does not matter, nor does the way there."""
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)

    def over(stroke: float) -> float:
        return gas(stroke, 1.0, 0.0) - 520 * float(
            linkage.at_strokes(np.array([stroke])).leverage[0]
        )

    wanted = brentq(over, 1.0, 40.0, xtol=1e-12)
    spring = air_of(CHAMBERS)
    for ridden in (
        spring,
        spring.resting_at(30.0),
        air_of(CHAMBERS.model_copy(update={"exponent": 1.0})),
    ):
        found = equilibrium_sag(linkage, ridden, 520.0)
        assert found is not None
        assert found.stroke == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("of", ["stroke", "travel"])
@pytest.mark.parametrize("kind", ["coil", "air"])
def test_sag_comes_out_as_asked(of: str, kind: str) -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    sag = target_sag(linkage, 0.3, of)  # type: ignore[arg-type]
    assert (sag.stroke_share if of == "stroke" else sag.travel_share) == pytest.approx(0.3)
    force = shock_load(linkage, 520.0, sag.stroke)
    spring: Spring = (
        coil_of(CoilSpec(preload=2), force, sag.stroke)
        if kind == "coil"
        else air_of(
            AirSpec(piston=42, volume_cm3=130, negative=NegativeSpec(volume_cm3=20)),
            force,
            sag.stroke,
        )
    )
    found = equilibrium_sag(linkage, spring, 520.0)
    assert found is not None
    assert found.stroke == pytest.approx(sag.stroke, abs=1e-6)
    assert found.travel == pytest.approx(sag.travel, abs=1e-6)
    assert equilibrium_sag(linkage, spring, 1e5) is None
    if isinstance(spring, Coil):
        below, above = sold_coils(linkage, spring, 520.0)
        assert above.rate_lb_in - below.rate_lb_in == 25
        assert below.rate_lb_in % 25 == 0
        assert below.rate_n_mm <= spring.k < above.rate_n_mm
        assert below.sag is not None
        assert above.sag is not None
        assert above.sag.stroke < sag.stroke <= below.sag.stroke + 1e-9


def test_a_spring_that_carries_at_full_extension_does_not_sag() -> None:
    """500 N of preload at the shock carry less than 100 N at a wheel of leverage 2 to 3."""
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    stiff = Coil(80.0, 500 / 80)
    found = equilibrium_sag(linkage, stiff, 100.0)
    assert found is not None
    assert (found.stroke, found.travel) == pytest.approx((0, 0), abs=1e-9)


@pytest.mark.parametrize("rate", [45.0, 70.0, 120.0])
def test_at_equilibrium_virtual_work_is_nothing(rate: float) -> None:
    """A little more travel gains as much in the spring as the load gives: brentq of scipy on that."""
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    spring, load, step = Coil(rate), 400.0, 1e-3

    def gain(stroke: float) -> float:
        ends = np.array([stroke - step, stroke + step])
        energy, travel = spring.energy(ends), linkage.at_strokes(ends).travel
        return float((np.diff(energy) - load * np.diff(travel))[0])

    wanted = brentq(gain, 1.0, 39.0, xtol=1e-10)
    found = equilibrium_sag(linkage, spring, load)
    assert found is not None
    assert found.stroke == pytest.approx(wanted, abs=1e-5)
    assert found.travel == pytest.approx(linkage.at_strokes(np.array([wanted])).travel[0], abs=1e-4)
    assert found.stroke_share == pytest.approx(found.stroke / 40)
    assert found.travel_share == pytest.approx(found.travel / linkage.full_travel)


@pytest.mark.parametrize(
    ("pounds", "step", "sold"),
    [
        (474.6, 25, (450, 475)),
        (474.6, 50, (450, 500)),
        (450.0, 25, (450, 475)),
        (12.0, 25, (25, 50)),
    ],
)
def test_coils_as_they_are_sold(pounds: float, step: int, sold: tuple[int, int]) -> None:
    """The next below or equal, and above; none is softer than the first step."""
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    found = sold_coils(linkage, Coil(pounds * LB_IN, 1.0), 500.0, step)
    assert tuple(coil.rate_lb_in for coil in found) == sold
    assert found[0].rate_n_mm == pytest.approx(sold[0] * 4.4482216152605 / 25.4)
    if pounds < 25:
        assert found[0].sag is None  # bottoms out
