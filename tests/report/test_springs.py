"""The page's section of springs."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.ride_sections.springs import length, measured_said, riders_cells, section, times
from frame3d.report.texts import texts
from frame3d.ride.springs.of_bike import Springs, springs_of
from tests.ride.springs.bikes import FORK_AIR, REAR_AIR, bike

SAY = texts("en")
MORE = "reducer_cm3: 8, most_reducers: 2, highest_pressure_bar: 11, negative"


def springs(*given: Any) -> Springs:
    part = springs_of(bike(*given))
    assert part is not None
    return part


def page(part: Springs | None, audience: Audience = "builder") -> str | None:
    data = SimpleNamespace(ride=SimpleNamespace(springs=part))
    return section(cast(ReportData, data), SAY, audience)


def test_both_ends() -> None:
    part = springs(FORK_AIR.replace("negative", MORE), REAR_AIR.replace("negative", MORE))
    found = page(part)
    assert found is not None
    for said in (
        "Shock: for 30 % of sag",
        "Fork: for 20 % of sag",
        "Fork: volume reducers, same sag",
        "above the limit of 11 bar",
        "The spring&#x27;s own limit is 11 bar.",
        "set_up_sheet.pdf",
        "What is assumed",
        "build.fork.spring.air.measured",
    ):
        assert said in found, said
    assert "above the highest pressure of 11 bar" in found
    assert (
        found.count('<tr class="own">') == 4
    )  # the rider's and the fitted reducers', at both ends
    assert found.count("<figure") == 2
    assert found.count("80 kg<span") == 2


def test_the_rider_reads_no_keys() -> None:
    part = springs(FORK_AIR, REAR_AIR)
    found = page(part, "rider")
    assert found is not None
    assert "spring.air" not in found
    assert "Left out" not in found
    limited = page(springs("", REAR_AIR.replace("negative", MORE)), "rider")
    assert limited is not None
    assert "highest pressure" not in limited


def test_coils_tables_and_no_wanted_sag() -> None:
    found = page(springs("table: [[0, 20], [70, 700], [140, 3000]]", "coil: {}"))
    assert found is not None
    assert "Fork: sag on this spring" in found
    assert "500 lb/in: " in found
    assert "volume reducer" not in found
    found = page(springs("", "coil: {rate_n_mm: 20}", ("  sag: 30%\n", "")))
    assert found is not None
    assert "bottoms out" in found
    assert "Shock: coil" in found


def test_nothing_to_show() -> None:
    assert page(None) is None
    assert page(springs("", "", ("  spring: {coil: {}}\n", ""))) is None
    no_rider = ("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")
    found = page(springs("", "coil: {rate_n_mm: 80}", no_rider))
    assert found is not None
    assert "set_up_sheet.pdf" not in found
    assert "<figure" in found


def test_a_measurement_is_told() -> None:
    pair = "measured: {pressure_bar: 5, sag: 20%, rider_mass_kg: 70}, negative"
    part = springs(FORK_AIR.replace("negative", pair))
    assert part.fork is not None
    said = measured_said(part.fork, SAY)
    assert said is not None
    assert "5.0 bar gave 20 % of sag under 70 kg" in said
    assert part.rear is not None
    assert measured_said(part.rear, SAY) is None
    page_said = page(part)
    assert page_said is not None
    assert "corrected by a measurement" in page_said


def test_lengths_as_rules_show_them() -> None:
    """Half millimetres on a shaft, whole ones on a stanchion; halves are rounded up."""
    part = springs(FORK_AIR, REAR_AIR)
    assert part.rear is not None
    assert part.fork is not None
    assert [length(part.rear, x, SAY) for x in (15.74, 15.75, 15.6)] == [
        "15.5 mm",
        "16 mm",
        "15.5 mm",
    ]
    assert [length(part.fork, x, SAY) for x in (32.4, 32.5)] == ["32 mm", "33 mm"]
    assert times(None, SAY) == "–"
    assert riders_cells(part.fork, part.fork.rows[0], SAY)[1].isdigit()
