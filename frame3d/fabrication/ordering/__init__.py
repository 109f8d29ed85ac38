"""The order list over sizes: each tube section once, bars and how to saw them, and all other parts.

`order_list.order_of` gathers everything to order from the cut lists and parts lists of the sizes;
`stock.cut_stock` finds the bars, with the proof in `fewest_bars`. Light until `write_order` is called:
ezdxf and reportlab come in with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d.errors import Note

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.fabrication.flat.nest import Stock
    from frame3d.fabrication.flat.parts import SheetPart
    from frame3d.fabrication.ordering.order_list import Order
    from frame3d.fabrication.ordering.stock import StockLength


@dataclass(frozen=True, slots=True)
class WrittenOrder:
    """The order, and the files that were written."""

    order: Order
    files: tuple[Path, ...]
    notes: tuple[Note, ...]


def write_order(
    bikes: Sequence[tuple[str, Bike, int]],
    folder: Path,
    *,
    stock: Sequence[StockLength] | None = None,
    kerf: float | None = None,
    trim: float | None = None,
    missing: Sequence[str] = (),
    paper: str = "A4",
    plate_stock: Stock | None = None,
) -> WrittenOrder:
    """Write ``order_list.csv``, ``order_list.pdf`` and ``saw_list.csv``, all of them or none.

    Args:
        bikes: name of each size, its bike, and the number of frames.
        folder: created if missing.
        stock: lengths in which plain tube is to be had; `order_list.STOCK` if not given.
        kerf: width of the saw's cut [mm]; `order_list.KERF` if not given.
        trim: length at either end of a bar that is not used [mm]; `order_list.TRIM` if not given.
        missing: sizes that could not be made, to be told on the list.
        paper: one of `fabrication.PAPER_NAMES`.
        plate_stock: sheets on which the flat parts of all frames are nested, each thickness and material
            into a DXF and a PDF beside the list; None for none.

    Raises:
        OutputError: a piece is longer than any bar, the bars do not suffice, or a file cannot be
            written; older files are unchanged.
        ValueError: as `order_list.order_of`.
    """
    from frame3d.fabrication.flat.nest import too_large_notes
    from frame3d.fabrication.flat.nest_files import nested_files
    from frame3d.fabrication.ordering import order_list
    from frame3d.fabrication.ordering.order_sheets import order_sheets
    from frame3d.fabrication.ordering.order_tables import order_csv, saw_csv
    from frame3d.formats.writer import timestamp, write
    from frame3d.paper.fonts import lacking
    from frame3d.paper.page_elements import PAPERS
    from frame3d.paper.render import pdf

    timestamp()  # libraries read SOURCE_DATE_EPOCH too, and do not say what is wrong with it
    order = order_list.order_of(
        bikes,
        stock=order_list.STOCK if stock is None else stock,
        kerf=order_list.KERF if kerf is None else kerf,
        trim=order_list.TRIM if trim is None else trim,
        missing=missing,
    )
    sheets = order_sheets(order, PAPERS[paper])
    said = lacking("".join(line for sheet in sheets for line in sheet.texts()))
    files = {
        "order_list.csv": order_csv(order),
        "order_list.pdf": pdf(sheets, f"{order.name}: order list"),
        "saw_list.csv": saw_csv(order),
    }
    notes = [Note("warning", line) for line in said]
    if plate_stock is not None:
        nested, nests = nested_files(_parts(bikes), plate_stock, order.name, PAPERS[paper])
        files |= nested
        notes += too_large_notes(nests, plate_stock)
    written = write(files, folder)
    return WrittenOrder(order, written.files, tuple(notes))


def _parts(bikes: Sequence[tuple[str, Bike, int]]) -> list[SheetPart]:
    """Return the flat parts of all frames, named by their size, as many as are ordered."""
    from frame3d.fabrication.flat.parts import sheet_parts

    return [
        replace(
            part,
            name=f"{size} {part.name}",
            count=number * part.count,
            mirrored=number * part.mirrored,
        )
        for size, bike, number in bikes
        if number
        for part in sheet_parts(bike)
    ]
