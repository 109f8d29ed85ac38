"""The order on paper: what to buy, then how each bar is sawn, to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from frame3d.fabrication.ordering.order_list import Order, SawnPiece, TubeSection
from frame3d.fabrication.ordering.order_tables import purchases
from frame3d.fabrication.ordering.stock import Bar
from frame3d.fabrication.tube_facts import plain
from frame3d.paper import page_elements
from frame3d.paper.fonts import text_width, wrapped
from frame3d.paper.page_elements import MARGIN, PAD, SMALLEST, Column, Paper
from frame3d.paper.sheet import Sheet

STEP = 5.0
"""Height of a table's row [mm]."""
FEWEST = 3
"""Rows of a table that go to the next sheet together rather than be parted."""


def order_sheets(order: Order, paper: Paper) -> list[Sheet]:
    """Return the order on landscape sheets."""
    pages = _Pages(order, paper)
    _buy(pages, order)
    _saw(pages, order)
    return pages.finished()


class _Pages:
    """Sheets that are filled from the top; a new one is begun where a thing does not fit."""

    def __init__(self, order: Order, paper: Paper) -> None:
        self.order, self.paper = order, paper
        self.sheets: list[Sheet] = []
        self.headings: list[str] = []
        self.heading = "Order list"
        self.begin()

    def begin(self) -> None:
        """Begin a new sheet."""
        number = len(self.sheets) + 1
        self.headings.append(self.heading)
        title = f"{self.order.name}: order list"
        self.sheet = Sheet(f"order_list-{number}", title, self.paper.height, self.paper.width)
        self.sheets.append(self.sheet)
        self.floor = page_elements.caution(self.sheet) + 3.0
        self.y = self.sheet.height - MARGIN - 13.4 - 3.0
        """Where the next thing goes: below the heading, which is drawn last."""

    @property
    def width(self) -> float:
        """Width between the margins [mm]."""
        return self.sheet.width - 2 * MARGIN

    def need(self, height: float) -> None:
        """Begin a new sheet unless so much is left on this one [mm]."""
        if self.y - height < self.floor:
            self.begin()

    def title(self, text: str, below: float) -> None:
        """Set a title, on the same sheet as so much of what follows [mm]."""
        self.need(7.0 + below)
        self.sheet.text((MARGIN, self.y - 4.0), text, 3.6, bold=True)
        self.y -= 6.0

    def table(self, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> None:
        """Set a table, parted between rows where it has to be."""
        rest = list(rows)
        while rest:
            self.need(STEP * (1 + min(FEWEST, len(rest))))
            fits = max(1, int((self.y - self.floor) / STEP) - 1)
            page, rest = rest[:fits], rest[fits:]
            self.y = page_elements.table(self.sheet, MARGIN, self.y, columns, page, step=STEP) - 3.0

    def lines(self, text: str, size: float = 2.5) -> None:
        """Set a paragraph."""
        self.need(1.45 * size * (len(wrapped(text, self.width, size)) + 1))
        self.y = page_elements.paragraph(self.sheet, MARGIN, self.y - 2.0, text, self.width, size)

    def finished(self) -> list[Sheet]:
        """Return the sheets with their headings."""
        sizes = " · ".join(f"{size.quantity} × {size.name}" for size in self.order.sizes)
        frames = f"{self.order.frames} frame{'s' * (self.order.frames > 1)}"
        for number, (sheet, title) in enumerate(zip(self.sheets, self.headings, strict=True), 1):
            count = f"sheet {number} of {len(self.sheets)}"
            shown, _ = page_elements.fitted(sizes, self.width - 60.0, 3.1)
            page_elements.heading(sheet, f"{title}, {shown}", self.order.name, "lengths in mm",
                                  (frames, "", count))  # fmt: skip
        return self.sheets


def _buy(pages: _Pages, order: Order) -> None:
    """Set what to buy: tubes and bars, then other parts."""
    titles = _titles(pages.width, order)
    if titles != [size.name for size in order.sizes]:
        pairs = zip(titles, order.sizes, strict=True)
        pages.lines(" · ".join(f"{title}: {size.name}" for title, size in pairs), 2.9)
    for size in order.missing:
        pages.lines(f"! {size} could not be made and is not in this list.", 3.1)
    pages.title("Tubes and bars", STEP * 3)
    shares = (
        ("No.", 7, "left"), ("Buy", 9, "right"), ("Length", 27, "left"), ("Outside", 34, "left"),
        ("Wall", 26, "left"), ("Butts after cutting", 42, "left"), ("Material", 18, "left"),
        ("For", 56, "left"),
    )  # fmt: skip
    rows = []
    named: set[int] = set()
    for bought in purchases(order):
        section = bought.section
        how = (
            f"{bought.length:g} or longer" if section.plan is None else f"bar of {bought.length:g}"
        )
        what = (section.outside, section.wall, section.butts or "–", section.material)
        if section.number in named:  # a section is described once
            what = ("", "", "", "")
        named.add(section.number)
        rows.append((str(section.number), str(bought.count), how, *what, bought.uses,
                     *_counts(bought.counts(order))))  # fmt: skip
    pages.table(_columns(pages.width, shares, order), rows)
    trim = f", {order.trim:g} mm at either end of a bar unused" if order.trim else ""
    pages.lines(
        f"Columns at the right: pieces for each. Saw: {order.kerf:g} mm a cut{trim}. Lengths are the "
        "cut list's stock lengths: the cut length and 10 mm on either end, in whole 5 mm. Round tube "
        "of one wall is sawn from bars; what is butted, tapered or oval is a tube each, and its butts "
        "are counted from the ends after cutting. What is bent is as long as it is developed: add "
        "what the bender holds."
    )
    pages.y -= 2.0
    if order.parts:
        pages.title("Other parts", STEP * 3)
        part_shares = (
            ("Item", 46, "left"), ("Buy", 9, "right"), ("Size", 66, "left"), ("Standard", 24, "left"),
            ("Note", 68, "left"),
        )  # fmt: skip
        pages.table(
            _columns(pages.width, part_shares, order),
            [(part.what, str(sum(part.counts)), part.size, part.standard, part.note,
              *_counts(part.counts)) for part in order.parts],
        )  # fmt: skip
        pages.lines("The drawing of the part in hand goes before any size here.")


def _columns(width: float, shares: Sequence[tuple[str, float, str]], order: Order) -> list[Column]:
    """Return columns of these shares, and a narrow one for each size."""
    narrow = _narrow(width, order)
    scale = (width - narrow * len(order.sizes)) / sum(share for _, share, _ in shares)
    return [
        *(Column(title, share * scale, align) for title, share, align in shares),
        *(Column(title, narrow, "right") for title in _titles(width, order)),
    ]


def _narrow(width: float, order: Order) -> float:
    """Return the width of the column of a size [mm]."""
    return min(12.0, 0.35 * width / len(order.sizes))


def _titles(width: float, order: Order) -> list[str]:
    """Return the titles of the columns of sizes: numbers where names are too long for them."""
    names = [size.name for size in order.sizes]
    room = _narrow(width, order) - PAD - 0.8
    if all(text_width(name, SMALLEST, bold=True) <= room for name in names):
        return names
    return [f"F{i}" for i in range(1, len(names) + 1)]


def _counts(counts: Sequence[int]) -> list[str]:
    return [str(n) if n else "–" for n in counts]


def _saw(pages: _Pages, order: Order) -> None:
    """Set how each bar is sawn."""
    sawn = [section for section in order.sections if section.plan is not None]
    if not sawn:
        return
    pages.heading = "Saw list"
    pages.begin()
    pages.lines(
        "Behind the size, or the frame's name, stands its number: M 2 to 3 is for the second and third "
        "of size M."
    )
    longest = max(s.length for s in order.stock)
    for section in sawn:
        assert section.plan is not None
        plan = section.plan
        bars = f"{len(plan.bars)} bar{'s' * (len(plan.bars) > 1)}"
        pages.title(
            f"{section.number}  {section.title}: {bars}, {plan.claim} ({plan.method})", 15.0
        )
        for number, bar in enumerate(plan.bars, 1):
            _bar(pages, section, number, bar, longest)


def _bar(
    pages: _Pages, section: TubeSection, number: int, bar: Bar[SawnPiece], longest: float
) -> None:
    """Draw a bar to scale, groups of like pieces lettered, and say below what they are."""
    order = pages.order
    groups = list(_groups(bar.pieces))
    legend = " · ".join(f"{letter}: {said}" for letter, said, _ in groups)
    legend += f" · offcut {bar.offcut:z.1f}"
    left = MARGIN + 28.0
    room = pages.width - 28.0
    lines = wrapped(legend, room, 2.5)
    pages.need(9.2 + 3.6 * len(lines))
    sheet, y = pages.sheet, pages.y - 7.0
    scale = room / longest
    sheet.text((MARGIN, y + 0.9), f"{section.number}-{number}", 3.1, bold=True)
    sheet.text((MARGIN + 12.0, y + 0.9), f"{bar.length:g}", 2.7)
    sheet.box(left, y, bar.length * scale, 4.0, "OUTLINE")
    x = left + order.trim * scale
    for letter, _, pieces in groups:
        start = x
        for piece in pieces:
            sheet.fill([(x, y), (x + piece.length * scale, y), (x + piece.length * scale, y + 4.0),
                        (x, y + 4.0)], "BUTT")  # fmt: skip
            sheet.line((x + piece.length * scale, y), (x + piece.length * scale, y + 4.0), "CUT")
            x += (piece.length + order.kerf) * scale
        if x - start > text_width(letter, 2.6) + 0.4:
            sheet.text(((start + x) / 2, y + 4.7), letter, 2.6, align="centre")
    for i, line in enumerate(lines):
        sheet.text((left, y - 3.2 - 3.6 * i), line, 2.5)
    pages.y = y - 3.2 - 3.6 * len(lines)


def _groups(pieces: Sequence[SawnPiece]) -> Iterator[tuple[str, str, list[SawnPiece]]]:
    """Yield letter, words and pieces of each run of like pieces of a bar."""

    def alike(piece: SawnPiece) -> tuple[float, str, str]:
        return piece.length, piece.size, piece.tube

    for i, ((length, size, tube), run) in enumerate(groupby(pieces, key=alike)):
        same = list(run)
        bent = ", to be bent" if same[0].is_bent else ""
        letter = (chr(ord("a") + i // 26 - 1) if i >= 26 else "") + chr(ord("a") + i % 26)
        said = f"{len(same)} × {length:g} {plain(tube)}, {size} {_frames(same)}{bent}"
        yield letter, said, same


def _frames(pieces: Sequence[SawnPiece]) -> str:
    """Return the frames of pieces, e.g. ``1 to 12``; they are in order."""
    first, last = pieces[0].frame, pieces[-1].frame
    return f"{first}" if first == last else f"{first} to {last}"
