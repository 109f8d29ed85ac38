"""Cells of the workspace's tables: a value with its unit, and what has changed."""

from __future__ import annotations

from typing import Final

from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts

SMALL: Final = 0.005
"""Changes below this are not shown [mm, degrees]."""


def value_cell(value: float | None, unit: str, texts: Texts) -> Markup:
    """Return the cell of a value; a dash where there is none."""
    mark = None if value is None else el("span", texts.unit(unit), class_="unit")
    return el("td", texts.number(value), mark)


def change_cell(
    before: float | None, after: float | None, texts: Texts, *, decimals: int = 2
) -> Markup:
    """Return the cell of a change; empty where there is none to show."""
    if before is None or after is None or abs(after - before) < SMALL:
        return el("td", class_="change")
    return el("td", texts.number(after - before, decimals, sign=True), class_="change moved")
