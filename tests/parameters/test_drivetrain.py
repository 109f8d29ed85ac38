"""Cranks, chainrings, cogs, pedals: sizes that do not go together, up to the last that do."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from frame3d.parameters import loads
from frame3d.parameters.models.drivetrain import CassetteSpec
from tests.parameters.faults import GEO, Row, hold, row, row_name

CRANK = GEO + "build: {crank: {q_factor: 150, thickness: 14, chainline: 61}}\n"  # 150/2 − 14 = 61
RING = GEO + "build: {chainring: {teeth: 32, inner_teeth: 33}}\n"
COGS = GEO + "build: {cassette: {cogs: [11, 13, 12]}}\n"
SMALL = GEO + "build: {cassette: {cogs: [8, 13, 15]}}\n"
PEDAL = GEO + "build: {pedal: {width: 112, axle: 56}}\n"
ROWS: list[Row] = [
    row(CRANK, "inconsistent", "build.crank.chainline", "61}", "inner face lies 61 mm", "less than 61"),
    row(RING, "inconsistent", "build.chainring.inner_teeth", "33}", "outer ring's 32", "at most 31"),
    row(COGS, "inconsistent", "build.cassette.cogs.2", "12]", "12 comes after 13", "smallest cog first"),
    row(SMALL, "out-of-range", "build.cassette.cogs.0", "8, ", "no cog has 8 teeth", "from 9 to 60"),
    row(PEDAL, "inconsistent", "build.pedal.width", "112", "into the crank arm, 56 mm", "less than 112"),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (CRANK, "chainline: 61", "chainline: 60.9"),
        (RING, "inner_teeth: 33", "inner_teeth: 31"),
        (COGS, "13, 12", "12, 13"),
        (SMALL, "8, 13", "9, 13"),
        (PEDAL, "width: 112", "width: 111.9"),
    ],
)
def test_what_the_hint_says_is_taken(text: str, old: str, new: str) -> None:
    assert old in text
    loads(text.replace(old, new))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(6, 63), min_size=1, max_size=6))
def test_a_cassette_is_any_rising_row_of_cogs_with_9_to_60_teeth(cogs: list[int]) -> None:
    if cogs == sorted(set(cogs)) and min(cogs) >= 9 and max(cogs) <= 60:
        assert CassetteSpec.model_validate({"cogs": cogs}).cogs == tuple(cogs)
    else:
        with pytest.raises(ValidationError):
            CassetteSpec.model_validate({"cogs": cogs})
