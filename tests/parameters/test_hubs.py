"""Hubs: names that are none, and slots."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {rear_wheel: {hub: 12x148}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "12x148",
        "write 148x12",
    ),
    (
        GEO + "build: {rear_wheel: {hub: wide}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "wide",
        "148x12",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
