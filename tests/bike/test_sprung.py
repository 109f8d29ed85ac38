"""The rear spring under its load: what it carries, and a rate or pressure left open."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.sprung import Sprung, sprung_of, with_spring_notes
from frame3d.bike.travel import over_travel
from frame3d.bike.weight import weigh
from frame3d.cli import commands
from frame3d.errors import GeometryError
from frame3d.linkage import Coil
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE


def test_the_open_coil_is_the_one_that_gives_the_asked_sag(bike: Bike) -> None:
    result = over_travel(bike).sprung
    assert isinstance(result.spring, Coil)
    assert result.found is not None
    assert result.found.stroke == pytest.approx(18, abs=1e-6)
    soft, hard = result.sold
    assert soft.rate_n_mm <= result.spring.k <= hard.rate_n_mm
    assert soft.sag is not None
    assert hard.sag is not None
    assert soft.sag.stroke > result.found.stroke > hard.sag.stroke


def test_the_load_is_that_of_rider_and_bicycle(bike: Bike) -> None:
    """Mass and share as in test_weight; the spring is spared 4 kg × 9.80665."""
    sprung = over_travel(bike, 3).sprung
    load = 95 * 9.80665 * weigh(bike).rear_share
    assert 500 < load < 600
    assert sprung.load == pytest.approx(load, rel=1e-12)
    assert sprung.carried == pytest.approx(load - 4 * 9.80665, rel=1e-12)
    assert sprung.unsprung.given
    assert any("4 kg (suspension.unsprung_kg)" in said for said in sprung.assumptions)


def test_the_air_pressure_for_the_sag(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """At 18 mm of stroke, 40 mm piston: the chamber shrinks from 130 to 107.38 cm³, isothermally; the
    force (load less 39.23 N) × leverage on 1256.6 mm² says how far above the air outside it must be then. A bar is
    14.503774 pounds a square inch.
    """
    air = SINGLE.replace("{coil: {}}", "{air: {piston: 40, volume_cm3: 130, exponent: 1}}")
    layout = solve(loads(MINIMAL + air))
    assert layout.linkage is not None
    leverage = layout.linkage.at_strokes(np.array([18.0])).leverage[0]
    area, outside = np.pi / 4 * 40**2, 0.101325
    squeezed = 9.80665 * (95 * weigh(layout).rear_share - 4) * leverage / area + outside
    pressure = 10 * (squeezed * (130000 - 18 * area) / 130000 - outside)
    file = tmp_path / "bike.yaml"
    file.write_text(MINIMAL + air)
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), "--travel"])
    text = capsys.readouterr().out
    assert f"Air pressure {pressure:.2f} bar ({14.503774 * pressure:.0f} psi)" in text
    assert "Sold coil" not in text
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), "--travel", "--json"])
    document = json.loads(capsys.readouterr().out)["travel"]
    assert document["spring"]["kind"] == "air"
    assert document["spring"]["pressure_bar"] == pytest.approx(pressure, abs=1e-3)
    psi = document["spring"]["pressure_bar"] * 1e5 / 6894.757293168
    assert document["spring"]["pressure_psi"] == pytest.approx(psi)
    assert document["sold_coils"] == []


def changed(*changes: tuple[str, str]) -> Bike:
    text = SINGLE
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return solve(loads(MINIMAL + text))


def of(bike: Bike) -> Sprung:
    assert bike.linkage is not None
    return sprung_of(bike, bike.linkage)


NO_RIDER = ("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")
NO_SAG = ("  sag: 30%\n", "")
STIFF = ("{coil: {}}", "{coil: {rate_n_mm: 90}}")


def test_a_given_coil_rests_where_it_carries() -> None:
    found = of(changed(STIFF, NO_SAG))
    assert found.asked is None
    assert found.found is not None
    assert isinstance(found.spring, Coil)
    assert found.spring.k == 90
    bike = changed(STIFF)
    assert bike.linkage is not None
    there = bike.linkage.at_strokes(np.array([found.found.stroke]))
    assert 90 * found.found.stroke == pytest.approx(
        9.80665 * (95 * weigh(bike).rear_share - 4) * there.leverage[0], rel=1e-9
    )
    assert [coil.rate_lb_in for coil in found.sold] == [500, 525]  # 90 N/mm are 513.9 lb/in


def test_without_a_mass_there_is_no_load() -> None:
    found = of(changed(STIFF, NO_RIDER))
    assert found.load is found.carried is found.found is None
    assert found.sold == ()
    assert found.asked is not None
    assert found.asked.stroke == pytest.approx(18)


def test_air_rides_about_where_it_rests() -> None:
    """At full stroke where it does not carry its load; where it was asked to where that is not known."""
    air = "{air: {piston: 40, volume_cm3: 130, pressure_bar: 12}}"
    soft = "{air: {piston: 40, volume_cm3: 130, pressure_bar: 0.1}}"
    carried = of(changed(("{coil: {}}", air)))
    assert carried.found is not None
    assert f"about {carried.found.stroke:.1f} mm of stroke" in carried.assumptions[-1]
    assert "about 18.0 mm" in of(changed(("{coil: {}}", air), NO_RIDER)).assumptions[-1]
    assert "about 0.0 mm" in of(changed(("{coil: {}}", air), NO_RIDER, NO_SAG)).assumptions[-1]
    short = of(changed(("{coil: {}}", soft), ("stroke: 60", "stroke: 30")))
    assert short.found is None
    assert "about 30.0 mm" in short.assumptions[-1]


def test_no_spring() -> None:
    bike = changed(("  spring: {coil: {}}\n", ""))
    found = of(bike)
    assert found.spring is found.found is None
    assert found.notes == found.sold == ()
    assert found.carried == pytest.approx(9.80665 * (95 * weigh(bike).rear_share - 4))


@pytest.mark.parametrize(
    ("changes", "said", "hint"),
    [
        ((NO_RIDER,), "a coil without a rate needs the force", "build.rider.mass_kg"),
        (
            (("{coil: {}}", "{air: {piston: 40, volume_cm3: 130}}"), NO_RIDER),
            "an air spring without a pressure needs the force",
            "build.rider.mass_kg",
        ),
        (
            (("unsprung_kg: 4", "unsprung_kg: 30"), ("mass_kg: 80", "mass_kg: 40"),
             ("{coil: {}}", "{air: {piston: 60, volume_cm3: 200}}")),
            "no pressure gives that force",
            "suspension.unsprung_kg: the spring carries",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_found_is_told_and_leaves_the_bike_alone(
    changes: tuple[tuple[str, str], ...], said: str, hint: str
) -> None:
    bike = changed(*changes)
    with pytest.raises(GeometryError) as caught:
        of(bike)
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == ("under-determined", "suspension.spring")
    assert said in fault.message
    assert hint in fault.hint
    assert with_spring_notes(bike) is bike


def test_a_hardtail_has_no_notes_of_springs() -> None:
    bike = solve(loads(MINIMAL))
    assert with_spring_notes(bike) is bike
