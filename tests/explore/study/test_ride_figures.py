"""Figures of the ride in wishes and preferences."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.explore.study.ride_figures import RideFigures
from tests.explore.study.faults import REACH, faults, read, wishes

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"


@pytest.fixture(scope="module")
def figures() -> RideFigures:
    return RideFigures(frame3d.load(CONFIGS / "trail_full_140.yaml"))


@pytest.mark.parametrize(
    "name",
    ["steering.sagged.push_torque_nm", "fit.angles.knee_angle.middle", "springs.rear.sag.travel"],
)
def test_a_figure_that_the_bike_has(figures: RideFigures, name: str) -> None:
    assert figures.lack(name) is None


def test_a_mistyped_one_is_told_with_those_most_like_it(figures: RideFigures) -> None:
    lack = figures.lack("steering.sagged.push_torque")
    assert lack is not None
    assert "no such figure" in lack[0]
    assert "did you mean ride.steering.sagged.push_torque_nm" in lack[1]


def test_one_that_this_bike_lacks_is_told_with_what_is_left_out(figures: RideFigures) -> None:
    lack = figures.lack("damping.rear.damper.rebound_n_s_m")
    assert lack is not None
    assert "this bike has no such figure" in lack[0]
    assert "suspension.shock.damper" in lack[1]


def test_in_a_study_by_dotted_key_nested_and_preferred() -> None:
    name = "steering.sagged.push_torque_nm"
    dotted = read(wishes(f"ride.{name}: {{from: 5}}")).wishes
    nested = read(wishes(f"ride: {{{name}: {{from: 5}}}}")).wishes
    assert dotted == nested
    assert (dotted[0].label, dotted[0].quantity.unit, dotted[0].scale) == (
        f"ride.{name}",
        "N·m",
        0.1,
    )
    assert read(REACH + f"prefer: {{least: ride.{name}}}\n").preferences[0].label == f"ride.{name}"


def test_its_fault_has_its_line() -> None:
    fault = faults(wishes("ride.steering.push: {from: 5}"))[0]
    assert (fault.code, fault.path) == ("not-allowed", "wishes.ride.steering.push")
    assert fault.place is not None
    assert fault.place.line == 4
    fault = faults(REACH + "prefer: {least: ride.steering.push}\n")[0]
    assert (fault.code, fault.path) == ("not-allowed", "prefer.least")
