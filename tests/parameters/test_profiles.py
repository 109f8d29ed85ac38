"""Sections and walls."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO
        + "tubes: {head_tube: {od: 30, wall: {butted: [1, 2], lengths: [3, 4], transition: 4}}}\n",
        "inconsistent",
        "tubes.head_tube.wall.lengths",
        (4, 61),
        "2 walls need 1 butt length, there are 2",
        "[start butt]",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: {butted: [1], lengths: [3], transition: 4}}}\n",
        "wrong-type",
        "tubes.head_tube.wall.butted",
        (4, 44),
        "at least 2 values",
        "[0.9, 0.6, 0.9]",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)
