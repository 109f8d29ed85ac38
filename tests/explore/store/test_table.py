"""Results as rows of text, and as CSV."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.store.table import head, number, rows
from frame3d.fabrication.lists import csv_bytes
from tests.explore.fakes import STUDY, result


def test_columns_are_those_of_the_study() -> None:
    assert head(STUDY) == (
        "geometry.reach",
        "build.rear_wheel.tyre",
        "trail (mm)",
        "mass (g)",
        "trail short by",
        "other shortfalls",
        "feasible",
        "total",
        "stage",
        "rejected by",
        "fault",
    )
    found = result((20.0, "61-622"))
    shortfalls = {**found.shortfalls, "gap.toe": 0.0, "gap.chain": 1.5, "gap.a": 2.0}
    found = replace(found, values={"trail": 100 + 20 / 3}, shortfalls=shortfalls)
    (row,) = rows(STUDY, [found])
    assert row == (
        "20",
        "61-622",
        "106.666667",
        "",
        "11.333333",
        "gap.a 2; gap.chain 1.5",
        "no",
        "11.333333",
        "placement",
        "trail",
        "",
    )


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_have_nine_digits_and_no_exponent(value: float) -> None:
    shown = number(value)
    assert float(shown) == float(f"{value:.9g}")
    assert "e" not in shown.lower()
    assert shown != "-0"


def test_what_is_no_number() -> None:
    assert number(None) == number(math.nan) == ""
    assert [number(math.inf), number(-math.inf)] == ["infinite", "minus infinite"]
    assert number(-1.5e-7) == "-0.00000015"


def test_no_cell_of_the_csv_begins_a_formula_unless_it_is_a_number() -> None:
    bad = replace(
        result((-1.5e-7, "=cmd()")), rejected_by="+x", fault="@y", values={"trail": -2e-9}
    )
    found = csv_bytes(head(STUDY), rows(STUDY, [bad])).decode()
    cells = list(csv.reader(io.StringIO(found)))[1]
    assert cells[:3] == ["-0.00000015", "'=cmd()", "-0.000000002"]
    assert cells[-2:] == ["'+x", "'@y"]
