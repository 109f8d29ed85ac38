"""Springs and set-up on a terminal."""

from __future__ import annotations

from frame3d.cli.riding.springs import text
from frame3d.ride.springs.of_bike import springs_of
from tests.ride.springs.bikes import FORK_AIR, REAR_AIR, bike


def shown(fork: str = "", rear: str = "", *changes: tuple[str, str]) -> list[str]:
    part = springs_of(bike(fork, rear, *changes))
    assert part is not None
    return text(part, 120).splitlines()


def row(lines: list[str], start: str) -> list[str]:
    (line,) = (line for line in lines if line.startswith(start))
    return line.split()


def test_air_at_both_ends() -> None:
    lines = shown(
        FORK_AIR.replace("negative", "reducer_cm3: 8, most_reducers: 2, negative"),
        REAR_AIR.replace("negative", "highest_pressure_bar: 11, negative"),
    )
    assert lines[0].startswith("Shock: air, ")
    assert lines[0].endswith("above the limit of 11 bar")
    assert lines[1].startswith("Sag wanted: 18 mm (30 %) of 60 mm on the shaft")
    assert sum(line.startswith("> 80 ") for line in lines) == 2
    assert any(line.endswith("above the limit") for line in lines if line.startswith("  110"))
    assert row(lines, "> 0  ")[1] == "0"
    assert any(
        line.startswith("Sag wanted: 28 mm (20 %) of 140 mm on the stanchion") for line in lines
    )
    assert any("at the end [x load]" in line for line in lines)


def test_reducers_that_need_more_pressure_than_allowed() -> None:
    air = FORK_AIR.replace(
        "negative", "reducer_cm3: 8, most_reducers: 2, highest_pressure_bar: 3, negative"
    )
    rows = [line for line in shown(air) if line.startswith(("> 0 ", "  1 ", "  2 "))]
    assert len(rows) == 3
    assert shown(air)[-1].startswith("Warning: fork: the sag asks for")
    assert all(line.endswith("above the limit") for line in rows)


def test_a_coil_with_the_sold_ones() -> None:
    lines = shown("", "coil: {}")
    assert lines[0].startswith("Shock: coil, ")
    cells = row(lines, "> 80 ")
    assert cells[4:6] == ["450", "lb/in"]
    assert "475" in cells
    light = ("unsprung_kg: 4", "unsprung_kg: 30"), ("mass_kg: 80", "mass_kg: 35")
    assert row(shown("", "coil: {rate_n_mm: 20}", *light), "  20 ")[1:] == ["–"] * 6


def test_a_spring_as_measured_and_one_without_a_wanted_sag() -> None:
    lines = shown(
        "table: [[0, 20], [70, 700], [140, 3000]]", "coil: {rate_n_mm: 20}", ("  sag: 30%\n", "")
    )
    assert any(line == "Fork: spring as measured" for line in lines)
    assert lines[0] == "Shock: coil, 20.0 N/mm (114 lb/in)"
    assert any(line.strip().endswith("bottoms out") for line in lines)


def test_a_measured_pair() -> None:
    pair = FORK_AIR.replace(
        "negative", "measured: {pressure_bar: 5, sag: 20%, rider_mass_kg: 70}, negative"
    )
    (line,) = (line for line in shown(pair) if line.startswith("Corrected"))
    assert "5.0 bar gave 28 mm (20 %) under 70 kg" in line
