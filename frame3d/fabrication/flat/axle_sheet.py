"""Sections through the pivots' axles, 1:1, with bores, bearings, axle lengths and spacers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from frame3d.fabrication.flat.axles import Axle
from frame3d.fabrication.tube_facts import plain
from frame3d.paper import page_elements
from frame3d.paper.fonts import wrapped
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.parameters.sizes import fits

PICTURE: Final = 96.0
"""Width of a section [mm]; the longest halves are drawn smaller."""
STEP: Final = 4.4
"""Height of a table's row [mm]."""
TEXT: Final = 2.5
FOOT: Final = (
    "Left half from the centre plane; the right one is its mirror image. Fits of bores are common "
    f"practice, no source; {fits.STANDING}. Widths are of what is drawn: bearings' preload and seals, "
    "heads and threads of axles are left to the parts in hand."
)


def axle_sheets(
    axles: Sequence[Axle], name: str, title: str, bike: str, paper: Paper
) -> list[Sheet]:
    """Return sheets with a section and a table for each axle.

    Args:
        axles: in the order in which they are shown.
        name: of the sheets; several are numbered.
        title: at their top.
        bike: the bike's name.
        paper: in portrait.
    """
    top_room = paper.height - MARGIN - 13.4 - 5.0
    floor = MARGIN + 10.0 + 4 * 3.5
    pages: list[list[Axle]] = [[]]
    left = top_room
    for axle in axles:
        if left - _height(axle) < floor and pages[-1]:
            pages.append([])
            left = top_room
        pages[-1].append(axle)
        left -= _height(axle)
    made = []
    for i, page in enumerate(pages if axles else []):
        called = name if len(pages) == 1 else f"{name}-{i + 1}"
        sheet = Sheet(called, f"{bike}: {title.lower()}", paper.width, paper.height)
        below = "sections through the pivots, 1:1 unless said beside them, mm"
        top = page_elements.heading(sheet, title, bike, below, (f"sheet {i + 1} of {len(pages)}",))
        y = page_elements.caution(sheet) + 1.5
        for line in reversed(wrapped(FOOT, sheet.width - 2 * MARGIN, 2.4)):
            sheet.text((MARGIN, y), line, 2.4)
            y += 3.4
        y = top - 5.0
        for axle in page:
            _block(sheet, axle, y)
            y -= _height(axle)
        made.append(sheet)
    return made


def _tallest(axle: Axle) -> float:
    return max(axle.stack.axle, *(piece.od for piece in axle.pieces))


def _lines(axle: Axle, width: float) -> list[str]:
    return [piece for line in axle.said() for piece in wrapped(line, width, TEXT)]


def _height(axle: Axle) -> float:
    """Return the height of an axle's block [mm]."""
    table = STEP * (len(axle.pieces) + 1) + 3.6 * len(_lines(axle, 92.0)) + 4.0
    return 7.0 + max(_tallest(axle) + 9.0, table) + 5.0


def _block(sheet: Sheet, axle: Axle, top: float) -> None:
    """Draw one axle's section and table, from `top` down."""
    bodies = " and ".join(plain(link) for link in axle.links)
    title, size = page_elements.fitted(
        f"{plain(axle.point).capitalize()}: {bodies}", sheet.width - 2 * MARGIN, 3.3, bold=True
    )
    sheet.text((MARGIN, top - 3.0), title, size, bold=True)
    high = axle.stack.spans[-1][1]
    scale = min(1.0, (PICTURE - 12.0) / high)
    x0, y0 = MARGIN + 3.0, top - 7.0 - 4.5 - _tallest(axle) * scale / 2
    _section(sheet, axle, (x0, y0), scale)
    x = MARGIN + PICTURE + 2.0
    width = sheet.width - MARGIN - x
    shares = (("", 5.0, "left"), ("Part", 33.0, "left"), ("y from", 13.0, "right"),
              ("to", 12.0, "right"), ("Bore", 15.0, "left"), ("Limits", 23.0, "left"))  # fmt: skip
    unit = width / sum(share for _, share, _ in shares)
    columns = [Column(head, share * unit, align) for head, share, align in shares]
    rows = [
        (str(i + 1), piece.name, f"{piece.low:.2f}", f"{piece.high:.2f}",
         f"{piece.bore:g} {piece.fit}".rstrip(), fits.limits_text(piece.bore, piece.fit))
        for i, piece in enumerate(axle.pieces)
    ]  # fmt: skip
    low = page_elements.table(sheet, x, top - 6.0, columns, rows, size=TEXT, step=STEP)
    for line in _lines(axle, width):
        low -= 3.6
        sheet.text((x, low - 0.4), line, TEXT)
    if scale < 1.0:
        sheet.text(
            (x0 + 2.0, y0 - _tallest(axle) * scale / 2 - 4.0), f"drawn 1:{1 / scale:.2f}", 2.3
        )


def _section(sheet: Sheet, axle: Axle, at: tuple[float, float], scale: float) -> None:
    """Draw the left half of a section about its axis at height `at[1]`, centre plane at `at[0]`."""
    x0, y0 = at
    radius = axle.stack.axle / 2 * scale
    end = axle.stack.spans[-1][1] * scale
    start = 0.0 if axle.stack.is_across else axle.stack.spans[0][0] * scale
    sheet.line((x0 - 2.0, y0), (x0 + end + 5.0, y0), "CENTRE")
    half = _tallest(axle) / 2 * scale + 2.0
    sheet.line((x0, y0 - half), (x0, y0 + half), "CENTRE")
    sheet.box(x0 + start, y0 - radius, end - start, 2 * radius, "PHANTOM")
    for i, piece in enumerate(axle.pieces):
        left, wide = x0 + piece.low * scale, (piece.high - piece.low) * scale
        inner, outer = piece.bore / 2 * scale, piece.od / 2 * scale
        for low in (y0 + inner, y0 - outer):
            sheet.box(left, low, wide, outer - inner, "OUTLINE")
            _hatch(sheet, left, low, wide, outer - inner)
        sheet.text((left + wide / 2, y0 + outer + 1.0), str(i + 1), 2.5, align="centre")
    for seat in axle.seats:
        left, wide = x0 + seat.low * scale, (seat.high - seat.low) * scale
        inner, outer = seat.bore / 2 * scale, seat.od / 2 * scale
        for low in (y0 + inner, y0 - outer):
            sheet.box(left, low, wide, outer - inner, "STRIP")
            sheet.line((left, low), (left + wide, low + outer - inner), "STRIP")
            sheet.line((left, low + outer - inner), (left + wide, low), "STRIP")


def _hatch(sheet: Sheet, x: float, y: float, wide: float, high: float) -> None:
    """Draw thin lines at 45 degrees over a box."""
    pitch, at = 2.2, 1.1
    while at < wide + high:
        a = (x + min(at, wide), y + max(at - wide, 0.0))
        b = (x + max(at - high, 0.0), y + min(at, high))
        sheet.line(a, b, "BUTT")
        at += pitch
