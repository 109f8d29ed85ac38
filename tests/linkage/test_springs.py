"""Springs: unit conversion, worked rows, energy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from frame3d.linkage import (
    solve_linkage,
)
from frame3d.linkage.curves.curves import forces
from frame3d.linkage.curves.springs import Air, Coil, Spring, Table, air_of, coil_of
from frame3d.parameters.models.springs import AirSpec, CoilSpec, NegativeSpec
from frame3d.parameters.units import LB_IN
from tests.linkage.bikes import spec_of
from tests.linkage.test_solve import AT, FOUR_LINK

POUNDS = {250: 43.7817, 300: 52.5381, 350: 61.2944, 400: 70.0507, 450: 78.8071, 500: 87.5634,
          550: 96.3198, 600: 105.0761, 650: 113.8324}  # fmt: skip


@pytest.mark.parametrize("pounds", POUNDS)
def test_pounds_an_inch(pounds: int) -> None:
    """The pound-force (4.4482216152605 N) and the inch (25.4 mm) by definition."""
    assert coil_of(CoilSpec(rate_lb_in=pounds)).k == pytest.approx(POUNDS[pounds], abs=5e-5)
    assert pytest.approx(5.710147155, abs=1e-9) == 1 / LB_IN


SPRINGS: dict[str, Spring] = {
    "coil": Coil(78.8, 1.5),
    "air": air_of(AirSpec(piston=42, volume_cm3=130, pressure_bar=9)),
    "isothermal": air_of(AirSpec(piston=42, volume_cm3=130, pressure_bar=9, exponent=1)),
    "negative": air_of(
        AirSpec(piston=42, volume_cm3=130, pressure_bar=9,
                negative=NegativeSpec(volume_cm3=20, piston=38))
    ),
    "ridden": air_of(
        AirSpec(piston=42, volume_cm3=130, pressure_bar=9, negative=NegativeSpec(volume_cm3=20))
    ).resting_at(15.0),
    "table": Table((0.0, 10.0, 25.0, 60.0), (100.0, 700.0, 1500.0, 4500.0)),
}  # fmt: skip


@pytest.mark.parametrize("name", SPRINGS)
def test_virtual_work(name: str) -> None:
    """∫ wheel force d(travel) is the spring's energy, to 1e-9 of it (Gauss's rule between the kinks)."""
    spring = SPRINGS[name]
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    x, w = np.polynomial.legendre.leggauss(24)
    work = 0.0
    first = getattr(spring, "starts", 0.0)
    for low, high in ((0, first), (first, 10), (10, 25), (25, 40)):
        half = (high - low) / 2
        there = linkage.at_strokes(low + half * (x + 1))
        work += half * (w @ (forces(there, spring).wheel_force * there.leverage))
    energy = spring.energy(np.array([40.0]))[0]
    assert work == pytest.approx(energy, rel=1e-9)
    assert spring.energy(np.zeros(1))[0] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("name", SPRINGS)
def test_rates_are_slopes(name: str) -> None:
    spring, step = SPRINGS[name], 1e-3
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    s = np.array([3.0, 12.0, 31.0])
    slope = (spring.force(s + step) - spring.force(s - step)) / (2 * step)
    assert spring.rate(s) == pytest.approx(slope, rel=1e-6)
    near = [linkage.at_strokes(s + d) for d in (-step, step)]
    force = [forces(m, spring).wheel_force for m in near]
    wheel = (force[1] - force[0]) / (near[1].travel - near[0].travel)
    assert forces(linkage.at_strokes(s), spring).wheel_rate == pytest.approx(wheel, rel=1e-6)


CHAMBERS = AirSpec(piston=42, volume_cm3=120, pressure_bar=11, exponent=1.3,
                   negative=NegativeSpec(volume_cm3=18))  # fmt: skip


def gas(stroke: float, n: float, about: float) -> float:
    """Force of CHAMBERS from the laws of gases alone [N]: each chamber isothermal from full extension to
    `about`, p·V^n constant from there; SI units.
    """
    area, outside = np.pi / 4 * 0.042**2, 101325.0
    force = 0.0
    for volume, sign in ((120e-6, -1), (18e-6, 1)):
        rested = volume + sign * area * about / 1e3
        at_rest = (11e5 + outside) * volume / rested
        now = at_rest * (rested / (volume + sign * area * stroke / 1e3)) ** n
        force += -sign * area * (now - outside)
    return force


def test_air_at_rest_is_isothermal_and_rides_polytropic_about_its_rest() -> None:
    """Against the gas laws in other units, brentq and quad of scipy."""
    spring = air_of(CHAMBERS).resting_at(16.0)
    strokes = np.array([0.0, 0.5, 3.0, 16.0, 30.0, 52.5])
    wanted = [max(0.0, gas(s, 1.3, 16.0)) for s in strokes]
    assert spring.force(strokes) == pytest.approx(wanted, abs=1e-9)
    still = [max(0.0, gas(s, 1.0, 0.0)) for s in strokes]
    assert spring.at_rest().force(strokes) == pytest.approx(still, abs=1e-9)
    at = np.array([16.0])
    assert spring.force(at)[0] == pytest.approx(spring.at_rest().force(at)[0])
    assert spring.rate(at)[0] > 1.2 * spring.at_rest().rate(at)[0]
    # At full extension the negative chamber would pull: the stop holds the shock, nothing pushes.
    assert gas(0.0, 1.3, 16.0) < -150
    assert spring.force(np.zeros(1))[0] == 0
    assert spring.rate(np.zeros(1))[0] == 0
    starts = brentq(gas, 0.0, 16.0, args=(1.3, 16.0), xtol=1e-12)
    near = np.array([starts - 1e-6, starts + 1e-6])
    assert spring.force(near)[0] == 0 < spring.force(near)[1] < 1e-3
    for s in (starts, 20.0, 52.5):
        work, _ = quad(gas, starts, s, args=(1.3, 16.0), epsabs=1e-9)
        assert spring.energy(np.array([s]))[0] == pytest.approx(work, abs=1e-6)


def test_the_pressure_of_a_sag_does_not_depend_on_the_exponent() -> None:
    """By hand without a negative chamber: p·V constant, from 16 mm of stroke back to full extension."""
    open_ = AirSpec(piston=42, volume_cm3=120)
    area = np.pi / 4 * 42**2
    wanted = (1500 / area + 0.101325) * (120000 - 16 * area) / 120000 - 0.101325
    for n in (1.0, 1.3, 1.4):
        spring = air_of(open_.model_copy(update={"exponent": n}), 1500.0, 16.0)
        assert spring.pressure_bar == pytest.approx(10 * wanted, rel=1e-12)
        assert spring.pressure_psi == pytest.approx(wanted * 1e6 / 6894.757293168, rel=1e-12)
        assert spring.force(np.array([16.0]))[0] == pytest.approx(1500, abs=1e-9)


def test_adiabatic_forces_of_a_published_kind() -> None:
    """F = A(p(V0/V)ⁿ - p0) and k = nA²p/V by hand: 1.1 N/mm² gauge, piston 42, 120 cm³, no negative
    chamber, 15.75 mm, the air at full extension as warm as outside.
    """
    spec = AirSpec(piston=42, volume_cm3=120, pressure_bar=11)
    for n, force, rate in (
        (1.0, 1893.898, 28.70642),
        (1.3, 2020.143, 39.63426),
        (1.4, 2063.941, 43.54834),
    ):
        spring = air_of(spec.model_copy(update={"exponent": n}))
        assert spring.force(np.array([15.75]))[0] == pytest.approx(force, abs=5e-4)
        assert spring.rate(np.array([15.75]))[0] == pytest.approx(rate, abs=5e-6)


def test_a_stronger_negative_chamber_never_pulls_the_shock_apart() -> None:
    """Full of more pressure than the positive one: at rest the force starts at zero too, further in."""
    spec = AirSpec(piston=42, volume_cm3=130, pressure_bar=4,
                   negative=NegativeSpec(volume_cm3=20, pressure_bar=12))  # fmt: skip
    spring: Air = air_of(spec).at_rest()
    strokes = np.linspace(0.0, 40.0, 81)
    force, rate, energy = spring.state(strokes)
    assert force[0] == 0 == energy[0]
    assert (np.diff(force) >= 0).all()
    assert (np.diff(energy) >= 0).all()
    assert ((force > 0) == (rate > 0)).all()
    one = replace(spring.chambers[0], exponent=1.3)
    assert one.state(np.zeros(1))[0][0] == pytest.approx(np.pi / 4 * 42**2 * 0.4)


@pytest.mark.parametrize(
    ("given", "n_mm2"),
    [
        ({"pressure_bar": 14.0}, 1.4),
        ({"pressure_psi": 205.0}, 205 * 6894.757293168e-6),
    ],
)
def test_pressures_in_two_units(given: dict[str, float], n_mm2: float) -> None:
    """1 psi = 6894.757293168 Pa, 1 bar = 100 000 Pa, by definition."""
    spec = AirSpec(piston=42, volume_cm3=130, **given)
    assert spec.pressure == pytest.approx(n_mm2, rel=1e-12)
    assert air_of(spec).pressure_bar == pytest.approx(10 * n_mm2, rel=1e-12)
    assert air_of(spec).pressure_psi == pytest.approx(n_mm2 / 6894.757293168e-6, rel=1e-12)


def test_air_by_hand() -> None:
    """Isothermal, no negative chamber: halving the volume doubles the absolute pressure."""
    spring = air_of(AirSpec(piston=40, volume_cm3=100, pressure_bar=10, exponent=1))
    area = np.pi * 400
    half = 100000 / area / 2
    absolute = 2 * (1.0 + 0.101325)
    assert spring.force(np.array([half]))[0] == pytest.approx(area * (absolute - 0.101325))
    assert spring.force(np.zeros(1))[0] == pytest.approx(area * 1.0)
