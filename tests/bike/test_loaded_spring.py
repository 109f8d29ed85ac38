"""A spring of the file under its load, on a straight guide; the rear's is in test_sprung."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.loaded_spring import LoadedSpring, SpringPlace, loaded_spring
from frame3d.errors import GeometryError
from frame3d.linkage import Air, Coil
from frame3d.linkage.curves.guide import StraightGuide
from frame3d.parameters.models.springs import AirSpec, CoilSpec, MeasuredSpec, SpringSpec
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL

SPEC = loads(MINIMAL, "bike.yaml")
AIR = AirSpec(piston=35, volume_cm3=190)


def place(given: SpringSpec | None, **changes: object) -> SpringPlace:
    made = SpringPlace(
        path="build.fork.spring", sag_path="build.fork.sag", unsprung_path="build.fork.mass_kg",
        given=given, guide=StraightGuide(140.0, 90.0), sag=0.2, sag_of="stroke", carried=300.0,
        rider_kg=80.0, rider_share=0.4,
    )  # fmt: skip
    return replace(made, **changes)  # type: ignore[arg-type]


def of(given: SpringSpec | None, **changes: object) -> LoadedSpring:
    return loaded_spring(SPEC, place(given, **changes))


def test_the_load_under_another_rider() -> None:
    """10 kg less, 40 % of them here: 39.23 N less."""
    assert place(None).carried_under(70) == pytest.approx(300 - 0.4 * 98.0665)
    assert place(None, carried=None).carried_under(70) is None
    assert place(None, rider_kg=None).carried_under(70) is None


def test_a_coil_left_open_and_one_that_is_given() -> None:
    open_ = of(SpringSpec(coil=CoilSpec()))
    assert isinstance(open_.spring, Coil)
    assert open_.spring.k == pytest.approx(300 / 28)
    assert [coil.rate_lb_in for coil in open_.sold] == [50, 75]
    given = of(SpringSpec(coil=CoilSpec(rate_n_mm=10)), sag=None)
    assert given.place.asked is None
    assert given.found is not None
    assert given.rest == given.found.stroke == pytest.approx(30)


def test_where_it_rests() -> None:
    """Where found; at the end where it does not carry the load; as asked, or at 0, without a load."""
    soft = SpringSpec(coil=CoilSpec(rate_n_mm=1))
    assert of(soft).rest == 140
    assert of(soft, carried=None).rest == pytest.approx(28)
    assert of(soft, carried=None, sag=None).rest == 0
    assert of(None).spring is None


def test_air_rides_about_its_rest() -> None:
    spring = of(SpringSpec(air=AIR)).spring
    assert isinstance(spring, Air)
    assert spring.chambers[0].about == pytest.approx(28)
    at = np.array([28.0])
    assert spring.force(at)[0] == pytest.approx(300)
    assert spring.rate(at)[0] > spring.at_rest().rate(at)[0]


def test_a_measured_pair_needs_a_load() -> None:
    pair = MeasuredSpec(pressure_bar=3.0, sag="20%", rider_mass_kg=80)
    spec = SpringSpec(air=AIR.model_copy(update={"measured": pair}))
    found = of(spec)
    assert found.calibration is not None
    assert isinstance(found.spring, Air)
    assert found.spring.pressure_bar == pytest.approx(3)
    assert found.spring.factor == found.calibration.factor
    assert any("times that of the chambers" in said for said in found.assumptions)
    given = SpringSpec(air=AIR.model_copy(update={"measured": pair, "pressure_bar": 4.0}))
    loose = of(given, carried=None)
    assert loose.calibration is None
    assert isinstance(loose.spring, Air)
    assert loose.spring.factor == 1


@pytest.mark.parametrize(
    ("changes", "hint"),
    [
        ({"carried": None}, "build.rider.mass_kg and build.fork.sag"),
        ({"carried": -5.0}, "build.fork.mass_kg"),
    ],
)
def test_what_cannot_be_found(changes: dict[str, object], hint: str) -> None:
    with pytest.raises(GeometryError) as caught:
        of(SpringSpec(air=AIR), **changes)
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == ("under-determined", "build.fork.spring")
    assert hint in fault.hint


def test_a_pressure_above_the_limit_is_told() -> None:
    limited = AIR.model_copy(update={"highest_pressure_bar": 2.0})
    (note,) = of(SpringSpec(air=limited)).notes
    assert "above the highest pressure of 2 bar" in note.message
    assert of(SpringSpec(air=AIR)).notes == ()
