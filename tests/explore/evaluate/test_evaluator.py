"""Stages of the evaluator against the whole loop of load, solve and check."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.clearance.check import check
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.study.measured import Measured, values_of
from frame3d.explore.study.quantities import gap_of, quantity, stiffness_in
from frame3d.explore.study.study import Preference, Quantity, Varied
from frame3d.parameters.reading.reader import loads, variants_of
from frame3d.stiffness.of_bike import stiffness_of
from tests.explore.evaluate.studies import between, study_of

FULL = (
    Varied("geometry.reach", 440, 480, start=460.0),
    Varied("suspension.points.main_pivot.from_start", 60, 90, start=73.0),
    Varied("suspension.points.rocker_rear.above", 25, 40, start=32.0),
)
START = (460.0, 73.0, 32.0)
HARDTAIL = (
    Varied("geometry.reach", 430, 480, start=455.0),
    Varied("geometry.head_tube_angle", 63, 68, start=65.5),
)
GEAR = (32, 24)


def test_stages_give_what_the_whole_bike_gives() -> None:
    asked: list[Quantity] = [
        quantity("trail"),
        quantity("standover", beyond_chart=True),
        quantity("stack", stance="sag"),
        quantity("leverage", at="sag"),
        quantity("kickback_from_sag"),
        quantity("wheel_rate", at="sag"),
        quantity("mass"),
    ]
    study = study_of("trail_full_140", FULL, wishes=tuple(between(one) for one in asked))
    design = (452.0, 77.0, 30.0)
    found = Evaluator(study).evaluate([design])[0]
    bike = solve(loads(study.bike_text, sets=study.sets(design)))
    for wish, value in zip(study.wishes, values_of(asked, Measured(bike)), strict=True):
        assert value is not None
        assert found.values[wish.label] == pytest.approx(value, rel=5e-9), wish.label
        assert float(f"{found.values[wish.label]:.9g}") == found.values[wish.label]
    assert found.feasible
    assert found.total == 0
    assert found.rejected_by is None


def test_all_checks_are_decided_as_the_check_does() -> None:
    study = study_of("trail_hardtail_29", HARDTAIL, checks="all")
    design = (455.0, 65.5)
    evaluator = Evaluator(study, reject=False)
    found = evaluator.evaluate([design])[0]
    report = check(solve(loads(study.bike_text, sets=study.sets(design))))
    assert found.feasible == report.ok
    assert evaluator.prove(design)[0].report == report
    made = {f"checks.{one.name}" for one in report.results}
    assert made <= set(found.shortfalls)


def test_each_stage_rejects_by_its_own_label() -> None:
    gap = gap_of("rear_tyre_to_frame")
    cases = {
        "chart": (between(quantity("trail"), 300), "trail"),
        "linkage": (between(quantity("leverage", at="start"), 4.0), "leverage.start"),
        "placement": (between(quantity("mass"), None, 100.0), "mass"),
        "stiffness": (between(stiffness_in("head_twist"), 900.0), "stiffness.head_twist"),
        "figures": (between(gap_of("standover_room", single=True), 900), "gap.standover_room"),
        "pairs": (between(gap, 90), "gap.rear_tyre_to_frame"),
    }
    totals = []
    every = tuple(wish for wish, _ in cases.values())
    for stage, (wish, label) in cases.items():
        later = every[list(cases).index(stage) + 1 :]
        found = Evaluator(study_of("trail_full_140", FULL, wishes=(wish, *later))).evaluate([START])
        assert found[0].stage == stage
        assert found[0].rejected_by == label
        assert found[0].shortfalls[label] == pytest.approx(
            wish.shortfall(found[0].values[label]), rel=1e-8
        )
        assert not found[0].feasible
        totals.append(found[0].total)
    assert totals == sorted(totals, reverse=True)  # who comes further is nearer


def test_stiffness_is_what_the_frame_gives_alone_and_worked_out_only_where_asked_for() -> None:
    asked = stiffness_in("rear_sideways")
    tube = Varied("tubes.chainstay.wall", 0.7, 1.2, start=0.9)
    study = study_of(
        "trail_hardtail_29",
        (tube,),
        wishes=(between(asked, 50.0),),
        preferences=(Preference("stiffness.head_twist", stiffness_in("head_twist"), least=False),),
    )
    evaluator = Evaluator(study)
    assert evaluator.stages == ("chart", "linkage", "placement", "stiffness")
    found = evaluator.evaluate([(1.1,)])[0]
    alone = stiffness_of(solve(loads(study.bike_text, sets=("tubes.chainstay.wall=1.1",))))
    assert found.feasible
    for key in ("rear_sideways", "head_twist"):
        assert found.values[f"stiffness.{key}"] == pytest.approx(alone.value(key), rel=5e-9)
    none = Evaluator(study_of("trail_hardtail_29", (tube,), wishes=(between(quantity("mass"), 1),)))
    assert "stiffness" not in none.stages
    own = Evaluator(
        replace(
            study, bike_text=study.bike_text.replace("4130", "{name: Own, density_g_cm3: 2.7}", 1)
        )
    )
    assert own.evaluate([(1.1,)])[0].rejected_by == "missing-key"


def test_a_search_hears_of_all_shortfalls() -> None:
    wishes = (
        between(quantity("trail"), 300),
        between(quantity("leverage", at="start"), 4.0),
        between(quantity("mass"), None, 100.0),
    )
    study = study_of("trail_full_140", FULL, wishes=wishes)
    found = Evaluator(study, reject=False).evaluate([START])[0]
    assert list(found.shortfalls) == ["trail", "leverage.start", "mass"]
    assert min(found.shortfalls.values()) > 0
    assert found.total == pytest.approx(sum(found.shortfalls.values()), rel=0.05)
    nearer = Evaluator(study_of("trail_full_140", FULL, wishes=wishes[1:]), reject=False)
    assert nearer.evaluate([START])[0].total < found.total


def test_what_cannot_be_made_is_graded() -> None:
    varied = (Varied("geometry.chainstay_length", 60, 440, start=432.0), HARDTAIL[0])
    study = study_of(
        "trail_hardtail_29", (varied[0], Varied("geometry.bb_drop", 0, 150, start=62.0))
    )
    worse, bad, good = Evaluator(study).evaluate([(80.0, 140.0), (120.0, 140.0), (432.0, 62.0)])
    for one in (worse, bad):
        assert one.stage == "chart"
        assert one.rejected_by == "impossible"
        assert one.fault is not None
        assert "chainstay" in one.fault
    assert good.total == 0
    assert bad.total < worse.total


def test_a_linkage_that_locks_is_graded_after_the_chart() -> None:
    above = Varied("suspension.points.rocker_rear.above", -200, 200, start=32.0)
    wishes = (between(quantity("trail")), between(quantity("leverage", at="end")))
    study = study_of("trail_full_140", (above,), wishes=wishes)
    found = Evaluator(study).evaluate([(-120.0,)])[0]
    assert found.stage == "linkage"
    assert found.rejected_by in ("mechanism", "travel", "shock")
    assert found.shortfalls[found.rejected_by] > 100
    assert found.values.keys() == {"trail"}


def test_an_error_of_our_own_ends_one_design_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by 0")

    study = study_of("trail_hardtail_29", HARDTAIL, checks=("rear_tyre_to_frame",))
    monkeypatch.setattr("frame3d.explore.evaluate.making.scene_of", broken)
    for found in Evaluator(study).evaluate([(455.0, 65.5), (450.0, 65.0)]):
        assert (found.stage, found.rejected_by) == ("pairs", "defect")
        assert found.fault == "ZeroDivisionError: by 0"
        assert found.total > 0


def test_a_refused_value_is_told() -> None:
    found = Evaluator(study_of("trail_hardtail_29", HARDTAIL)).evaluate([(1455.0, 65.5)])[0]
    assert (found.stage, found.rejected_by) == ("file", "out-of-range")
    assert found.fault == "geometry.reach: 1455 is above 800 mm"


def test_a_place_beyond_the_travel_is_missing() -> None:
    wish = between(quantity("leverage", at=160.0), 2.0)
    found = Evaluator(study_of("trail_full_140", FULL, wishes=(wish,))).evaluate([START])[0]
    assert wish.label not in found.values
    assert found.shortfalls[wish.label] == pytest.approx(120, abs=1.1)


def test_the_worst_size_counts() -> None:
    demo = "families/trail_hardtail"
    sizes = variants_of(study_of(demo, ()).bike_text).sizes
    varied = (Varied("geometry.bb_drop", 50, 70, start=60.0),)
    wish = between(quantity("wheelbase"), None, 1100)
    prefer = Preference("stack", quantity("stack"), least=False)
    study = study_of(demo, varied, wishes=(wish,), preferences=(prefer,), sizes=sizes)
    found = Evaluator(study, reject=False).evaluate([(62.0,)])[0]
    charts = [
        solve(loads(study.bike_text, sets=study.sets((62.0,)), size=size)).chart for size in sizes
    ]
    assert found.values["wheelbase"] == pytest.approx(max(c["wheelbase"] or 0 for c in charts))
    assert found.values["stack"] == pytest.approx(min(c["stack"] or 0 for c in charts))


def test_settings_are_evaluated_as_exchanged() -> None:
    text = study_of("families/trail_full", ()).bike_text
    settings = variants_of(text).settings[:1]
    wishes = (between(quantity("bb_drop")), between(quantity("leverage", at="start")))
    varied = (Varied("geometry.bb_drop", 10, 40, start=25.0),)
    study = study_of("families/trail_full", varied, wishes=wishes, settings=settings)
    evaluator = Evaluator(study)
    found = evaluator.evaluate([(25.0,)])[0]
    assert found.feasible, found.fault
    chart = evaluator.making((25.0,)).bike.chart
    assert found.values["bb_drop"] == pytest.approx(chart["bb_drop"], rel=1e-8)
    assert found.values["bb_drop"] != 25.0


def test_the_same_design_gives_the_same_text() -> None:
    wishes = (
        between(quantity("trail"), 118, 128),
        between(quantity("leverage", at="sag"), 2.0),
        between(quantity("anti_squat", at="sag", gear=GEAR), 50),
    )
    study = study_of("trail_full_140", FULL, wishes=wishes)
    random = np.random.default_rng(2)
    made = [
        tuple(round(float(random.uniform(v.low or 0, v.high or 0)), 3) for v in FULL)
        for _ in range(6)
    ]
    evaluator = Evaluator(study)
    together = [one.text() for one in evaluator.evaluate(made)]
    other: Evaluator = pickle.loads(pickle.dumps(Evaluator(study, reject=True)))
    alone = [other.evaluate([design])[0].text() for design in reversed(made)]
    assert together == alone[::-1]
    assert pickle.loads(pickle.dumps(Evaluator(study, reject=False))).reject is False
    assert evaluator.evaluate([]) == []
