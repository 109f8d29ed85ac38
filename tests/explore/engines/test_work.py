"""A piece of designs evaluated; defects are told and left out."""

from __future__ import annotations

from functools import partial

import pytest

from frame3d.errors import Fault, FrameError, SpecError
from frame3d.explore.engines.work import Evaluators, work
from frame3d.explore.study.study import Study
from tests.explore.fakes import STUDY, Broken, Formula, designs, result, with_bike


def impossible(study: Study) -> Formula:
    raise SpecError(Fault("unknown-key", "geometry", "no such key"))


def test_a_defect_costs_one_design() -> None:
    found = work(Evaluators(), Broken, STUDY, designs(30))
    assert found.evaluations == tuple(result(d) for d in designs(30) if d[0] != 1.1)
    (one,) = found.left_out
    assert one.design[0] == pytest.approx(1.1)
    assert "ZeroDivisionError: a defect" in one.why


def test_a_study_that_cannot_be_evaluated_is_told_as_it_is() -> None:
    found = work(Evaluators(), impossible, STUDY, designs(2))
    with pytest.raises(FrameError, match="no such key"):
        found.or_fault()


def test_an_evaluator_is_made_once_for_a_study() -> None:
    evaluators = Evaluators()
    first = evaluators.of(Formula, STUDY)
    assert evaluators.of(Formula, with_bike(STUDY.bike_text)) is first
    assert evaluators.of(Broken, STUDY) is not first
    assert evaluators.of(Formula, with_bike("other")) is not first
    one = evaluators.of(partial(Formula), STUDY)
    assert evaluators.of(partial(Formula), STUDY) is one
