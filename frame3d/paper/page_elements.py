"""Elements of sheets: heading, check ruler and square, tables, caution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.caution import CAUTION
from frame3d.paper.fonts import text_width, wrapped
from frame3d.paper.sheet import Sheet

MARGIN: Final = 9.0
"""Margin around a sheet [mm]; printers need less."""


SMALLEST: Final = 2.2
"""Smallest size of text, 6.2 points [mm]."""
PAD: Final = 2.4
"""Space to the left of a table's cell, between right-aligned and left-aligned columns [mm]."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size in portrait [mm]."""

    name: str
    width: float
    height: float


PAPERS: Final = {
    "A4": Paper("A4", 210.0, 297.0),
    "Letter": Paper("Letter", 215.9, 279.4),
}
"""Paper sizes: ISO 216 A4, and 8.5 × 11 in."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    title: str
    width: float
    align: str = "left"


def heading(sheet: Sheet, title: str, name: str, below: str, right: Sequence[str]) -> float:
    """Draw the heading; return y of its lower edge [mm].

    Args:
        sheet: to draw on.
        title: at the top left.
        name: the bike's name, below the title; shortened if too long.
        below: text after the name; not shortened.
        right: lines at the top right.
    """
    left, top, edge = MARGIN, sheet.height - MARGIN, sheet.width - MARGIN
    aside = max((text_width(line, 3.1, bold=True) for line in right), default=0.0)
    room = edge - left - aside - 4.0
    shown, size = fitted(title, room, 7.0, bold=True)
    sheet.text((left, top - 5.2), shown, size, bold=True)
    shown, size = fitted(name, room, 3.1, after=f" · {below}")
    sheet.text((left, top - 10.4), shown, size)
    for i, line in enumerate(right):
        sheet.text((edge, top - 3.2 - 4.0 * i), line, 3.1, align="right", bold=i == 0)
    y = top - 13.4
    sheet.line((left, y), (edge, y), "FRAME")
    return y


def caution(sheet: Sheet, *, left: float = MARGIN, right: float | None = None) -> float:
    """Draw the caution along the bottom; return y of its upper edge [mm]."""
    edge = sheet.width - MARGIN if right is None else right
    lines = wrapped(CAUTION, edge - left, 2.5)
    y = MARGIN
    for i, line in enumerate(reversed(lines)):
        sheet.text((left, y + 3.1 * i), line, 2.5, layer="CAUTION")
    return y + 3.1 * len(lines) + 0.8


def checks(sheet: Sheet, x: float, y: float) -> None:
    """Draw a square of 50 mm, lower left corner at x, y, and 6 mm to its right a ruler of 100 mm."""
    sheet.box(x, y, 50.0, 50.0, "CHECK")
    sheet.text((x + 25, y + 27.2), "50 × 50 mm", 3.4, align="centre", bold=True)
    sheet.text((x + 25, y + 22.6), "measure both ways", 2.5, align="centre")
    sheet.text((x + 25, y + 19.2), "before you cut", 2.5, align="centre")
    left = x + 56.0
    sheet.line((left, y), (left + 100.0, y), "CHECK")
    for mm in range(101):
        height = 5.0 if mm % 10 == 0 else 3.4 if mm % 5 == 0 else 2.0
        sheet.line((left + mm, y), (left + mm, y + height), "CHECK")
        if mm % 10 == 0:
            sheet.text((left + mm, y + 6.0), str(mm), 2.3, align="centre")
    sheet.text(
        (left, y + 10.0),
        "100 mm. Print at 100 %, no fitting to the page.",
        2.5,
    )


def table(
    sheet: Sheet,
    x: float,
    top: float,
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    *,
    size: float = 2.7,
    step: float = 4.6,
) -> float:
    """Draw a table with ruled rows; return y of its lower edge [mm].

    Text that is too wide is set smaller, down to `SMALLEST`, then shortened in its middle.
    """
    width = sum(column.width for column in columns)
    y = top - step
    head = any(column.title for column in columns)
    for row, bold in ([([c.title for c in columns], True)] if head else []) + [
        (list(row), False) for row in rows
    ]:
        left = x
        for column, cell in zip(columns, row, strict=True):
            shown, fit = fitted(cell, column.width - PAD - 0.8, size, bold=bold)
            at = {
                "left": left + (0.8 if column is columns[0] else PAD),
                "right": left + column.width - 0.8,
                "centre": left + column.width / 2,
            }[column.align]
            sheet.text((at, y + step * 0.3), shown, fit, align=column.align, bold=bold)
            left += column.width
        sheet.line((x, y), (x + width, y), "STRIP" if bold else "TABLE")
        y -= step
    return y + step


def fitted(
    text: str, room: float, size: float, *, bold: bool = False, after: str = ""
) -> tuple[str, float]:
    """Return a line of text and its size so that it fits `room` [mm].

    The size is reduced down to `SMALLEST`; then letters are left out in the middle of `text`, but not of
    `after`, which follows it.
    """
    wide = text_width(text + after, size, bold=bold)
    if wide <= room:
        return text + after, size
    least = min(size, SMALLEST)
    if size * room / wide >= least:
        return text + after, size * room / wide
    for kept in range(len(text) - 1, 0, -1):
        shown = f"{text[: (kept + 1) // 2]}…{text[len(text) - kept // 2 :]}{after}"
        if text_width(shown, least, bold=bold) <= room:
            return shown, least
    return "…" + after, least


def paragraph(
    sheet: Sheet, x: float, y: float, text: str, width: float, size: float = 2.7
) -> float:
    """Draw wrapped text with its first baseline at y; return the baseline of a next line [mm]."""
    for line in wrapped(text, width, size):
        sheet.text((x, y), line, size)
        y -= 1.45 * size
    return y
