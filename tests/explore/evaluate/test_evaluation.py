"""Rounding, and the order of totals."""

from __future__ import annotations

import json

import pytest

from frame3d.explore.evaluate.evaluation import Evaluation, rounded, total_of


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        (123.456789012345, 123.456789),
        (-0.000000000001, 0.0),
        (1234567890123.0, 1234567890000.0),
        (118 - 1e-12, 118.0),
        (0.1 + 0.2, 0.3),
    ],
)
def test_figures_are_rounded(value: float, wanted: float) -> None:
    assert rounded(value) == wanted
    assert str(rounded(value))[0] != "-"


def test_the_total_falls_with_every_stage_whatever_falls_short() -> None:
    assert total_of({"a": 0.0}, 0) == 0
    assert total_of({"a": 1e9}, 0) < total_of({}, 1) <= total_of({"a": 1e-3}, 1)
    assert total_of({"a": 2.0, "b": 1.0}, 2) > total_of({"a": 2.0, "b": 0.5}, 2)
    assert total_of({"a": 3.0}, 0) == pytest.approx(3.0, rel=1e-3)


def test_the_text_is_json() -> None:
    one = Evaluation(
        (1.5, "61-622"), {"trail": 120.0}, {"trail": 0.0}, "chart", None, None, True, 0
    )
    assert json.loads(one.text())["design"] == [1.5, "61-622"]
