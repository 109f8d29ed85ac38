"""The fork's spring under its load."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bike.sprung import sprung_of
from frame3d.errors import GeometryError, SpecError
from frame3d.linkage import Air, Coil, Table
from frame3d.parameters.reading.reader import loads
from frame3d.ride.springs.fork import ForkSprung, fork_spring_of
from tests.bike.single import MINIMAL
from tests.ride.springs.bikes import FORK_AIR, bike, text


def of(fork: str = "", rear: str = "", *changes: tuple[str, str]) -> ForkSprung:
    found = fork_spring_of(bike(fork, rear, *changes))
    assert found is not None
    return found


NO_RIDER = ("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")


def test_the_fork_carries_what_the_rear_does_not_less_its_wheel() -> None:
    """95 kg × 9.80665 less the rear's load, less the unsprung weight."""
    found = of(FORK_AIR)
    rear = sprung_of(bike(), linkage).load if (linkage := bike().linkage) else None
    assert rear is not None
    assert found.load == pytest.approx(95 * 9.80665 - rear, rel=1e-12)
    assert found.carried is not None
    assert found.carried == pytest.approx(found.load - 9.80665 * found.unsprung.mass_kg, abs=1e-9)
    angle = bike().chart["head_tube_angle"]
    assert angle is not None
    assert found.axial == pytest.approx(found.carried * math.sin(math.radians(angle)), rel=1e-12)


def test_the_open_pressure_gives_the_asked_sag() -> None:
    """By hand: both chambers of 35 mm, isothermal, in N and mm."""
    found = of(FORK_AIR)
    assert isinstance(found.spring, Air)
    assert found.found is not None
    assert found.asked is not None
    assert found.found.stroke == pytest.approx(28.0, abs=1e-6)
    assert found.rest == found.found.stroke
    area = math.pi / 4 * 35**2
    shares = 190e3 / (190e3 - 28 * area) - 60e3 / (60e3 + 28 * area)
    assert found.axial is not None
    wanted = 10 * (found.axial / area / shares - 0.101325)
    assert found.spring.pressure_bar == pytest.approx(wanted, rel=1e-9)
    assert found.sold == ()


def test_a_coil_in_the_fork() -> None:
    found = of("coil: {}")
    assert isinstance(found.spring, Coil)
    assert found.axial is not None
    assert found.spring.k == pytest.approx(found.axial / 28)
    soft, hard = found.sold
    assert soft.rate_n_mm <= found.spring.k < hard.rate_n_mm


def test_a_measured_fork() -> None:
    found = of("table: [[0, 20], [70, 700], [140, 3000]]")
    assert isinstance(found.spring, Table)
    assert found.axial is not None
    assert found.found is not None
    assert found.found.stroke == pytest.approx((found.axial - 20) * 70 / 680, abs=1e-4)


def test_a_fork_without_a_spring_or_a_rider() -> None:
    found = of()
    assert found.spring is found.found is None
    assert found.carried is not None
    loose = of("coil: {rate_n_mm: 8}", "coil: {rate_n_mm: 80}", NO_RIDER)
    assert loose.carried is None
    assert isinstance(loose.spring, Coil)
    for open_ in ("coil: {}", FORK_AIR):  # what only a load would settle is left out
        assert of(open_, "coil: {rate_n_mm: 80}", NO_RIDER).spring is None
    assert fork_spring_of(solve(loads(MINIMAL))) is None


def test_what_is_assumed_is_said() -> None:
    said = " ".join(of(FORK_AIR).assumptions)
    assert "stanchions at the drawn head angle of 67.0°; at sag it is" in said
    assert "friction left out" in said
    assert "unsprung mass in front" in said
    assert "fork: air as warm as outside" in said


def test_a_weighed_wheel_and_fork() -> None:
    weighed = (
        "fork: {travel: 140, sag: 20%}",
        "fork: {travel: 140, sag: 20%, mass_kg: 2}\n  front_wheel: {mass_kg: 2.2}",
    )
    found = of("", "", weighed)
    assert found.unsprung.mass_kg == pytest.approx(2.2 + 0.45 * 2)
    assert "wheel 2.20" in found.unsprung.said


def test_a_measured_pair_of_the_fork_comes_out_as_it_went_in() -> None:
    """For the measured rider: another file with that rider, the same pair, and no pressure."""
    pair = "measured: {pressure_bar: 5, sag: 20%, rider_mass_kg: 70}"
    air = FORK_AIR.replace("negative", f"{pair}, negative")
    spring = of(air, "", ("rider: {mass_kg: 80", "rider: {mass_kg: 70")).spring
    assert isinstance(spring, Air)
    assert spring.pressure_bar == pytest.approx(5, abs=1e-9)
    other = of(air)
    assert isinstance(other.spring, Air)
    assert other.spring.pressure_bar > 5
    assert other.loaded.calibration is not None
    assert other.loaded.calibration.factor == pytest.approx(spring.factor, rel=1e-9)
    assert any("measured 5.0 bar at 28.0 mm" in said for said in other.assumptions)
    at = np.array([28.0])
    assert spring.at_rest().force(at)[0] == pytest.approx(spring.force(at)[0])


def test_warnings() -> None:
    high = FORK_AIR.replace("negative", "highest_pressure_bar: 3, negative")
    (note,) = of(high).notes
    assert "above the highest pressure of 3 bar" in note.message
    assert note.place is not None
    assert "highest_pressure_bar" in note.place.text
    far = FORK_AIR.replace(
        "negative", "measured: {pressure_bar: 20, sag: 20%, rider_mass_kg: 70}, negative"
    )
    (note,) = of(far).notes
    assert "check the pair's pressure" in note.message


def test_springs_that_cannot_reach() -> None:
    """A clear fault with its line: what cannot carry the load, and what cannot be compared."""
    weak = "air: {piston: 35, volume_cm3: 190, negative: {volume_cm3: 20, pressure_bar: 60}}"
    pair = "measured: {pressure_bar: 1, sag: 5%, rider_mass_kg: 70}, negative"
    for fork, path, said in (
        (
            weak.replace("pressure_bar: 60", "pressure_bar: 0, piston: 110"),
            "build.fork.spring",
            "no pressure",
        ),
        (weak.replace("negative", pair), "build.fork.spring.air.measured", "have no force"),
    ):
        with pytest.raises(GeometryError) as caught:
            of(fork)
        (fault,) = caught.value.faults
        assert fault.path == path
        assert said in fault.message
        assert fault.place is not None
        assert fault.place.line is not None


@pytest.mark.parametrize(
    ("fork", "path"),
    [
        (FORK_AIR.replace("negative", "reducer_cm3: 10, reducers: 4, most_reducers: 3, negative"),
         "build.fork.spring.air.reducers"),
        (FORK_AIR.replace("negative", "reducer_cm3: 10, most_reducers: 9, negative"),
         "build.fork.spring.air.most_reducers"),
        (FORK_AIR.replace("negative", "measured: {pressure_bar: 5, sag: 0%, rider_mass_kg: 70}, negative"),
         "build.fork.spring.air.measured.sag"),
        (FORK_AIR.replace("negative", "measured: {pressure_bar: 5, sag: 20%}, negative"),
         "build.fork.spring.air.measured.rider_mass_kg"),
    ],
)  # fmt: skip
def test_bad_input_is_told_with_its_line(fork: str, path: str) -> None:
    with pytest.raises(SpecError) as caught:
        loads(text(fork), "bike.yaml")
    (fault,) = caught.value.faults
    assert fault.path == path
    assert fault.place is not None
    assert "spring" in fault.place.text
