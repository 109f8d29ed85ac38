"""Unsprung mass: given, or from parts and tubes; by virtual work."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.sprung import sprung_of
from frame3d.bike.unsprung import unsprung
from frame3d.errors import GeometryError
from frame3d.linkage.curves.springs import Air
from frame3d.parameters.reading.reader import load, loads
from frame3d.tubes.mass import masses_of
from tests.bike.single import MINIMAL, SINGLE

CONFIGS = Path(__file__).parents[2] / "configs"


def demo(name: str, *sets: str) -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml", sets=list(sets)))


def mass(layout: Bike) -> float:
    assert layout.linkage is not None
    return unsprung(layout, layout.linkage).mass_kg


def test_what_the_file_says_counts() -> None:
    layout = solve(loads(MINIMAL + SINGLE))
    assert layout.linkage is not None
    found = unsprung(layout, layout.linkage)
    assert (found.mass_kg, found.given) == (4.0, True)


@pytest.mark.parametrize("name", ["trail_full_140", "enduro_170_mixed"])
def test_of_the_demos(name: str) -> None:
    """3 to 5 kg at the rear of a mountain bike: common practice, no source."""
    layout = demo(name)
    assert layout.linkage is not None
    found = unsprung(layout, layout.linkage)
    assert 3 < found.mass_kg < 5
    assert not found.given
    assert f"{found.mass_kg:.2f} kg estimated: rear tyre" in found.said
    assert "suspension.unsprung_kg gives it" in found.said
    heavier = demo(name, "build.cassette.cogs=[11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 46, 58]")
    assert mass(heavier) > found.mass_kg


def test_a_swingarm_counts_by_its_centre_over_the_arm() -> None:
    """A link on a fixed pivot: its centre's rise over the axle's, by rotation about the pivot alone."""
    layout = demo("enduro_170_mixed")
    linkage = layout.linkage
    assert linkage is not None
    pivot = complex(*linkage.drawn["main_pivot"])
    axle = complex(*linkage.drawn["rear_axle"]) - pivot
    end = complex(*linkage.axle_at(linkage.full_travel)) - pivot
    turned = end / axle
    assert abs(turned) == pytest.approx(1)
    tubes = {tube.name for tube in layout.tubes if tube.link == "swingarm"}
    own = 0.0
    for body in masses_of(layout.frame).bodies:
        if body.name in tubes:
            arm = complex(body.centre[0], body.centre[2]) - pivot
            own += body.grams / 1000 * (arm * turned - arm).imag / (end - axle).imag
    # Steel instead of aluminium adds (7.85 / 2.70 - 1) of what the tubes count for, and of the hardware.
    free = "build.bike_mass_kg=null"
    dense, layout = demo("enduro_170_mixed", "material=4130", free), demo("enduro_170_mixed", free)
    assert mass(dense) - mass(layout) == pytest.approx((7.85 / 2.70 - 1) * own, rel=0.25)
    assert mass(dense) - mass(layout) > (7.85 / 2.70 - 1) * own


def test_the_spring_is_spared_its_weight() -> None:
    """The pressure, absolute, is proportional to the load with both chambers filled alike: isothermal."""
    layout = demo("trail_full_140")
    assert layout.linkage is not None
    with_it = sprung_of(layout, layout.linkage)
    without = demo("trail_full_140", "suspension.unsprung_kg=0")
    assert without.linkage is not None
    bare = sprung_of(without, without.linkage)
    assert isinstance(bare.spring, Air)
    assert isinstance(with_it.spring, Air)
    assert bare.load == bare.carried == with_it.load
    assert bare.carried is not None
    assert with_it.carried == pytest.approx(bare.carried - 9.80665 * with_it.unsprung.mass_kg)
    stroke, area = 0.3 * 52.5, np.pi / 4 * 42**2
    k = 120e3 / (120e3 - area * stroke) - 18e3 / (18e3 + area * stroke)
    for sprung in (bare, with_it):
        assert sprung.carried is not None
        assert isinstance(sprung.spring, Air)
        leverage = layout.linkage.at_strokes(np.array([stroke])).leverage[0]
        pressure = 10 * (sprung.carried * leverage / area / k - 0.101325)
        assert sprung.spring.pressure_bar == pytest.approx(pressure, rel=1e-9)
    # What the demo needs with all of the load on the spring: 61.0 % of 96.5 kg on the rear wheel.
    assert bare.load == pytest.approx(0.610 * 96.5 * 9.80665, abs=0.5)
    assert bare.spring.pressure_bar == pytest.approx(13.95, abs=0.05)


def test_more_than_the_load_is_a_fault() -> None:
    text = SINGLE.replace("unsprung_kg: 4", "unsprung_kg: 30").replace("mass_kg: 80", "mass_kg: 25")
    layout = solve(loads(MINIMAL + text.replace("bike_mass_kg: 15", "bike_mass_kg: 10")))
    assert layout.linkage is not None
    with pytest.raises(GeometryError) as caught:
        sprung_of(layout, layout.linkage)
    (fault,) = caught.value.faults
    assert fault.path == "suspension.spring"
    assert "unsprung_kg" in fault.hint
