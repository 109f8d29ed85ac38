"""The demo bikes on slopes."""

from __future__ import annotations

from functools import cache, reduce
from io import StringIO
from operator import getitem

import numpy as np
import pytest
from ruamel.yaml import YAML

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.bike.solve import solve
from frame3d.bike.weight import front_share
from frame3d.formats.ride_document import plain
from frame3d.linkage import target_sag
from frame3d.parameters import load, loads
from frame3d.ride.slopes.of_bike import CLIMBS, Slopes, slopes_of
from frame3d.ride.slopes.states import GRADIENTS, STOPS
from tests.linkage.demos import CONFIGS

FULL, HARDTAIL, RIGID = "trail_full_140", "trail_hardtail_29", "adventure_rigid"


@cache
def _bike(name: str) -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml"))


@cache
def _slopes(name: str) -> Slopes:
    return slopes_of(_bike(name))


def _changed(name: str, *without: str, **given: object) -> Bike:
    """A demo without the values at some dotted paths, and with others of its suspension."""
    file = YAML(typ="safe").load((CONFIGS / f"{name}.yaml").read_text(encoding="utf-8"))
    for path in without:
        *parents, key = path.split(".")
        del reduce(getitem, parents, file)[key]
    if given:
        file["suspension"].update(given)
    text = StringIO()
    YAML().dump(file, text)
    return solve(loads(text.getvalue(), f"{name}.yaml"))


@pytest.mark.parametrize(("name", "near"), [(FULL, 2e-3), (HARDTAIL, 2e-3), (RIGID, 1e-9)])
def test_level_share_is_that_of_the_bike_at_rest(name: str, near: float) -> None:
    # The same by another way: the mass model at the file's sag, in gravity's axes. What springs the
    # loads as drawn would settle at is up to 0.2 mm beside the file's sag.
    bike, found = _bike(name), _slopes(name)
    for posture in found.postures:
        sagged = bike.sagged is not None
        rider = bike.sagged.rider if bike.sagged is not None else bike.rider
        assert rider is not None
        there = front_share(bike, rider.postures[posture.name], sagged=sagged)
        level = posture.on(0).front_share_percent.middle / 100
        # Other postures than the seated one stand on another sag than the file's.
        assert level == pytest.approx(there, abs=near if posture.name == "seated" else 5 * near)


def test_rigid_bike_is_plain_statics() -> None:
    # Moments by hand, from rider and bicycle as they are drawn.
    bike, found = _bike(RIGID), _slopes(RIGID)
    masses, rider = mass_model(bike), bike.rider
    assert rider is not None
    assert rider.seated is not None
    assert bike.spec.build.rider is not None
    kg, (x, _, z) = bike.spec.build.rider.mass_kg, rider.seated.centre_of_mass
    total = kg + masses.total_kg
    x = (kg * x + masses.total_kg * masses.centre[0]) / total - bike.nodes["rear_contact"][0]
    z = (kg * z + masses.total_kg * masses.centre[1]) / total - bike.nodes["rear_contact"][2]
    wheelbase = bike.chart["wheelbase"]
    assert wheelbase is not None
    seated = found.posture("seated")
    assert seated is not None
    assert seated.lifts_percent.middle == pytest.approx(100 * x / z, abs=1e-9)
    light = 100 * (x - 0.1 * wheelbase) / z
    assert seated.light_percent.middle == pytest.approx(light, abs=1e-9)
    assert seated.lifts_pushing_percent.middle == pytest.approx(50 * x / z, abs=1e-9)
    assert seated.stop_on(0).without_dive_g.middle == pytest.approx((wheelbase - x) / z, abs=1e-9)
    assert seated.stop_on(0).with_dive_g is None
    assert not found.sprung
    assert found.cog is None


@pytest.mark.parametrize("name", [FULL, HARDTAIL, RIGID])
def test_share_falls_and_bands_are_as_wide_as_postures_differ(name: str) -> None:
    for posture in _slopes(name).postures:
        shares = [one.front_share_percent for one in posture.gradients]
        assert [one.gradient_percent for one in posture.gradients] == list(GRADIENTS)
        assert (np.diff([share.middle for share in shares if share.middle > 0]) < 0).all()
        assert all(share.low <= share.middle <= share.high for share in shares)
        # 30 mm along and 50 mm up make ±2.4 and ±1.8 points of gradient: ±3 together.
        assert 2.3 < posture.lifts_percent.half < 3.8
        assert posture.light_percent.middle < posture.lifts_percent.middle
        pushed = posture.lifts_pushing_percent.middle
        assert pushed == pytest.approx(posture.lifts_percent.middle / 2, rel=0.06)
        assert [stop.gradient_percent for stop in posture.stops] == list(STOPS)
        hardest = [stop.hardest_g.middle for stop in posture.stops]
        assert (np.diff(hardest) < 0).all()


@pytest.mark.parametrize("name", [FULL, HARDTAIL])
def test_dive_makes_the_rear_lift_sooner(name: str) -> None:
    for posture in _slopes(name).postures:
        for stop in posture.stops:
            assert stop.with_dive_g is not None
            assert stop.fork_travel is not None
            assert stop.with_dive_g.middle < stop.without_dive_g.middle
            assert stop.fork_travel > posture.on(0).fork_travel


def test_climb_on_the_full_suspension() -> None:
    found = _slopes(FULL)
    seated = found.posture("seated")
    assert seated is not None
    assert (found.chainring, found.cog) == (32, 50)
    level, climb, descent = seated.on(0), seated.on(20), seated.on(-20)
    # Anti-squat near 100 % keeps the level load times cos θ on the rear spring: 2 % less on 20 %.
    assert climb.anti_squat_percent is not None
    assert 95 < climb.anti_squat_percent < 115
    assert climb.rear_travel == pytest.approx(level.rear_travel, abs=2.0)
    assert climb.fork_travel < level.fork_travel < descent.fork_travel
    assert climb.pitch_degrees > level.pitch_degrees > descent.pitch_degrees
    assert level.anti_squat_percent is None


def test_saddle_stands_as_the_sagged_chart_has_it_on_the_level() -> None:
    bike, found = _bike(HARDTAIL), _slopes(HARDTAIL)
    assert bike.sagged is not None
    assert [one.gradient_percent for one in found.saddle] == list(CLIMBS)
    x, _, z = bike.sagged.nodes["saddle"]
    assert found.saddle_on(0).seat_degrees == pytest.approx(
        float(np.degrees(np.arctan2(z, -x))), abs=0.2
    )
    angles = [one.seat_degrees for one in found.saddle]
    assert (np.diff(angles) < -5).all()


def test_springs_that_the_file_lacks_go_through_its_sag() -> None:
    bike = _changed(FULL, "build.fork.spring", "suspension.spring")
    found, linkage = slopes_of(bike), bike.linkage
    seated = found.posture("seated")
    assert seated is not None
    assert linkage is not None
    assert bike.spec.suspension is not None
    assert bike.spec.suspension.sag is not None
    fork = bike.spec.build.fork
    assert fork is not None
    asked = target_sag(linkage, bike.spec.suspension.sag, bike.spec.suspension.sag_of)
    assert seated.on(0).rear_travel == pytest.approx(asked.travel, abs=1e-4)
    assert seated.on(0).fork_travel == pytest.approx(fork.sag * fork.travel, abs=1e-4)
    assert bike.sagged is not None
    assert bike.sagged.rider is not None
    share = front_share(bike, bike.sagged.rider.postures["seated"], sagged=True)
    assert seated.on(0).front_share_percent.middle == pytest.approx(100 * share, abs=0.02)
    said = " ".join(found.assumptions)
    assert "suspension.spring" in said
    assert "build.fork.spring" in said


def test_nothing_given_of_a_fork_is_left_out() -> None:
    found = slopes_of(_changed(HARDTAIL, "build.fork.spring", "build.fork.sag"))
    assert any("build.fork.spring" in line for line in found.left_out)
    seated = found.posture("seated")
    assert seated is not None
    assert seated.on(-40).fork_travel == 0


def test_without_a_chain_there_is_no_anti_squat() -> None:
    found = slopes_of(_changed(FULL, "build.cassette"))
    assert (found.chainring, found.cog) == (None, None)
    assert any("build.cassette" in line for line in found.left_out)
    with_chain, without = _slopes(FULL).posture("seated"), found.posture("seated")
    assert with_chain is not None
    assert without is not None
    assert without.on(20).anti_squat_percent is None
    assert without.on(20).rear_travel > with_chain.on(20).rear_travel + 5


def test_share_that_the_file_gives_is_kept() -> None:
    given = _changed(FULL, rear_share="55%")
    seated = slopes_of(given).posture("seated")
    usual = _slopes(FULL).posture("seated")
    assert seated is not None
    assert usual is not None
    drawn = front_share(given, given.rider.postures["seated"]) if given.rider else 0.0
    more = seated.on(0).front_share_percent.middle - usual.on(0).front_share_percent.middle
    assert more == pytest.approx(100 * (0.45 - drawn), abs=1.0)


def test_bands_that_end_at_a_limit_say_so() -> None:
    low = slopes_of(_changed(FULL, centre_of_mass_height=400.0))
    seated = low.posture("seated")
    assert seated is not None
    assert seated.lifts_percent.high == 100.0
    assert any("100 %" in line for line in low.assumptions)
    ahead = slopes_of(_changed(FULL, rear_share="15%"))
    assert any(line.startswith("a stop of 0 g") for line in ahead.assumptions)
    usual = " ".join(_slopes(FULL).assumptions)
    assert "100 %" not in usual
    assert "a stop of 0 g" not in usual


@pytest.mark.parametrize(
    ("without", "key"),
    [
        (["build.rider"], "build.rider"),
        (["build.stem"], "build.stem"),
        (["build.rider.height", "build.rider.inseam"], "build.rider.height"),
    ],
)
def test_what_is_missing_for_a_rider_is_named(without: list[str], key: str) -> None:
    found = slopes_of(_changed(HARDTAIL, *without))
    assert found.postures == ()
    assert found.figures == {}
    assert key in found.left_out[0]


def test_the_same_bytes_twice() -> None:
    again = slopes_of(solve(load(CONFIGS / f"{FULL}.yaml")))
    assert repr(plain(again)) == repr(plain(_slopes(FULL)))


def test_figures_for_comparison_are_the_middles() -> None:
    found = _slopes(FULL)
    seated = found.posture("seated")
    assert seated is not None
    assert found.figures["lifts_seated"] == seated.lifts_percent.middle
    assert found.figures["seat_climbing"] == found.saddle_on(20).seat_degrees


def test_a_longer_chainstay_lifts_later() -> None:
    # Derived: the rear contact moves back under the same rider, by 10 mm 10/1080 = 0.93 points of gradient.
    longer = slopes_of(
        solve(load(CONFIGS / f"{HARDTAIL}.yaml", sets=["geometry.chainstay_length=442"]))
    )
    before = _bike(HARDTAIL).chart["chainstay_length"]
    assert before is not None
    more = longer.figures["lifts_seated"] - _slopes(HARDTAIL).figures["lifts_seated"]
    assert more / (442 - before) * 10 == pytest.approx(0.9, abs=0.2)
