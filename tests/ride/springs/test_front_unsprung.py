"""The unsprung mass in front."""

from __future__ import annotations

import pytest

from frame3d.bike.mass_model import mass_model
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load
from frame3d.ride.springs.front_unsprung import front_unsprung
from tests.linkage.demos import CONFIGS
from tests.ride.springs.bikes import bike


def test_of_the_demo() -> None:
    """Parts of usual mass: a wheel of about 2 kg, and nearly a kilogram of fork (common practice)."""
    found = front_unsprung(mass_model(solve(load(CONFIGS / "trail_full_140.yaml"))))
    assert 2.8 < found.mass_kg < 3.8
    for part in (
        "tyre",
        "rim and spokes",
        "hub and axle",
        "rotor",
        "caliper",
        "fork's lower legs",
    ):
        assert part in found.said


def test_a_tyre_in_millimetres() -> None:
    tyre = (
        "fork: {travel: 140",
        "front_wheel: {tyre: {diameter: 736, width: 61}}\n  fork: {travel: 140",
    )
    file_radius = ("  front_wheel_radius: 368\n", "")
    assert (
        front_unsprung(mass_model(bike("", "", tyre, file_radius))).mass_kg
        > front_unsprung(mass_model(bike())).mass_kg + 1
    )


def test_what_was_weighed_counts() -> None:
    weighed = (
        "fork: {travel: 140, sag: 20%}",
        "front_wheel: {mass_kg: 2.2}\n  fork: {travel: 140, sag: 20%, mass_kg: 2}",
    )
    assert front_unsprung(mass_model(bike("", "", weighed))).mass_kg == pytest.approx(
        2.2 + 0.45 * 2
    )
