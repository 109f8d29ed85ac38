"""Bottom bracket shells: names that are none, and what every shell must be."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {bottom_bracket: {shell: threaded73}}\n",
        "unknown-size",
        "build.bottom_bracket.shell",
        (4, 33),
        "threaded73",
        "nearest: threaded-73",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
