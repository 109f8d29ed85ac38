"""What else of a file might vary, told by solving: against solved bikes, by hand, and in short time."""

from __future__ import annotations

from dataclasses import replace

import pytest

import frame3d
from frame3d.explore.engines.serial import Serial
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.run import evaluator_of
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study
from frame3d.explore.unvaried import unvaried_gains
from frame3d.parameters import loads
from tests.explore.study.faults import CONFIGS, HEAD

MINIMAL = (CONFIGS / "minimal.yaml").read_text("utf-8")


def study(vary: str, wishes: str) -> Study:
    return loads_study(
        f"{HEAD}vary: {{{vary}}}\nwishes: {{{wishes}}}\n", "study.yaml", MINIMAL, "bike.yaml"
    )


def best(of: Study, design: tuple[float, ...]) -> Evaluation:
    with Serial(evaluator_of) as engine:
        ((found,),) = engine.run(of, [[design]])
    return found


def test_what_else_makes_a_bike_longer() -> None:
    """The reach varies, a design of it is too short: by what else it would be longer, and by how much."""
    one = study("geometry.reach: {from: 430, to: 450}", "wheelbase: {from: 1165, to: 1300}")
    near = best(one, (435.0,))
    found = unvaried_gains(one, near, Serial(evaluator_of))
    assert {gain.label for gain in found} == {"wheelbase"}
    assert "geometry.reach" not in {gain.name for gain in found}
    assert len(found) >= 2
    text = MINIMAL
    for gain in found:
        own = loads(text).geometry
        there = getattr(own, gain.name.rpartition(".")[2]) + gain.change
        sets = ("geometry.reach=435", f"{gain.name}={there:.9g}")
        moved = frame3d.solve(loads(text, sets=sets)).chart["wheelbase"]
        here = frame3d.solve(loads(text, sets=sets[:1])).chart["wheelbase"]
        assert moved is not None
        assert here is not None
        assert gain.gain == pytest.approx(moved - here, abs=1e-4)
        assert gain.share == pytest.approx((moved - here) / (1165 - here), abs=1e-4)
    assert [g.gain for g in found] == sorted((g.gain for g in found), reverse=True)


def test_nothing_is_told_of_a_design_that_meets_all_or_out_of_time() -> None:
    one = study("geometry.reach: {from: 430, to: 450}", "wheelbase: {from: 1165, to: 1300}")
    near = best(one, (435.0,))
    engine = Serial(evaluator_of)
    assert unvaried_gains(one, near, engine, late=lambda: True) == ()
    assert unvaried_gains(one, replace(near, shortfalls={"wheelbase": 0.0}), engine) == ()
