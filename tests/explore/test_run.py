"""Sweeps and searches of whole studies on demo bikes, the best proved by full checks."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.explore.pool import Standing
from frame3d.explore.run import (
    Limit,
    evaluator_of,
    explore,
    mode_of,
)
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study
from frame3d.parameters import loads
from tests.explore.study.faults import HARDTAIL, HEAD


def study(vary: str, more: str, bike: str = HARDTAIL) -> Study:
    return loads_study(f"{HEAD}vary: {{{vary}}}\n{more}", "study.yaml", bike, "bike.yaml")


ANGLE = (
    "geometry.head_tube_angle: {from: 64, to: 67, step: 1}, geometry.reach: {from: 440, to: 470}"
)


def test_a_grid_is_tried_whole_and_solved_as_the_command_does() -> None:
    one = study(ANGLE, "wishes: {trail: {from: 118, to: 128}}\nsample: {grid: 2}\n")
    found = explore(one, keep=1)
    assert (found.ended, len(found.evaluations), found.evaluated) == ("all tried", 8, 8)
    for evaluation in found.evaluations:
        bike = frame3d.solve(loads(HARDTAIL, sets=one.sets(evaluation.design)))
        trail = bike.chart["trail"]
        assert trail is not None
        assert evaluation.values["trail"] == pytest.approx(trail, abs=1e-6)
        assert evaluation.feasible == (118 <= trail <= 128)
    assert found.feasible == len([e for e in found.evaluations if e.feasible]) > 0
    assert found.best[0].report is not None
    assert found.best[0].proofs[0].report == found.best[0].report
    assert found.blocking == {"trail": 8 - found.feasible}


def test_a_search_meets_wishes_that_the_file_does_not_and_repeats_itself() -> None:
    one = study(ANGLE.replace(", step: 1", ""), "wishes: {trail: {from: 112, to: 113}}\n")
    told: list[Standing] = []
    first = explore(one, limit=Limit(designs=60), keep=1, told=told.append)
    assert first.ended == "enough"
    assert first.best
    assert 112 <= first.best[0].evaluation.values["trail"] <= 113
    assert told[-1].feasible >= 1
    again = explore(one, limit=Limit(designs=60), keep=0)
    assert again.evaluations == first.evaluations
    by_path = {(s.path, s.label): s for s in first.sensitivities}
    angle = by_path["geometry.head_tube_angle", "trail"]
    assert angle.effect / angle.step < -5  # a steeper angle has less trail: about -7 mm a degree
    reach = by_path["geometry.reach", "trail"]
    assert reach.effect == pytest.approx(0.0, abs=1e-6)


def test_a_search_that_cannot_succeed_ends_at_its_budget_and_says_what_blocks() -> None:
    one = study(
        "geometry.reach: {from: 440, to: 470}",
        "wishes: {wheelbase: {from: 1100, to: 1300}, gap: {pedal_to_ground: {from: 60}}}\n",
    )
    found = explore(one, limit=Limit(designs=6, seconds=2.0), keep=2)
    assert found.ended in ("budget", "out of time")
    assert (found.best, found.feasible) == ((), 0)
    assert set(found.blocking) == {"gap.pedal_to_ground"}
    assert {one.label for one in found.unvaried} <= {"gap.pedal_to_ground"}


def test_time_runs_out() -> None:
    one = study(ANGLE, "wishes: {trail: {from: 118}}\nsample: {sobol: 4096}\n")
    found = explore(one, limit=Limit(seconds=0.0), keep=0)
    assert found.ended == "out of time"
    assert 0 < len(found.evaluations) < 4096


def test_a_search_out_of_time_ends_within_a_batch_with_what_it_has() -> None:
    one = study(ANGLE.replace(", step: 1", ""), "wishes: {gap: {pedal_to_ground: {from: 60}}}\n")
    for seconds in (0.0, 0.6):
        found = explore(one, limit=Limit(seconds=seconds), keep=1)
        assert (found.ended, found.best) == ("out of time", ())
        assert found.evaluated == len(found.evaluations) < 1000


def test_an_interrupt_ends_it_with_what_was_found() -> None:
    one = study(ANGLE, "wishes: {trail: {from: 118}}\nsample: {sobol: 64}\n")

    def told(standing: Standing) -> None:
        if standing.done >= 1:
            raise KeyboardInterrupt

    found = explore(one, told=told, keep=1)
    assert found.ended == "told"
    assert found.evaluations
    assert found.sensitivities == ()


def test_how_designs_are_evaluated_is_told_to_stores() -> None:
    search, sweep = study(ANGLE, "prefer: {least: mass}\n"), study(ANGLE, "sample: {grid: 2}\n")
    assert (mode_of(search), mode_of(sweep)) == ("search", "sweep")


def test_a_sweep_rejects_early_and_a_search_does_not() -> None:
    more = "wishes: {trail: {from: 140}, mass: {to: 9000}}\n"
    swept = study(ANGLE.replace("64", "60"), more + "sample: {grid: 2}\n")
    searched = study(ANGLE.replace("64", "60"), more)
    design = (67.0, 440.0)
    assert "mass" not in evaluator_of(swept).evaluate([design])[0].values
    assert "mass" in evaluator_of(searched).evaluate([design])[0].values


def test_from_python_with_a_store_nothing_is_computed_twice(tmp_path: Path) -> None:
    (tmp_path / "bike.yaml").write_text(HARDTAIL, "utf-8")
    file = tmp_path / "study.yaml"
    file.write_text(
        f"{HEAD}vary: {{{ANGLE}}}\nwishes: {{trail: {{from: 118}}}}\nsample: {{grid: 2}}\n", "utf-8"
    )
    told: list[Standing] = []
    first = frame3d.find_bikes(file, store=tmp_path / "s.sqlite", progress=told.append, keep=0)
    again = frame3d.find_bikes(file, store=tmp_path / "s.sqlite", keep=0)
    assert (first.evaluated, again.evaluated) == (8, 0)
    assert again.evaluations == first.evaluations
    assert told[-1].done == 8
