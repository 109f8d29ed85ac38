"""What else of a file might vary, told by solving: against solved bikes, by hand, and in short time."""

from __future__ import annotations

from dataclasses import replace

import pytest

import frame3d
from frame3d.explore.engines.serial import Serial
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.run import evaluator_of
from frame3d.explore.search.bearing import Gain
from frame3d.explore.study.bike_file import BikeFile
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study
from frame3d.explore.unvaried import unvaried_gains
from frame3d.parameters import loads
from frame3d.stiffness.of_bike import stiffness_of
from tests.explore.study.faults import CONFIGS, HARDTAIL, HEAD

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


def test_for_a_stiffness_tubes_are_tried_first() -> None:
    """Cut short after a few numbers of the file; what is told is what the frame alone gives."""
    text = HARDTAIL
    one = loads_study(
        f"{HEAD}vary: {{geometry.reach: {{from: 450, to: 460}}}}\n"
        "wishes: {stiffness.head_sideways: {from: 60}}\n",
        "study.yaml",
        text,
        "bike.yaml",
    )
    near = best(one, (455.0,))
    asked = iter(range(1000))
    found = unvaried_gains(one, near, Serial(evaluator_of), late=lambda: next(asked) == 11)
    assert found
    assert {gain.name.partition(".")[0] for gain in found} == {"tubes"}
    gain = found[0]
    there, here = (
        stiffness_of(frame3d.solve(loads(text, sets=sets))).of("head_sideways").stiffness
        for sets in ((f"{gain.name}={_moved(text, gain):.9g}",), ())
    )
    assert gain.gain == pytest.approx((there - here) / 0.6, rel=1e-3)  # 1 % of 60 counts as 1


def _moved(text: str, gain: Gain) -> float:
    number = BikeFile(text, "bike.yaml").text_at(gain.name, None)
    assert number is not None
    return float(number) + gain.change
