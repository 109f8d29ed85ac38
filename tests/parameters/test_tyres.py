"""Tyres: designations that are none, everyday sizes, the rule of the diameter."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {rear_wheel: {tyre: 61-621}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "621",
        "61-622",
    ),
    (
        GEO + "build: {rear_wheel: {tyre: 29x2.4}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "ETRTO",
        "commonly 61-622",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
