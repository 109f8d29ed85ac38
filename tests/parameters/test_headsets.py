"""Headset codes: all that there are, and what is none."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {headset: {upper: ZS45/28.6}}\n",
        "unknown-size",
        "build.headset.upper",
        (4, 26),
        "ZS45",
        "ZS44",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
