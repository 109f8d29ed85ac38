"""The set-up over riders' masses."""

from __future__ import annotations

from itertools import pairwise

import pytest

from frame3d.bike.loaded_spring import LoadedSpring
from frame3d.bike.sprung import sprung_of
from frame3d.ride.springs.fork import fork_spring_of
from frame3d.ride.springs.set_up import EndSetUp, RiderRow, rider_masses, set_up_of
from tests.ride.springs.bikes import FORK_AIR, REAR_AIR, bike


def rear(spring: str = "", *changes: tuple[str, str]) -> LoadedSpring:
    made = bike("", spring, *changes)
    assert made.linkage is not None
    return sprung_of(made, made.linkage).loaded


def sheet(loaded: LoadedSpring) -> EndSetUp:
    found = set_up_of("rear", loaded)
    assert found is not None
    return found


def own(found: EndSetUp) -> RiderRow:
    (row,) = (row for row in found.rows if row.own)
    return row


def test_the_masses_of_the_table() -> None:
    assert rider_masses(80) == tuple(range(55, 111, 5))
    assert rider_masses(82)[5:8] == (80, 82, 85)
    assert len(rider_masses(82)) == 13
    light, heavy = rider_masses(31), rider_masses(141.5)
    assert light[:5] == (15, 20, 25, 30, 31)
    assert len(light) == len(heavy) == 13
    assert heavy[-4:] == (145, 150, 155, 160)
    assert rider_masses(10)[0] == 5


def test_every_row_is_what_another_file_with_that_rider_would_say() -> None:
    """The table against the whole way through, with each rider's mass in the file; in the same posture."""
    table = sheet(rear(REAR_AIR))
    for kg in (55, 70, 110):
        alone = sheet(rear(REAR_AIR, ("rider: {mass_kg: 80", f"rider: {{mass_kg: {kg}")))
        (row,) = (row for row in table.rows if row.rider_kg == kg)
        assert row.pressure_bar == pytest.approx(own(alone).pressure_bar, abs=1e-9)
        assert row.pressure_psi == own(alone).pressure_psi == alone.pressure_psi
        assert row.load_n == own(alone).load_n
        assert not row.own


def test_pressure_grows_evenly_with_the_rider() -> None:
    """Isothermal air is linear in pressure, so equal steps of mass are equal steps of it."""
    pressures = [row.pressure_bar for row in sheet(rear(REAR_AIR)).rows]
    steps = [b - a for a, b in pairwise(pressures) if a and b]
    assert max(steps) - min(steps) < 0.11
    assert min(steps) > 0.2


def test_coils_of_riders_are_as_stiff_as_riders_are_heavy() -> None:
    """Same sag: k is in proportion to the load, exactly (linear spring; no preload)."""
    found = sheet(rear("coil: {}"))
    first, last = found.rows[0], found.rows[-1]
    assert first.rate_n_mm is not None
    assert last.rate_n_mm is not None
    assert last.rate_n_mm / first.rate_n_mm == pytest.approx(last.load_n / first.load_n, rel=2e-3)
    for row in found.rows:
        soft, hard = row.sold
        assert row.rate_lb_in is not None
        assert soft.rate_lb_in <= row.rate_lb_in <= hard.rate_lb_in == soft.rate_lb_in + 25
        assert soft.sag is not None
        assert hard.sag is not None
        assert soft.sag.stroke >= 18 - 0.05 >= hard.sag.stroke - 0.1
    assert found.kind == "coil"
    assert found.rate_lb_in == own(found).rate_lb_in


def test_a_table_tells_the_sag_of_every_rider() -> None:
    found = sheet(rear("table: [[0, 100], [30, 2000], [60, 6000]]"))
    strokes = [row.sag.stroke for row in found.rows if row.sag is not None]
    assert len(strokes) == len(found.rows)
    assert strokes == sorted(strokes)
    assert found.kind == "table"
    assert found.pressure_bar is found.rate_n_mm is None
    assert found.reducers == ()


def test_a_pressure_without_a_wanted_sag_tells_sags() -> None:
    air = REAR_AIR.replace("negative", "pressure_bar: 12, negative")
    found = sheet(rear(air, ("  sag: 30%\n", "")))
    assert not found.wanted
    assert found.sag == found.found
    mine = own(found).sag
    assert mine is not None
    assert found.found is not None
    assert mine.stroke == pytest.approx(found.found.stroke)
    assert own(found).pressure_bar is None
    assert found.pressure_bar == 12


def test_pressures_above_the_limit_are_marked() -> None:
    plain = sheet(rear(REAR_AIR))
    assert not any(row.above_limit for row in plain.rows)
    middle = own(plain).pressure_bar
    limit = REAR_AIR.replace("negative", f"highest_pressure_bar: {middle}, negative")
    found = sheet(rear(limit))
    assert [row.above_limit for row in found.rows] == [row.rider_kg > 80 for row in found.rows]
    assert found.highest_pressure_bar == middle


def test_a_rider_too_light_has_no_pressure() -> None:
    """The air outside alone, squeezed in a large chamber, carries more than such a rider."""
    found = sheet(
        rear("air: {piston: 110, volume_cm3: 580}", ("unsprung_kg: 4", "unsprung_kg: 30"))
    )
    assert found.rows[0].pressure_bar is None
    assert not found.rows[0].above_limit
    assert own(found).pressure_bar is not None


def test_a_rider_who_does_not_load_the_spring_has_no_coil() -> None:
    light = ("unsprung_kg: 4", "unsprung_kg: 30"), ("mass_kg: 80", "mass_kg: 35")
    found = sheet(rear("coil: {rate_n_mm: 20}", *light))
    assert found.rows[0].rate_n_mm is None
    assert found.rows[0].sold == ()
    assert found.rows[-1].rate_n_mm is not None


def test_the_measured_pair_stands_in_the_table_as_measured() -> None:
    pair = "measured: {pressure_bar: 11.3, sag: 30%, rider_mass_kg: 70}, negative"
    found = sheet(rear(REAR_AIR.replace("negative", pair)))
    (row,) = (row for row in found.rows if row.rider_kg == 70)
    assert row.pressure_bar == 11.3
    assert found.measured is not None
    assert found.measured.stroke_share == pytest.approx(0.3)
    plain = next(row for row in sheet(rear(REAR_AIR)).rows if row.rider_kg == 70)
    assert found.measured.modelled_bar == plain.pressure_bar
    assert found.measured.force_factor != 1


def test_without_a_spring_or_a_rider() -> None:
    loaded = rear("", ("  spring: {coil: {}}\n", ""))
    assert set_up_of("rear", loaded) is None
    no_rider = ("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")
    found = sheet(rear("coil: {rate_n_mm: 80}", no_rider))
    assert found.rows == ()
    assert found.found is None
    assert found.curves[0].wheel_force_n[-1] > 1000


def test_the_fork() -> None:
    fork = fork_spring_of(bike(FORK_AIR))
    assert fork is not None
    found = set_up_of("fork", fork.loaded)
    assert found is not None
    assert found.full_stroke == 140
    assert found.sag is not None
    assert found.sag.stroke == pytest.approx(28)
    assert own(found).load_n == round(fork.carried or 0)
