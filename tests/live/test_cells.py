"""Cells of the workspace's tables."""

from __future__ import annotations

from frame3d.live.cells import SMALL, change_cell, value_cell
from frame3d.report.texts import texts


def test_a_value_has_its_unit_and_none_has_none() -> None:
    assert value_cell(12.34, "mm", texts()) == '<td>12.3<span class="unit">mm</span></td>'
    assert "unit" not in value_cell(None, "mm", texts())


def test_a_change_is_shown_with_its_sign_from_a_size_on() -> None:
    assert change_cell(1.0, 1.5, texts()) == '<td class="change moved">+0.50</td>'
    assert change_cell(100.0, 140.0, texts(), decimals=0) == '<td class="change moved">+40</td>'
    for before, after in ((None, 1.0), (1.0, None), (1.0, 1.0 + 0.9 * SMALL)):
        assert change_cell(before, after, texts()) == '<td class="change"></td>'
