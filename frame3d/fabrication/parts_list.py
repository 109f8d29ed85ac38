"""The list of parts that the frame needs besides its tubes, with the sizes that the file gives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.on_tubes.items import feature_items
from frame3d.fabrication.parts.drive_parts import drive_parts, seat_and_cockpit_parts
from frame3d.fabrication.parts.frame_parts import frame_parts
from frame3d.fabrication.parts.front_parts import front_parts
from frame3d.fabrication.parts.item import GROUPS, Item
from frame3d.fabrication.parts.pivot_parts import pivot_parts
from frame3d.fabrication.parts.weights import weighed
from frame3d.fabrication.parts.wheel_parts import wheel_parts
from frame3d.fabrication.tube_facts import TubeFacts
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet

__all__ = ["COLUMNS", "Item", "items_of", "parts_csv", "parts_sheets"]

COLUMNS: Final = (
    "item", "count", "size", "standard", "note", "group", "material", "mass_each_g", "mass_from",
)  # fmt: skip
"""Columns of the CSV; new ones are added behind these."""
STEPS: Final = (4.3, 6.2)
"""Least and greatest height of a row [mm]: rows are as high as fills the sheet."""


def items_of(bike: Bike, facts: Sequence[TubeFacts]) -> list[Item]:
    """Return all parts that the file implies, by group, each with its mass where that is known.

    What else is made for a frame joins the list here.
    """
    found = [
        *frame_parts(bike, facts),
        *feature_items(bike),
        *front_parts(bike),
        *wheel_parts(bike),
        *drive_parts(bike),
        *seat_and_cockpit_parts(bike),
        *pivot_parts(bike),
    ]
    return sorted(weighed(bike, found), key=lambda item: GROUPS.index(item.group))


def parts_csv(items: Sequence[Item]) -> bytes:
    """Return the list as CSV."""
    rows = [
        (
            i.what, str(i.count), i.size, i.standard, i.note, i.group, i.material,
            "" if i.grams is None else f"{i.grams:z.1f}", i.mass_from,
        )
        for i in items
    ]  # fmt: skip
    return csv_bytes(COLUMNS, rows)


def parts_sheets(bike: Bike, items: Sequence[Item], paper: Paper) -> list[Sheet]:
    """Return the list on as many sheets as it takes, rows as high as fills them."""
    lines = _lines(items)
    room = paper.height - 2 * MARGIN - 13.4 - 3.0 - 22.0
    fits = int(room / STEPS[0]) - 1
    count = -(-len(lines) // fits)
    each = -(-len(lines) // count) if count else 0
    sheets = []
    for i in range(max(count, 1)):
        page = lines[i * each : (i + 1) * each]
        name = "parts_list" if count <= 1 else f"parts_list-{i + 1}"
        sheet = Sheet(name, f"{bike.spec.title}: parts list", paper.width, paper.height)
        top = page_elements.heading(
            sheet,
            "Parts list",
            bike.spec.title,
            "what the frame needs besides its tubes, in mm",
            (f"{len(items)} items", "", f"sheet {i + 1} of {max(count, 1)}"),
        )
        step = min(STEPS[1], max(STEPS[0], room / (len(page) + 1)))
        _table(sheet, top - 3.0, page, step)
        sheets.append(sheet)
    return sheets


def _lines(items: Sequence[Item]) -> list[tuple[str, ...]]:
    """Return the rows of the table; a group's name stands in a row of its own."""
    rows: list[tuple[str, ...]] = []
    group = ""
    for item in items:
        if item.group != group:
            group = item.group
            rows.append((group.capitalize(),))
        about = "" if item.mass_from in ("computed", "given") else "~ "
        grams = "" if item.grams is None else f"{about}{item.grams:z.0f}"
        rows.append((item.what, str(item.count), item.size, item.standard, item.note, grams, ""))
    return rows


def _table(sheet: Sheet, top: float, rows: Sequence[tuple[str, ...]], step: float) -> None:
    """Draw rows, groups' names, a box to tick each item, and what the columns mean."""
    width = sheet.width - 2 * MARGIN
    shares = (
        ("Item", 39, "left"), ("No.", 8, "right"), ("Size", 54, "left"), ("Standard", 20, "left"),
        ("Note", 52, "left"), ("g each", 12, "right"), ("In", 7, "right"),
    )  # fmt: skip
    scale = width / sum(share for _, share, _ in shares)
    columns = [Column(title, share * scale, align) for title, share, align in shares]
    size = min(2.8, step * 0.56)
    shown = [("",) * 7 if len(row) == 1 else row for row in rows]
    low = page_elements.table(sheet, MARGIN, top, columns, shown, step=step, size=size)
    for i, row in enumerate(rows):
        y = top - (i + 2) * step
        if len(row) == 1:
            sheet.text((MARGIN + 0.8, y + step * 0.3), row[0], size * 1.1, bold=True)
        else:
            side = min(2.6, step * 0.6)
            sheet.box(sheet.width - MARGIN - side - 1.0, y + (step - side) / 2, side, side, "STRIP")
    page_elements.paragraph(
        sheet, MARGIN, low - 5.0,
        "~ estimated from usual parts (common practice, no source), or shared out of a mass that the "
        "file gives; masses without it are computed from the metal, or given. The drawing of the part "
        "in hand goes before any size here.", width, 2.5,
    )  # fmt: skip
    page_elements.caution(sheet)
