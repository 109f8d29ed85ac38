"""Models of a study by themselves."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from frame3d.explore.study.models import CurveLimitsSpec, SampleSpec, StudySpec, VariedSpec


@pytest.mark.parametrize(
    ("given", "kind", "count"),
    [
        ({"sobol": 4096, "seed": 7}, "sobol", 4096),
        ({"latin_hypercube": 500}, "latin_hypercube", 500),
        ({"grid": 5}, "grid", 5),
    ],
)
def test_samples(given: dict[str, int], kind: str, count: int) -> None:
    sample = SampleSpec.model_validate(given)
    assert (sample.kind, sample.count) == (kind, count)
    assert sample.seed == given.get("seed", 1)


@pytest.mark.parametrize(
    "given", [{}, {"sobol": 3, "grid": 3}, {"sobol": 0}, {"grid": 2, "seed": -1}, {"sobol": 2.5}]
)
def test_samples_that_are_none(given: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        SampleSpec.model_validate(given)


def test_places_and_gears_of_a_curve() -> None:
    spec = CurveLimitsSpec.model_validate({"at": 60, "gear": "32 × 24", "from": 1})
    assert (spec.at, spec.gear, spec.low, spec.to) == (60.0, (32, 24), 1, None)
    points = CurveLimitsSpec.model_validate({"end": 2.4, "start": 3, "within": 0}).points
    assert list(points.items()) == [("start", 3), ("end", 2.4)]


def test_percentages_keep_their_sign_and_lose_their_spaces() -> None:
    spec = VariedSpec.model_validate({"from": "25 %", "to": 30})
    assert (spec.low, spec.to) == ("25%", 30.0)


@pytest.mark.parametrize("given", ["all sizes", ("S", 52)])
def test_sizes(given: object) -> None:
    whole = {"format": 1, "bike": "a.yaml", "vary": {"a": 1}, "wishes": {"checks": "all"}}
    spec = StudySpec.model_validate({**whole, "for": given})
    assert spec.sizes == (given if isinstance(given, str) else ("S", "52"))
    for wrong in ("all", (), 3, (1.5,)):
        with pytest.raises(ValidationError):
            StudySpec.model_validate({**whole, "for": wrong})
    with pytest.raises(ValidationError, match="stands beside for"):
        StudySpec.model_validate({**whole, "for": given, "size": "S"})
