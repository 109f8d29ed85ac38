"""Nested parts as DXF for the cutter, and as a sheet to read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from frame3d.caution import CAUTION
from frame3d.fabrication.flat.cut_files import BORED, KERF, POCKETED
from frame3d.fabrication.flat.nest import Laid, Nest, NestedSheet, Stock, nests_of
from frame3d.fabrication.flat.part_sheet import draw_path
from frame3d.fabrication.flat.parts import SheetPart
from frame3d.paper import page_elements
from frame3d.paper.cut_drawing import NOTE, SHEET, CutDrawing, place_within
from frame3d.paper.fonts import text_width, wrapped
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.render import pdf
from frame3d.paper.sheet import Sheet

APART: Final = 50.0
"""Distance of sheets in one DXF [mm]."""
HOW: Final = (
    "Laid by rectangles about the parts (rectpack), so no part reaches into another's corner: there may "
    "be a way with less waste. Grain, lead-ins and the order of cuts are left to the shop."
)
SIZE: Final = 2.8
"""Size of numbers on parts [mm]."""


def piece_name(piece: Laid) -> str:
    """Return a piece's name as it is marked."""
    return f"{piece.part.name}{' mirrored' if piece.is_mirrored else ''}"


def nested_files(
    parts: Sequence[SheetPart], stock: Stock, bike: str, paper: Paper
) -> tuple[dict[str, bytes], list[Nest]]:
    """Return a DXF and a PDF for each thickness and material, by name, and what is on them."""
    nests = nests_of(parts, stock)
    files: dict[str, bytes] = {}
    for nest in nests:
        if nest.sheets:
            files[f"{nest.name}.dxf"] = nest_dxf(nest, bike)
            files[f"{nest.name}.pdf"] = pdf(
                nest_sheets(nest, bike, paper), f"{bike}: nested plates"
            )
    return files, nests


def nest_dxf(nest: Nest, bike: str) -> bytes:
    """Return all sheets of a nest in one DXF, side by side, their edges on layer SHEET."""
    outlines = [piece.outline for sheet in nest.sheets for piece in sheet.pieces]
    said = [KERF, HOW]
    if any(hole.fit or hole.thread for one in outlines for hole in one.holes):
        said.append(BORED)
    if any(one.pockets for one in outlines):
        said.append(POCKETED)
    title = f"{bike}: {nest.thickness:g} mm {nest.material}"
    drawing = CutDrawing(title, [*said, CAUTION])
    x = 0.0
    for i, sheet in enumerate(nest.sheets):
        stock = sheet.stock
        drawing.rectangle(x, 0.0, stock.width, stock.height, SHEET)
        head = f"{title}, sheet {i + 1} of {len(nest.sheets)}, {stock.width:g} × {stock.height:g}"
        drawing.text((x, stock.height + 6.0), head, 8.0, NOTE)
        for piece in sheet.pieces:
            drawing.outline(piece.outline.moved(x=x), piece_name(piece))
        x += stock.width + APART
    y = -8.0
    for text in (*said, CAUTION):
        for line in wrapped(text, max(nest.sheets[0].stock.width, 300.0), 5.0):
            drawing.text((0.0, y), line, 5.0, NOTE)
            y -= 7.5
    return drawing.dxf()


def nest_sheets(nest: Nest, bike: str, paper: Paper) -> list[Sheet]:
    """Return a page for each sheet of a nest, with the parts' numbers and their list."""
    pages = []
    count = len(nest.sheets)
    for i, one in enumerate(nest.sheets):
        name = nest.name if count == 1 else f"{nest.name}_{i + 1}"
        pages.append(_page(one, nest, name, f"sheet {i + 1} of {count}", bike, paper))
    return pages


def _page(one: NestedSheet, nest: Nest, name: str, which: str, bike: str, paper: Paper) -> Sheet:
    stock = one.stock
    rows = _rows(one.pieces)
    is_wide = stock.width >= stock.height
    width, height = (paper.height, paper.width) if is_wide else (paper.width, paper.height)
    sheet = Sheet(name, f"{bike}: nested plates", width, height)
    edge = page_elements.heading(
        sheet,
        f"Nested plates, {nest.thickness:g} mm {nest.material}",
        bike,
        f"sheet {stock.width:g} × {stock.height:g} mm, gap {stock.gap:g}, margin {stock.margin:g}",
        (which, f"{100 * one.share:.0f} % of it is parts"),
    )
    y = page_elements.caution(sheet) + 1.5
    for line in reversed(wrapped(f"{HOW} {KERF}", width - 2 * MARGIN, 2.4)):
        sheet.text((MARGIN, y), line, 2.4)
        y += 3.4
    y += 2.0
    wide = 62.0
    room = (width - 2 * MARGIN - (wide + 5.0), edge - 4.0 - y)
    scale = max(stock.width / room[0], stock.height / room[1])
    scale = next((n for n in (1, 2, 2.5, 4, 5, 8, 10, 15, 20) if n >= scale), math.ceil(scale))
    x0, y0 = MARGIN, edge - 4.0 - stock.height / scale
    sheet.box(x0, y0, stock.width / scale, stock.height / scale, "FRAME")

    def view(p: tuple[float, float]) -> tuple[float, float]:
        return x0 + p[0] / scale, y0 + p[1] / scale

    numbers = {key: str(i + 1) for i, key in enumerate(rows)}
    for piece in one.pieces:
        outline = piece.outline
        for path in (outline.outer, *outline.inner):
            draw_path(sheet, path, view, scale, "OUTLINE")
        for pocket in outline.pockets:
            draw_path(sheet, pocket.path, view, scale, "CUT_INNER")
        number = numbers[piece_name(piece)]
        size = SIZE * scale
        spot = place_within(outline, text_width(number, size), size * 0.72, 0.4 * scale)
        if spot is not None:
            at = view(spot)
            sheet.text((at[0], at[1] - SIZE * 0.36), number, SIZE, align="centre", bold=True)
    columns = [Column("", 6.0), Column("Part", wide - 18.0), Column("pieces", 12.0, "right")]
    cells = [(numbers[key], key, str(n)) for key, n in rows.items()]
    step = min(4.6, (edge - 8.0 - y) / (len(cells) + 1))
    x = width - MARGIN - wide
    page_elements.table(sheet, x, edge - 4.0, columns, cells, step=step, size=min(2.7, 0.58 * step))
    sheet.text((x, y), f"drawn 1:{scale:g}; the DXF is 1:1", 2.5)
    return sheet


def _rows(pieces: Sequence[Laid]) -> dict[str, int]:
    """Return the number of pieces by name."""
    found: dict[str, int] = {}
    for piece in pieces:
        found[piece_name(piece)] = found.get(piece_name(piece), 0) + 1
    return found
