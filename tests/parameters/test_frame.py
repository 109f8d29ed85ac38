"""FrameSpec: what holds between its sections, and where its values come from."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    ("name: Test\ngeometry: {}\n", "missing-key", "format", None, "missing", "allowed: 1"),
    (
        GEO.replace("format: 1", "format: 2"),
        "not-allowed",
        "format",
        (1, 9),
        "format 1, not 2",
        "format: 1",
    ),
    (
        GEO.replace("format: 1", "format: true"),
        "not-allowed",
        "format",
        (1, 9),
        "true and false",
        "format: 1",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
