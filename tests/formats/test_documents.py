"""Documents: plain data that JSON can hold, rounded, without anything that a terminal obeys."""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.bike.solve import solve
from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.caution import CAUTION
from frame3d.chart.partial import OpenFigure, PartialChart
from frame3d.clearance.advice.fits import Fit
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.clearance.scene import scene_of
from frame3d.errors import Fault, Note, SourceLocation
from frame3d.formats.documents import (
    DECIMALS,
    check_document,
    dumps,
    fault_document,
    fit_document,
    mass_document,
    note_document,
    partial_document,
    result_document,
    rounded,
    seatpost_document,
    solve_document,
    steering_document,
    travel_document,
)
from frame3d.parameters import load
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.models.steering import Steering
from frame3d.tubes.mass import masses_of
from tests.bike.tension.bikes import eccentric
from tests.formats.suspended import layout
from tests.report.samples import four_link_layout, minimal_bike

CONFIGS = Path(__file__).parents[2] / "configs"

FINITE = st.floats(allow_nan=False, allow_infinity=False, width=32)
DATA = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-10, 10), FINITE, st.text(max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=10,
)


def alike(a: Any, b: Any) -> bool:
    if isinstance(a, float):
        return isinstance(b, float) and abs(a - b) <= 10.0**-DECIMALS
    if isinstance(a, dict):
        return a.keys() == b.keys() and all(alike(a[k], b[k]) for k in a)
    if isinstance(a, list):
        return len(a) == len(b) and all(map(alike, a, b))
    return a == b and type(a) is type(b)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.text(max_size=5), DATA, max_size=3))
def test_a_document_comes_back_as_it_was_but_for_rounding(data: dict[str, Any]) -> None:
    text = dumps(data)
    assert text.endswith("}\n")
    assert alike(data, json.loads(text))


@pytest.mark.parametrize(
    "hidden", ["\x7f", "\x9b", "\u202e", "\u2028", "\ufeff", "\u200b", "\ud800"]
)
def test_what_a_terminal_may_obey_is_escaped(hidden: str) -> None:
    text = dumps({f"k{hidden}": f"a{hidden}b"})
    assert hidden not in text
    assert json.loads(text) == {f"k{hidden}": f"a{hidden}b"}


def test_what_is_no_number_is_no_document_unless_gaps_are_allowed() -> None:
    with pytest.raises(ValueError, match="JSON"):
        dumps({"a": math.nan})
    assert rounded({"a": (math.nan, math.inf, -0.0)}, gaps=True) == {"a": [None, None, 0.0]}
    assert math.copysign(1.0, rounded(-1e-12)) == 1.0  # never minus nothing


PLACE = SourceLocation("bike.yaml", 7, 3, "the line")


def test_faults_and_notes_carry_their_places() -> None:
    faults = [Fault("impossible", "a.b", "no", "do", PLACE), Fault("override", "c", "no")]
    first, second = fault_document(faults)["faults"]
    assert first == {"code": "impossible", "path": "a.b", "message": "no", "hint": "do",
                     "source": "bike.yaml", "line": 7, "column": 3}  # fmt: skip
    assert (second["source"], second["line"], second["column"]) == (None, None, None)
    note = note_document(Note("assumed", "so", "a.b", PLACE))
    assert (note["code"], note["message"], note["line"]) == ("assumed", "so", 7)


def test_masses_add_up() -> None:
    found = mass_document(masses_of(layout().frame))
    assert sum(found["parts_g"].values()) == pytest.approx(found["total_g"])
    assert len(found["centre_of_mass"]) == 3


@pytest.mark.parametrize(
    ("at", "travel"),
    [({"rear": 90.0, "fork": 12.0}, 90.0), ({"fork": 12.0, "steer": 3.0}, 12.0), ({}, 0.0)],
)
def test_a_check_says_its_travel_and_every_motion(at: dict[str, float], travel: float) -> None:
    result = Result("a", "A", ("x", "y"), 5.0, 0.25, 4.0, "mm", "s", at)
    found = result_document(result)
    assert found["at"] == {"travel": travel, "steer": at.get("steer", 0.0), **at}
    assert (found["least"], found["margin"], found["ok"]) == (4.75, 0.75, True)


def test_checks_say_what_was_not_made_and_what_is_never_measured() -> None:
    report = Report((), (Unchecked("a", "A", "because"),), Steering(60, 180, "nothing"))
    found = check_document(report)
    assert found["ok"] is True
    assert found["unchecked"] == [{"name": "a", "title": "A", "why": "because"}]
    assert found["caution"] == CAUTION
    assert found["not_measured"]
    assert all(len(entry["between"]) == 2 and entry["why"] for entry in found["not_measured"])
    assert found["steering"]["checked"] == 60
    json.loads(dumps(found))


def test_a_bar_that_nothing_stops_is_stopped_by_none() -> None:
    assert steering_document(Steering(180, 180, "nothing"))["stopped_by"] is None
    found = steering_document(Steering(70, 75, "bumper", "down_tube"))
    assert (found["turns"], found["checked"], found["stopped_by"]) == (75, 70, "bumper")
    assert "down_tube" in found["says"]


def test_what_fits() -> None:
    fit = Fit("rear tyre", "build.rear_wheel.tyre", "61-622", "66-622", "rear_tyre_to_frame")
    assert fit_document(fit) == {
        "what": "rear tyre", "path": "build.rear_wheel.tyre", "now": "61-622", "largest": "66-622",
        "limited_by": "rear_tyre_to_frame",
    }  # fmt: skip


def test_a_solved_bike_has_every_figure_with_its_unit() -> None:
    found = solve_document(layout())
    assert list(found["chart"]) == list(FIGURES) == list(found["units"]["chart"])
    assert found["nodes"]["bottom_bracket"] == (0.0, 0.0, 0.0)
    assert found["sagged"]["pitch"] is not None
    plain = solve_document(minimal_bike())
    assert plain["sagged"] is None
    assert plain["rider"]["seated"] is None
    assert plain["seatpost"] is seatpost_document(minimal_bike()) is None
    for document in (found, plain):
        assert document["caution"] == CAUTION
        json.loads(dumps(document))


@cache
def travelled() -> TravelAnalysis:
    return over_travel(four_link_layout(), 7)


def test_curves_are_arrays_of_one_length() -> None:
    found = json.loads(dumps(travel_document(travelled())))
    assert found["travel"][0] == pytest.approx(0, abs=1e-9)
    for key in ("stroke", "axle", "leverage", "leverage_rate", "anti_rise", "instant_centre",
                "rear_contact", "wheelbase", "pitch", "fork", "charts"):  # fmt: skip
        assert len(found[key]) == 7, key
    for gear in found["gears"]:
        assert len(gear["anti_squat"]) == len(gear["chain_growth"]) == 7
    assert len(found["standing"]) == 4
    mean = found["travel"][-1] / found["stroke"][-1]
    assert found["mean_leverage"] == pytest.approx(mean, rel=1e-6)
    assert {"lengths", "angles", "forces"} <= set(found["units"])


def test_a_partial_chart_names_what_a_file_would_state() -> None:
    chart = PartialChart(
        {"reach": 455.0},
        {"stack": (633.4, ("build.headset.angle",))},
        {
            "fork_axle_to_crown": OpenFigure((), 2, ("fork_offset", "fork_length_straight"), ()),
            "bb_drop": OpenFigure(("bb_height",), 1, (), (62.0, -62.0)),
        },
        2,
        ("standover",),
    )
    document = json.loads(dumps(partial_document(chart)))
    assert document.pop("units")["chart"]["bb_drop"] == "mm"
    assert document == {
        "missing": 2,
        "settled": {"reach": 455.0},
        "assumed": {"stack": {"value": 633.4, "unless_given": ["build.headset.angle"]}},
        "open": {"fork_axle_to_crown": [], "bb_drop": ["geometry.bb_height"]},
        "together": {
            "fork_axle_to_crown": {
                "at_least": 2,
                "for_example": ["geometry.fork_offset", "build.fork.axle_to_crown"],
            }
        },
        "between": {"bb_drop": [62.0, -62.0]},
        "beyond": ["standover"],
    }


def test_the_document_holds_every_posture() -> None:
    """By name, None where there is none; each with its centre of mass by every body table."""
    bike = solve(load(CONFIGS / "trail_hardtail_29.yaml"))
    rider = solve_document(bike)["rider"]
    assert bike.rider is not None
    assert rider["legs_reach"] is True
    assert rider["hip_height"] == bike.rider.hip_height
    for name in ("seated", "forward", "standing", "descending", "lowest_saddle"):
        posture = rider[name]
        assert set(posture["centres_of_mass"]) == {"textbook", "young_men", "young_women"}
        textbook = posture["centres_of_mass"]["textbook"]
        assert textbook == pytest.approx(posture["centre_of_mass"])
    rigid = solve(load(CONFIGS / "adventure_rigid.yaml"))
    assert solve_document(rigid)["rider"]["lowest_saddle"] is None


def test_an_eccentric_insert_says_its_range_and_what_was_checked_over_it() -> None:
    """6 mm about the shell's middle: half a turn below it raises the bottom bracket by 6 mm."""
    bike = eccentric()
    found = solve_document(bike)["insert"]
    assert found["between"] == (-180.0, 0.0)
    assert found["highest"]["bb_height"] == pytest.approx(found["now"]["bb_height"] + 6)
    assert [one["links"] for one in found["chains"]] == [97, 98]
    toe = frozenset({"toe_to_front_tyre"})
    checked = check_document(run_checks(scene_of(bike), names=toe))
    assert checked["tension"]["at"] == (-180.0, -90.0, 0.0)
    assert "whole turn" in checked["tension"]["says"]
    assert checked["checks"][0]["insert"] == 0.0
    assert "insert" not in checked["checks"][1]
