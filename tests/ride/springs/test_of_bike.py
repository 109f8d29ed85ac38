"""Both ends of the bike together."""

from __future__ import annotations

from frame3d.bike.solve import solve
from frame3d.formats.ride_document import plain
from frame3d.parameters.reading.reader import loads
from frame3d.ride.springs.of_bike import springs_of
from tests.bike.single import MINIMAL
from tests.ride.springs.bikes import FORK_AIR, REAR_AIR, bike


def test_both_ends() -> None:
    found = springs_of(bike(FORK_AIR, REAR_AIR))
    assert found is not None
    assert [end.end for end in found.ends] == ["rear", "fork"]
    assert found.rider_kg == 80
    assert len(set(found.assumptions)) == len(found.assumptions)
    assert (
        "volume reducers, fork (build.fork.spring.air.reducer_cm3 and most_reducers)"
        in found.left_out
    )
    assert (
        "the highest pressure, rear (suspension.spring.air.highest_pressure_bar)" in found.left_out
    )
    assert plain(found)["fork"]["sag"]["stroke_share"] == 0.2


def test_what_is_complete_leaves_nothing_out() -> None:
    more = (
        "reducer_cm3: 8, most_reducers: 2, highest_pressure_bar: 30, "
        "measured: {pressure_bar: 10, sag: 25%, rider_mass_kg: 75}, negative"
    )
    found = springs_of(bike(FORK_AIR.replace("negative", more), REAR_AIR.replace("negative", more)))
    assert found is not None
    assert found.left_out == ()


def test_what_the_file_does_not_give_is_left_out_and_said() -> None:
    found = springs_of(bike())
    assert found is not None
    assert found.fork is None
    assert [end.end for end in found.ends] == ["rear"]
    assert "spring and set-up, fork (build.fork.spring)" in found.left_out
    no_rider = ("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")
    no_sag = ("  sag: 30%\n", "")
    found = springs_of(bike("", "coil: {rate_n_mm: 80}", no_rider, no_sag))
    assert found is not None
    assert found.rider_kg is None
    assert found.left_out[0] == "loads, sag and set-up (build.rider.mass_kg)"
    assert "set-up for a sag, rear (suspension.sag)" in found.left_out


def test_nothing_sprung() -> None:
    assert springs_of(solve(loads(MINIMAL))) is None


def test_warnings_of_both_ends() -> None:
    low = "highest_pressure_bar: 3, negative"
    found = springs_of(bike(FORK_AIR.replace("negative", low), REAR_AIR.replace("negative", low)))
    assert found is not None
    assert [line.partition(": the sag asks for")[0] for line in found.warnings] == ["rear", "fork"]
