"""Materials: names that are none."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (GEO + "material: 4310\n", "unknown-size", "material", (4, 11), "4310", "nearest: 4130"),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
