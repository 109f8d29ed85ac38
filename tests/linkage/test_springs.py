"""Springs, sag, wheel rate: unit conversion, worked rows, energy."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage import asked_sag, found_sag, shock_load, sold_coils, solve_linkage, wheel_load
from frame3d.linkage.curves import forces
from frame3d.linkage.springs import LB_IN, Coil, Spring, Table, air_of, coil_of
from frame3d.linkage.wheel_force import wheel_rate
from frame3d.spec.springs import AirSpec, CoilSpec, NegativeSpec
from tests.linkage.bikes import spec_of
from tests.linkage.test_solve import AT, FOUR_LINK

POUNDS = {250: 43.7817, 300: 52.5381, 350: 61.2944, 400: 70.0507, 450: 78.8071, 500: 87.5634,
          550: 96.3198, 600: 105.0761, 650: 113.8324}  # fmt: skip


@pytest.mark.parametrize("pounds", POUNDS)
def test_pounds_an_inch(pounds: int) -> None:
    """The pound-force (4.4482216152605 N) and the inch (25.4 mm) by definition."""
    assert coil_of(CoilSpec(rate_lb_in=pounds)).k == pytest.approx(POUNDS[pounds], abs=5e-5)
    assert pytest.approx(5.710147155, abs=1e-9) == 1 / LB_IN


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


SPRINGS: dict[str, Spring] = {
    "coil": Coil(78.8, 1.5),
    "air": air_of(AirSpec(piston=42, volume_cm3=130, pressure_bar=9)),
    "isothermal": air_of(AirSpec(piston=42, volume_cm3=130, pressure_bar=9, exponent=1)),
    "negative": air_of(
        AirSpec(piston=42, volume_cm3=130, pressure_bar=9,
                negative=NegativeSpec(volume_cm3=20, piston=38))
    ),
    "table": Table((0.0, 10.0, 25.0, 60.0), (100.0, 700.0, 1500.0, 4500.0)),
}  # fmt: skip


@pytest.mark.parametrize("name", SPRINGS)
def test_virtual_work(name: str) -> None:
    """∫ wheel force d(travel) is the spring's energy, to 1e-9 of it (Gauss's rule between the kinks)."""
    spring = SPRINGS[name]
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    x, w = np.polynomial.legendre.leggauss(24)
    work = 0.0
    for low, high in ((0, 10), (10, 25), (25, 40)):
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


def test_air_by_hand() -> None:
    """Isothermal, no negative chamber: halving the volume doubles the absolute pressure."""
    spring = air_of(AirSpec(piston=40, volume_cm3=100, pressure_bar=10, exponent=1))
    area = np.pi * 400
    half = 100000 / area / 2
    absolute = 2 * (1.0 + 0.101325)
    assert spring.force(np.array([half]))[0] == pytest.approx(area * (absolute - 0.101325))
    assert spring.force(np.zeros(1))[0] == pytest.approx(area * 1.0)


@pytest.mark.parametrize("of", ["stroke", "travel"])
@pytest.mark.parametrize("kind", ["coil", "air"])
def test_sag_comes_out_as_asked(of: str, kind: str) -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    sag = asked_sag(linkage, 0.3, of)  # type: ignore[arg-type]
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
    found = found_sag(linkage, spring, 520.0)
    assert found is not None
    assert found.stroke == pytest.approx(sag.stroke, abs=1e-6)
    assert found.travel == pytest.approx(sag.travel, abs=1e-6)
    assert found_sag(linkage, spring, 1e5) is None
    if isinstance(spring, Coil):
        below, above = sold_coils(linkage, spring, 520.0)
        assert above.rate_lb_in - below.rate_lb_in == 25
        assert below.rate_lb_in % 25 == 0
        assert below.rate_n_mm <= spring.k < above.rate_n_mm
        assert below.sag is not None
        assert above.sag is not None
        assert above.sag.stroke < sag.stroke <= below.sag.stroke + 1e-9
