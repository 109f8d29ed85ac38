"""The common centre of mass of rider and bicycle, by hand-worked numbers."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.weight import together, weigh
from frame3d.parameters.reading.reader import load, loads
from frame3d.tubes.mass import masses_of
from tests.bike.single import MINIMAL, SINGLE

TRAIL = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


def bike(*changes: tuple[str, str]) -> Bike:
    text = SINGLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return solve(loads(MINIMAL + text))


def test_three_masses() -> None:
    """(-4000 + 250 + 2125) / 95 and (56000 + 625 + 375) / 95."""
    parts = [(80.0, (-50.0, 700.0)), (2.5, (100.0, 250.0)), (12.5, (170.0, 30.0))]
    assert together(parts) == pytest.approx((-17.105263, 600.0))


def test_rider_and_bicycle() -> None:
    """80 kg at (12.50, 860.97) from the posture; 15 kg halfway between axles at (-431.51, 55) and
    (727.63, 55): (1000.1 + 2220.9) / 95 = 33.91, (68877.2 + 825) / 95 = 733.71, over ground at -313;
    the rear wheel carries (727.63 - 33.91) / 1159.14.
    """
    layout = bike()
    assert layout.rider is not None
    assert layout.rider.seated is not None
    person = layout.rider.seated.centre_of_mass
    assert (person[0], person[2]) == pytest.approx((12.50, 860.97), abs=0.005)
    found = weigh(layout)
    assert found.mass_kg == 95
    assert found.centre == pytest.approx((33.91, 733.71), abs=0.01)
    assert found.rear_share == pytest.approx(0.59848, abs=1e-5)
    said = "; ".join(found.assumptions)
    assert "bicycle's mass halfway between the axles (common practice, no source)" in said
    assert "60 % of the weight on the rear wheel (of rider and bicycle together)" in said
    assert "centre of mass 1047 mm over the ground" in said


def test_what_the_file_says_counts() -> None:
    """1100 - 313 over the bottom bracket; 727.63 - 0.65·1159.14 behind the front wheel."""
    given = ("  sag: 30%", "  sag: 30%\n  rear_share: 65%\n  centre_of_mass_height: 1100")
    found = weigh(bike(given))
    assert found.rear_share == 0.65
    assert found.centre == pytest.approx((-25.81, 787.0), abs=0.01)
    assert found.assumptions == ()


def test_a_height_alone_leaves_the_place_along_the_bicycle() -> None:
    found = weigh(bike(("  sag: 30%", "  sag: 30%\n  centre_of_mass_height: 1100")))
    assert found.centre == pytest.approx((33.91, 787.0), abs=0.01)
    assert not any("over the ground" in said for said in found.assumptions)


def test_a_bicycle_of_unsaid_mass_is_assumed() -> None:
    found = weigh(bike(("  bike_mass_kg: 15\n", "")))
    assert found.mass_kg == 95
    assert found.assumptions[0] == "bicycle 15 kg (common practice, no source)"
    assert found.centre == pytest.approx((33.91, 733.71), abs=0.01)


def test_without_a_rider() -> None:
    """1150 mm over ground at -313; 727.63 - 0.6·1159.14."""
    found = weigh(bike(("  rider: {mass_kg: 80, height: 1765, inseam: 830}\n", "")))
    assert found.mass_kg is None
    assert found.centre == pytest.approx((32.14, 837.0), abs=0.01)
    assert all("common practice, no source" in said for said in found.assumptions)


def test_a_rider_of_unknown_posture_has_a_mass() -> None:
    found = weigh(bike(("  stem: {length: 45}\n", "")))
    assert found.mass_kg == 95
    assert found.rear_share == 0.6


def test_tubes_count_where_they_are() -> None:
    """The bicycle's own centre, found back by taking the rider away again."""
    layout = solve(load(TRAIL))
    assert layout.rider is not None
    assert layout.rider.seated is not None
    rider, build = layout.rider.seated.centre_of_mass, layout.spec.build
    assert build.rider is not None
    found, tubes = weigh(layout), masses_of(layout.frame)
    assert found.mass_kg is not None
    assert tubes.centre is not None
    mass = found.mass_kg - build.rider.mass_kg
    rear, front = layout.nodes["rear_axle"], layout.nodes["front_axle"]
    kilograms = tubes.total / 1000
    assert 1.5 < kilograms < 4
    for i, j in ((0, 0), (1, 2)):
        bicycle = (found.mass_kg * found.centre[i] - build.rider.mass_kg * rider[j]) / mass
        middle = (rear[j] + front[j]) / 2
        shift = kilograms * (tubes.centre[j] - middle) / mass
        assert bicycle == pytest.approx(middle + shift, abs=1e-6)
    assert any(said.startswith("tubes 2.3 kg where they are") for said in found.assumptions)
