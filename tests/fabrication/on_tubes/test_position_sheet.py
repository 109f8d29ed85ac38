"""Marks in tables: features.csv, the fixture sheet's pages and CSV."""

from __future__ import annotations

import csv
import io
from functools import cache

import pytest

from frame3d.fabrication.on_tubes.position_sheet import (
    COLUMNS,
    features_csv,
    measured,
    position_sheets,
)
from frame3d.fabrication.pack import Maker
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import texts
from tests.featured import solved


@cache
def maker() -> Maker:
    return Maker(solved(), "A4", None)


def test_the_csv_has_a_row_for_each_mark_in_stable_columns() -> None:
    made = maker()
    rows = list(csv.DictReader(io.StringIO(features_csv(made.marks).decode())))[:-1]
    assert COLUMNS[:9] == (
        "number", "tube", "side", "feature", "kind", "of_row", "what", "from_start_mm", "from_end_mm",
    )  # fmt: skip
    assert len(rows) == len(made.marks)
    for row, mark in zip(rows, made.marks, strict=True):
        assert float(row["from_start_mm"]) == pytest.approx(mark.from_start, abs=0.005)
        assert float(row["x_mm"]) == pytest.approx(float(mark.spot.foot[0]), abs=0.005)
        assert row["joined"] == ("no" if mark.feature.implied else "yes")
    port = next(row for row in rows if row["feature"] == "hose_out")
    assert (port["tube"], port["side"], port["kind"]) == ("chainstay", "left", "port")
    assert port["angle_deg"] == "100.00"
    assert port["around"] == "100 deg from top to left"


def test_the_page_says_what_the_csv_says() -> None:
    made = maker()
    (page,) = position_sheets(made.bike, made.marks, PAPERS["A4"])
    said = texts(page)
    for mark in made.marks:
        assert f"{mark.from_start:.1f}" in said
        assert f"{mark.from_end:.1f}" in said
    assert crossed(page.entities(), through=("CENTRE",)) == []
    assert position_sheets(made.bike, [], PAPERS["A4"]) == []


def test_more_than_a_page_goes_onto_several() -> None:
    made = maker()
    pages = position_sheets(made.bike, made.marks * 5, PAPERS["Letter"])
    assert [page.name for page in pages] == ["fixture_marks-1", "fixture_marks-2"]
    assert sum(texts(page).count("cage 1") for page in pages) == 5


def test_the_fixtures_csv_has_length_and_angle_of_each() -> None:
    made = maker()
    said = dict(measured(made.marks))
    port = next(mark for mark in made.marks if mark.feature.name == "hose_in")
    name = f"{port.number}: hose in on down tube"
    assert said[f"{name}, from the start's long point"] == f"{port.from_start:.2f} mm"
    assert said[f"{name}, around"] == "60° from top to left"
    assert len(said) == 2 * len(made.marks)


def test_the_pack_has_them() -> None:
    made = Maker(solved(), "A4", None)
    made.pack.files.clear()
    files = made.make().files
    assert {"features.csv", "fixture_marks.svg", "fixture_marks.dxf"} <= set(files)
    assert {"templates/down_tube-marks-1.dxf", "templates/seatstay_left-marks.svg"} <= set(files)
    assert b"\nmark," in files["fixture.csv"]
