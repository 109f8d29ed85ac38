"""Differences: exact, the other way round when asked the other way round, told where measurable."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import frame3d
from frame3d.bike.exchange import as_built
from frame3d.bike.travel import over_travel
from frame3d.family.differences import (
    CONTACTS,
    MEASURABLE,
    SLOPES,
    SUSPENSION,
    Change,
    against_first,
    contact_figures,
    differences,
    suspension_figures,
)
from frame3d.family.measured import Measured, measure
from frame3d.family.members import Family, solve_family
from frame3d.family.wanted import wanted_of
from frame3d.parameters.models.figures import FIGURES
from frame3d.ride.slopes.of_bike import slopes_of
from tests.family.files import family_file
from tests.hardening.running import ROOT

FULL = ROOT / "configs" / "trail_full_140.yaml"


@pytest.fixture(scope="module")
def family(tmp_path_factory: pytest.TempPathFactory) -> Family:
    file = family_file(tmp_path_factory.mktemp("family"))
    return solve_family(wanted_of([f"{file}:S", f"{file}:XL", f"{file}:S+long", f"{file}:S+same"]))


@pytest.fixture(scope="module")
def known(family: Family) -> tuple[Measured, ...]:
    return measure(family)


def keyed(changes: tuple[Change, ...]) -> dict[tuple[str, str], Change]:
    return {(change.kind, change.name): change for change in changes}


def test_the_other_way_round_is_minus(family: Family, known: tuple[Measured, ...]) -> None:
    a, b = family.members[0].bike, family.members[1].bike
    there = keyed(differences(a, b, (known[0], known[1])))
    back = keyed(differences(b, a, (known[1], known[0])))
    assert there.keys() == back.keys()
    assert {kind for kind, _ in there} == {"figure", "sagged", "steering", "gap", "mass"}
    other = {"more": "less", "less": "more", None: None}
    for key, change in there.items():
        assert change.delta == pytest.approx(-(back[key].delta or 0.0), abs=1e-12)
        assert other[change.way] == back[key].way


def test_what_is_the_same_does_not_differ(family: Family, known: tuple[Measured, ...]) -> None:
    bike = family.members[0].bike
    assert differences(bike, bike, (known[0], known[0])) == ()
    assert differences(bike, family.members[3].bike, (known[0], known[3])) == ()


def test_a_longer_fork_as_the_exchange_solves_it(family: Family) -> None:
    """The changes are those of the exchange, solved and not rounded."""
    drawn, longer = family.members[0].bike, family.members[2].bike
    change = as_built(drawn, longer).change
    found = {c.name: c.delta for c in differences(drawn, longer) if c.kind == "figure"}
    assert found == {
        figure: delta
        for figure in FIGURES
        if (delta := change[figure]) is not None and abs(delta) > 1e-6
    }
    assert found["head_tube_angle"] == pytest.approx(-0.88, abs=0.1)


def test_against_the_first_of_all(family: Family) -> None:
    found = {member.label: changes for member, changes in against_first(family)}
    assert list(found) == ["XL", "S long", "S same"]
    assert found["S same"] == ()
    assert {c.kind for c in found["XL"]} == {"figure", "sagged"}


@pytest.mark.parametrize("unit", MEASURABLE)
def test_nothing_is_said_of_what_cannot_be_measured(unit: str) -> None:
    limit = MEASURABLE[unit]
    for delta, way in ((limit * 0.99, None), (limit * 1.01, "more"), (-limit * 1.01, "less")):
        assert Change("figure", "reach", unit, 100.0, 100.0 + delta).way == way
    assert Change("figure", "reach", unit, None, 1.0).way is None


def test_one_bike_may_lack_a_figure() -> None:
    only = Change("figure", "standover", "mm", None, 700.0)
    assert (only.delta, only.differs) == (None, True)
    assert not Change("figure", "standover", "mm", None, None).differs


def test_gaps_differ_by_more_than_their_certificates() -> None:
    assert not Change("gap", "rear_tyre_to_frame", "mm", 6.0, 6.015, 0.02).differs
    assert Change("gap", "rear_tyre_to_frame", "mm", 6.0, 6.03, 0.02).differs


def test_decimals_by_unit() -> None:
    units = {"mm": 1, "degrees": 1, "g": 0, "%": 0, "points": 1, "gravity": 2, "1": 2}
    assert {u: Change("figure", "reach", u, 0.0, 1.0).decimals for u in units} == units


def test_figures_on_slopes_are_compared_under_one_rider(known: tuple[Measured, ...]) -> None:
    bike = frame3d.solve(frame3d.load(FULL))
    longer = frame3d.solve(frame3d.load(FULL, sets=["geometry.chainstay_length=450"]))
    both = tuple(replace(known[0], slopes=slopes_of(one)) for one in (bike, longer))
    assert both[0].slopes.figures.keys() == SLOPES.keys()
    found = {c.name: c for c in differences(bike, longer, (both[0], both[1])) if c.kind == "slopes"}
    # The rear contact 10 mm further back puts more weight in front and lifts the front later; to the
    # front contact it is as far as before.
    assert found["front_share_level"].way == "more"
    assert found["lifts_seated"].delta == pytest.approx(0.9, abs=0.25)
    assert found["stop_level"].way is None
    assert not [c for c in differences(bike, bike, (both[0], both[0])) if c.kind == "slopes"]


def test_figures_of_a_suspension() -> None:
    bike = frame3d.solve(frame3d.load(FULL))
    moving = over_travel(bike, 71)
    found = suspension_figures(moving)
    assert found.keys() == SUSPENSION.keys()
    assert bike.linkage is not None
    assert found["travel"] == pytest.approx(bike.linkage.full_travel)
    assert moving.sag is not None
    assert found["sag"] == moving.sag.travel
    low, high = min(moving.curves.anti_rise), max(moving.curves.anti_rise)
    assert low <= found["anti_rise"] <= high


def test_contact_points_differ_by_what_is_exchanged() -> None:
    """By plane trigonometry: a stem 10 mm longer moves the grips 10 mm square to the steering axis."""
    bike = frame3d.solve(frame3d.load(FULL))
    longer = frame3d.exchange(bike, {"build.stem.length": 55})
    found = {c.name: c.delta for c in differences(bike, longer) if c.kind == "contact"}
    turn = math.radians(65)
    assert found == pytest.approx(
        {
            "grip_reach": 10 * math.sin(turn),
            "grip_stack": 10 * math.cos(turn),
            "saddle_to_grips": 10 * math.sin(turn),
            "grips_above_saddle": 10 * math.cos(turn),
        }
    )
    none = frame3d.solve(frame3d.load(FULL, sets=["build.stem=null"]))
    assert contact_figures(none).keys() == {"saddle_setback"}
    assert {c.name for c in differences(bike, none) if c.kind == "contact"} == set(CONTACTS) - {
        "saddle_setback"
    }
