"""What the page's scripts are given."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.report.exploring.document import AXES, document
from frame3d.report.exploring.sections import Page
from frame3d.report.texts import texts
from tests.report.exploring.samples import exploration


def test_a_column_an_axis_a_letter_a_design() -> None:
    found = exploration(200)
    made = document(Page(found, texts("en")))
    assert len(made["columns"]) == len(made["axes"]) == 7
    assert {len(column) for column in made["columns"]} == {200}
    assert made["groups"].count("f") == len(found.front)
    assert made["groups"].count("x") == 200 - found.feasible
    assert [s is None for s in made["stopped"]] == [letter != "x" for letter in made["groups"]]
    assert made["columns"][0][0] == pytest.approx(found.best[0].evaluation.design[0], rel=5e-5)
    assert None in made["columns"][5]


def test_the_scatter_begins_with_the_preferences() -> None:
    made = document(Page(exploration(), texts("en")))
    across, upward = made["scatter"]
    assert [made["axes"][i]["short"] for i in (across, upward)] == ["Wheelbase", "Frame mass"]


def test_of_many_axes_some_are_shown_of_each_kind() -> None:
    found = exploration()
    more = tuple(replace(found.study.varied[0], path=f"geometry.reach{i}") for i in range(9))
    study = replace(found.study, varied=more)
    rows = tuple(replace(e, design=(e.design[0],) * 9) for e in found.evaluations)
    made = document(Page(replace(found, study=study, evaluations=rows, best=(), front=()), texts()))
    shown = [axis["role"] for axis in made["axes"] if axis["shown"]]
    assert len(shown) == AXES
    assert shown.count("varied") == 7
