"""What each tube is cut from, on paper and as CSV."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from frame3d.bike.bike import Bike
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import plain, section_text, wall_text
from frame3d.fabrication.tube_stock.choose import Choice
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.parameters.reading.tube_stock import TubeStock

ROWS = 24
"""Tubes on a sheet."""
HEAD = (
    "tube", "outside_mm", "wall_mm", "material", "cut_length_mm", "stock", "number", "stock_length_mm",
    "turned", "cut_off_stock_start_mm", "cut_off_stock_end_mm", "waste_mm", "start_butt_left_mm",
    "end_butt_left_mm", "thicker_by_mm", "remark",
)  # fmt: skip
"""Columns of the CSV."""


def stock_csv(choices: Sequence[Choice]) -> bytes:
    """Return what each tube is cut from as CSV."""
    rows = []
    for choice in choices:
        one = choice.facts
        row = [one.tube.name, section_text(one.tube), wall_text(one.tube), one.tube.material,
               f"{one.long_to_long:z.2f}"]  # fmt: skip
        if choice.stock is None or choice.fit is None:
            rows.append([*row, *[""] * 10, f"none fits: {choice.why}"])
            continue
        fit = choice.fit
        butts = ["", ""] if fit.butts is None else [f"{butt:z.1f}" for butt in fit.butts]
        row += [
            choice.stock.name,
            str(choice.unit),
            f"{choice.stock.length:g}",
            "yes" if fit.turned else "no",
        ]
        row += [f"{fit.begin:z.1f}", f"{fit.rest:z.1f}", f"{choice.waste:z.1f}", *butts]
        rows.append([*row, f"{fit.thicker:z.2f}", ""])
    return csv_bytes(HEAD, rows)


def stock_sheets(
    bike: Bike, choices: Sequence[Choice], stock: TubeStock, paper: Paper
) -> list[Sheet]:
    """Return the choice on landscape sheets, what is left in stock below."""
    pages = [choices[i : i + ROWS] for i in range(0, len(choices), ROWS)]
    sheets = []
    for i, page in enumerate(pages):
        name = "tube_stock" if len(pages) == 1 else f"tube_stock-{i + 1}"
        sheet = Sheet(name, f"{bike.spec.title}: tubes from stock", paper.height, paper.width)
        waste = sum(choice.waste for choice in choices)
        top = page_elements.heading(
            sheet, "Tubes from stock", bike.spec.title,
            f"out of {stock.spec.name}, lengths in mm along the axis, bends developed",
            (f"{waste:z.0f} mm waste", "", f"sheet {i + 1} of {len(pages)}"),
        )  # fmt: skip
        width = sheet.width - 2 * MARGIN
        shares = (
            ("Tube", 33, "left"), ("Outside", 27, "left"), ("Wall", 25, "left"),
            ("Cut", 14, "right"), ("From", 56, "left"), ("Length", 14, "right"),
            ("Off start", 15, "right"), ("Off end", 15, "right"), ("Waste", 14, "right"),
            ("Butts left", 25, "left"), ("Thicker by", 17, "right"), ("Lies", 26, "left"),
        )  # fmt: skip
        scale = width / sum(share for _, share, _ in shares)
        columns = [Column(title, share * scale, align) for title, share, align in shares]
        low = page_elements.table(
            sheet, MARGIN, top - 3.0, columns, [_row(choice) for choice in page], step=5.0
        )
        y = low - 6.0
        for choice in page:
            if choice.stock is None:
                said = f"! {plain(choice.facts.tube.name)}: {choice.why}"
                y = page_elements.paragraph(sheet, MARGIN, y, said, width)
        if i == len(pages) - 1:
            y = page_elements.paragraph(sheet, MARGIN, y, _left(choices, stock), width)
        page_elements.paragraph(
            sheet, MARGIN, y,
            "Off start, off end: cut from the tube as sold, counted at its own ends, where the saw's "
            "cut and what a bender holds come out of too; of several pieces of one tube where each "
            "begins, and what is left beyond it. Turned: the tube's start lies toward the stock's "
            "end. Walls are nowhere thinner than the file's, and thicker only where a butt is longer.",
            width, 2.5,
        )  # fmt: skip
        page_elements.caution(sheet)
        sheets.append(sheet)
    return sheets


def _row(choice: Choice) -> list[str]:
    one = choice.facts
    row = [plain(one.tube.name), section_text(one.tube), wall_text(one.tube)]
    row.append(f"{one.long_to_long:z.1f}")
    if choice.stock is None or choice.fit is None:
        return [*row, "none fits", *["–"] * 7]
    fit = choice.fit
    butts = "–" if fit.butts is None else " and ".join(f"{butt:z.0f}" for butt in fit.butts)
    named = f"{choice.stock.name}, no. {choice.unit}"
    row += [named, f"{choice.stock.length:g}", f"{fit.begin:z.1f}", f"{fit.rest:z.1f}"]
    row += [f"{choice.waste:z.1f}" if choice.waste else "–", butts]
    row.append(f"{fit.thicker:z.2f}" if fit.thicker > 0.005 else "–")
    return [*row, "turned" if fit.turned else "as sold"]


def _left(choices: Sequence[Choice], stock: TubeStock) -> str:
    """Return what is taken, and what is left of what is counted, in words."""
    units = {(choice.stock.name, choice.unit) for choice in choices if choice.stock is not None}
    taken = Counter(name for name, _ in sorted(units))
    counts = {tube.name: tube.count for tube in stock.spec.tubes}
    said = []
    for name, number in taken.items():
        count = counts[name]
        rest = "" if count is None else f" ({count - number} left)"
        said.append(f"{number} × {name}{rest}")
    return "Taken, for this frame alone: " + (", ".join(said) or "nothing") + "."
