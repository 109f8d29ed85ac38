"""Springs in the file: what people write, and what the message says to write."""

from __future__ import annotations

import pytest

from frame3d.errors import Fault, SpecError
from frame3d.parameters import loads
from tests.bike.single import MINIMAL, SINGLE

COIL = "spring: {coil: {}}"
AIR = "spring: {air: {piston: 42, volume_cm3: 120, VALUE}}"


def fault_of(spring: str) -> Fault:
    with pytest.raises(SpecError) as caught:
        loads(MINIMAL + SINGLE.replace(COIL, spring), "bike.yaml")
    (fault,) = caught.value.faults
    assert fault.place is not None
    assert "spring" in fault.place.text
    return fault


@pytest.mark.parametrize(
    ("given", "way"),
    [
        ("500lb", "write {rate_lb_in: 500}"),
        ("500 lbs/in", "write {rate_lb_in: 500}"),
        ("500 lb/in", "write {rate_lb_in: 500}"),
        ("87.5 N/mm", "write {rate_n_mm: 87.5}"),
        ("500", "write {rate_lb_in: 500} or {rate_n_mm: 500}"),
        ("stiff", "keys here: rate_n_mm, rate_lb_in, preload"),
        ("-5", "keys here: rate_n_mm, rate_lb_in, preload"),
        ("500kg", "keys here: rate_n_mm, rate_lb_in, preload"),
    ],
)
def test_a_rate_where_a_coil_is_wanted(given: str, way: str) -> None:
    fault = fault_of(f"spring: {{coil: {given}}}")
    assert (fault.code, fault.path, fault.hint) == ("wrong-type", "suspension.spring.coil", way)


def test_what_it_says_to_write_is_taken() -> None:
    spec = loads(MINIMAL + SINGLE.replace(COIL, "spring: {coil: {rate_lb_in: 500}}"))
    assert spec.suspension is not None
    assert spec.suspension.spring is not None
    assert spec.suspension.spring.coil is not None
    assert spec.suspension.spring.coil.rate == pytest.approx(500 * 4.4482216152605 / 25.4)


@pytest.mark.parametrize(
    ("given", "key", "way"),
    [
        ("pressure_bar: 205psi", "pressure_bar", "write 14.1343"),
        ("pressure_psi: 14bar", "pressure_psi", "write 203.053"),
    ],
)
def test_a_pressure_in_another_unit(given: str, key: str, way: str) -> None:
    fault = fault_of(AIR.replace("VALUE", given))
    assert (fault.path, fault.hint) == (f"suspension.spring.air.{key}", way)


def test_one_pressure() -> None:
    fault = fault_of(AIR.replace("VALUE", "pressure_bar: 14, pressure_psi: 205"))
    assert fault.code == "inconsistent"
    assert fault.path == "suspension.spring.air.pressure_psi"


@pytest.mark.parametrize(
    ("given", "key", "message"),
    [
        ("reducers: 1", "reducer_cm3", "how much room each reducer takes"),
        ("reducer_cm3: 8, reducers: 4, most_reducers: 3", "reducers", "more than most_reducers"),
        ("reducer_cm3: 30, reducers: 4", "reducers", "leave no air in 120"),
        ("reducer_cm3: 20, reducers: 4", "reducers", "which leaves no air"),
        ("pressure_bar: 13, highest_pressure_bar: 12", "pressure_bar", "above the highest"),
        ("pressure_psi: 200, highest_pressure_bar: 12", "pressure_psi", "above the highest"),
        (
            "measured: {pressure_bar: 12, sag: 100%, rider_mass_kg: 80}",
            "measured.sag",
            "rests at either end",
        ),
    ],
)
def test_reducers_and_limits_of_an_air_spring(given: str, key: str, message: str) -> None:
    fault = fault_of(AIR.replace("VALUE", given))
    assert fault.path == f"suspension.spring.air.{key}"
    assert message in fault.message


def test_reducers_take_up_air() -> None:
    given = AIR.replace("VALUE", "reducer_cm3: 8, reducers: 2, most_reducers: 3")
    spec = loads(MINIMAL + SINGLE.replace(COIL, given))
    assert spec.suspension is not None
    assert spec.suspension.spring is not None
    assert spec.suspension.spring.air is not None
    assert spec.suspension.spring.air.air_cm3 == 104
