"""A comparison as data: every bike, the size table, changes as they are solved."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from frame3d.family.measured import measure
from frame3d.family.members import solve_family
from frame3d.family.size_table import size_table
from frame3d.family.wanted import wanted_of
from frame3d.formats.documents import dumps
from frame3d.report.comparing.document import comparison_document
from frame3d.report.texts import texts
from tests.family.files import family_file
from tests.report.comparing.samples import sizes
from tests.stiffness.test_of_bike import result


def test_the_whole_document(tmp_path: Path) -> None:
    file = family_file(tmp_path)
    family = solve_family(
        wanted_of([f"{file}:S", f"{file}:L+long"], swaps=["build.fork.offset=40"])
    )
    measured = measure(family)
    said = json.loads(dumps(comparison_document(family, measured, texts())))
    table = size_table(family)
    assert said["size_table"]["columns"] == list(table.columns) == ["S", "L long"]
    for stand in ("static", "sagged"):
        rows = table.rows("static" if stand == "static" else "sagged")
        assert [row["figure"] for row in said["size_table"][stand]] == [row.figure for row in rows]
    for bike, member, one in zip(said["bikes"], family.members, measured, strict=True):
        assert bike["chart"]["trail"] == pytest.approx(member.bike.chart["trail"], abs=1e-8)
        assert (bike["file"], bike["swaps"]) == (file, ["build.fork.offset=40"])
        assert bike["ok"] == one.report.ok
        assert len(bike["checks"]) == len(one.report.results)
        assert bike["suspension"] is None
        assert bike["steering"]["push"] == pytest.approx(
            one.steering.ridden.mechanical_trail / 10, abs=1e-8
        )
    kinds = {change["of"] for change in said["differences"]["L long"]}
    assert kinds == {"figure", "sagged", "contact", "steering", "gap", "mass"}
    # a file without a stem
    assert all(list(bike["contacts"]) == ["saddle_setback"] for bike in said["bikes"])
    # of bikes without stays
    of_front = ["head_sideways", "front_twist"]
    assert list(said["stiffness"]["L long"]["ratios"]) == of_front
    assert list(said["bikes"][0]["stiffness"]) == of_front
    assert said["missing"] == {}
    assert said["units"]["suspension"]["progression"] == "%"


def test_figures_alone(tmp_path: Path) -> None:
    family = solve_family(wanted_of([family_file(tmp_path)], size="all"))
    said = comparison_document(family, None, texts())
    assert said["ok"] is None
    assert said["stiffness"] is None
    assert len(said["bikes"]) == 5
    assert "checks" not in said["bikes"][0]


def test_stiffness_beside_the_first() -> None:
    family = sizes().family
    frames = (result("hardtail"), None, result("adventure"))
    measured = [
        replace(one, stiffness=frame) for one, frame in zip(sizes().measured, frames, strict=True)
    ]
    said = json.loads(dumps(comparison_document(family, measured, texts())))
    first, none, third = (bike["stiffness"] for bike in said["bikes"])
    assert none is None
    assert list(said["stiffness"]) == ["S long"]
    beside = said["stiffness"]["S long"]
    assert not beside["same_shape"]
    for key, ratio in beside["ratios"].items():
        assert ratio["ratio"] == pytest.approx(third[key] / first[key])
        assert ratio["low"] < ratio["ratio"] < ratio["high"]
        assert said["units"]["stiffness"][key] in ("N/mm", "N·m/°")
