"""The set-up sheet: sag, pressures or coils over riders' masses, volume reducers, on paper of A5."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.paper import page_elements
from frame3d.paper.fonts import wrapped
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.render import pdf
from frame3d.paper.sheet import Sheet
from frame3d.parameters.models.frame import FrameSpec
from frame3d.report.ride_sections.springs import (
    STEPS,
    end_name,
    length,
    measured_said,
    riders_cells,
    riders_head,
    riders_title,
    share,
    times,
)
from frame3d.report.texts import Texts
from frame3d.ride.springs.of_bike import Springs
from frame3d.ride.springs.set_up import EndSetUp

FILE: Final = "set_up_sheet.pdf"
A5: Final = Paper("A5", 148.0, 210.0)
"""ISO 216."""
GAP: Final = 6.0
"""Space between what stands side by side [mm]."""
STEPS_OF_ROWS: Final = (4.25, 3.9, 3.55)
"""Heights of a table's row [mm]: the first at which all is on one page."""
NAME: Final = 3.3
"""Size of the bike's name [mm]."""
WORDS: Final = 2.3
"""Size of explanations [mm]."""
MASS: Final = 13.0
"""Width of the column of masses [mm]."""


def set_up_sheet(spec: FrameSpec, springs: Springs | None, texts: Texts) -> bytes | None:
    """Return the sheet as PDF; None where no spring is given, or no rider to set it up for.

    Args:
        spec: the file, for the bike's name with its size and settings.
        springs: of the bike.
        texts: of the sheet's language.
    """
    sheets = set_up_pages(spec, springs, texts)
    if not sheets:
        return None
    return pdf(sheets, f"{spec.title}: {texts('springs.sheet_page.name')}")


def set_up_pages(spec: FrameSpec, springs: Springs | None, texts: Texts) -> list[Sheet]:
    """Return the pages of the sheet: one, or two where the reducers need one of their own."""
    if springs is None or not any(end.rows for end in springs.ends):
        return []
    for step in STEPS_OF_ROWS:
        page = _Page(spec, springs, texts, 1, step)
        page.facts()
        page.riders()
        if page.y - page.reducers_height() - page.words_height() >= page.floor:
            page.reducers()
            page.words()
            return [page.sheet]
    page = _Page(spec, springs, texts, 1, STEPS_OF_ROWS[0])
    page.facts()
    page.riders()
    page.words()
    second = _Page(spec, springs, texts, 2, STEPS_OF_ROWS[0])
    second.reducers()
    return [page.sheet, second.sheet]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where an end's columns stand."""

    end: EndSetUp
    left: float
    width: float


class _Page:
    """A page that is filled from the top."""

    def __init__(
        self, spec: FrameSpec, springs: Springs, texts: Texts, number: int, step: float
    ) -> None:
        self.springs, self.texts, self.step = springs, texts, step
        title = texts("springs.sheet_page.title")
        self.sheet = Sheet(f"set_up_sheet-{number}", f"{spec.title}: {title}", A5.width, A5.height)
        self.left, self.width = MARGIN, A5.width - 2 * MARGIN
        self._heading(spec, title)
        self.floor = page_elements.caution(self.sheet) + 1.5

    def _heading(self, spec: FrameSpec, title: str) -> None:
        """Draw title, rider, the bike's name, and its size and settings below."""
        sheet, right = self.sheet, self.left + self.width
        top = sheet.height - MARGIN
        sheet.text((self.left, top - 5.0), title, 6.0, bold=True)
        rider = f"{self.springs.rider_kg:g} kg"
        sheet.text((right, top - 5.0), rider, 6.0, align="right", bold=True)
        y = top - 10.2
        for line in (*self._named(spec.name), spec.variants.label):
            if line:
                shown, size = page_elements.fitted(line, self.width, NAME)
                sheet.text((self.left, y), shown, size)
                y -= 4.3
        self.y = y + 1.8
        sheet.line((self.left, self.y), (right, self.y), "FRAME")
        self.y -= 2.0

    def _named(self, name: str) -> Sequence[str]:
        """Return the bike's name on one line or two; where that is not enough, it is shortened."""
        lines = wrapped(name, self.width, NAME)
        return lines if len(lines) <= 2 else [name]

    def _places(self, left: float, width: float, ends: Sequence[EndSetUp]) -> list[_Place]:
        """Return the columns of ends that share a width."""
        each = (width - GAP * (len(ends) - 1)) / len(ends)
        return [_Place(end, left + i * (each + GAP), each) for i, end in enumerate(ends)]

    def facts(self) -> None:
        """Set sag, and pressure or coil, of each end."""
        places = self._places(self.left, self.width, self.springs.ends)
        lowest = self.y
        for place in places:
            y = self.y - 4.4
            self.sheet.text((place.left, y), end_name(place.end, self.texts), 3.6, bold=True)
            for big, small in self._values(place.end):
                y -= 6.4
                self.sheet.text((place.left, y), big, 5.0, bold=True)
                shown, size = page_elements.fitted(small, place.width, 2.6)
                self.sheet.text((place.left, y - 3.7), shown, size)
                y -= 3.7
            lowest = min(lowest, y)
        self.y = lowest - 3.4
        for end in self.springs.ends:
            said = measured_said(end, self.texts)
            if said is not None:
                self.y = page_elements.paragraph(
                    self.sheet, self.left, self.y - 1.2, said, self.width, WORDS
                )

    def _values(self, end: EndSetUp) -> Iterator[tuple[str, str]]:
        """Yield what is set: a value, and what stands below it."""
        texts = self.texts
        if end.sag is not None:
            yield (
                texts("springs.sheet_page.sag", stroke=length(end, end.sag.stroke, texts)),
                texts(
                    "springs.sheet_page.sag_under",
                    share=share(end.sag, texts),
                    full=texts.quantity(end.full_stroke, "mm", 1 if end.full_stroke % 1 else 0),
                    on=texts(f"springs.{end.end}.on"),
                    travel=texts.quantity(end.sag.travel, "mm", 0),
                ),
            )
        if end.pressure_bar is not None:
            above = end.highest_pressure_bar is not None and (
                end.pressure_bar > end.highest_pressure_bar
            )
            mark = f", {texts('springs.riders.above')}" if above else ""
            yield (
                texts("springs.fact.air_value", bar=texts.number(end.pressure_bar, 1)),
                texts.quantity(end.pressure_psi, "psi", 0) + mark,
            )
        elif end.rate_n_mm is not None:
            yield (
                texts("springs.fact.coil_value", pounds=end.rate_lb_in),
                texts.quantity(end.rate_n_mm, "N/mm", 1),
            )

    def riders(self) -> None:
        """Set the table over riders' masses, both ends beside one column of masses."""
        ends = [end for end in self.springs.ends if end.rows]
        places = self._places(self.left + MASS, self.width - MASS, ends)
        y = self.y - 4.6
        for place in places:
            shown, size = page_elements.fitted(
                riders_title(place.end, self.texts), place.width, 3.0, bold=True
            )
            self.sheet.text((place.left + 2.4, y), shown, size, bold=True)
        top = y - 1.4
        columns = [Column(self.texts("springs.sheet_page.kg"), MASS, "right")]
        for i, place in enumerate(places):
            columns += self._columns(place, after=GAP if i < len(places) - 1 else 0.0)
        rows = [self._row(i, ends) for i in range(len(ends[0].rows))]
        own = next(i for i, row in enumerate(ends[0].rows) if row.own)
        self._shade(top, own)
        self.y = page_elements.table(
            self.sheet, self.left, top, columns, rows, step=self.step, size=0.64 * self.step
        )
        limits = [
            f"! {end_name(end, self.texts)}: "
            + self.texts("springs.fact.above", limit=f"{end.highest_pressure_bar:g}")
            for end in ends
            if any(row.above_limit for row in end.rows)
        ]
        if limits:
            self.y = (
                page_elements.paragraph(
                    self.sheet, self.left, self.y - 3.2, "   ".join(limits), self.width, WORDS
                )
                + 1.6
            )

    def _columns(self, place: _Place, after: float) -> list[Column]:
        """Return the columns of one end, with so much space behind them [mm]."""
        head = riders_head(place.end, self.texts)
        if len(head) == 1:
            return [Column(head[0], place.width + after)]
        if place.end.kind == "air":
            mark = 6.0
            each = (place.width - mark) / 2
            return [
                Column(head[0], each, "right"),
                Column(head[1], each, "right"),
                Column("", mark + after),
            ]
        return [Column(head[0], 17.0), Column(head[1], place.width - 17.0 + after)]

    def _row(self, at: int, ends: Sequence[EndSetUp]) -> list[str]:
        cells = [f"{ends[0].rows[at].rider_kg:g}"]
        for end in ends:
            row = end.rows[at]
            cells += riders_cells(end, row, self.texts)
            if end.kind == "air" and len(riders_head(end, self.texts)) > 1:
                cells.append("!" if row.above_limit else "")
        return cells

    def _shade(self, top: float, row: int, left: float | None = None, width: float = 0.0) -> None:
        """Shade a row of the table that begins at `top` [mm]."""
        x = self.left if left is None else left
        wide = self.width if left is None else width
        low = top - self.step * (row + 2)
        corners = [(x, low), (x + wide, low), (x + wide, low + self.step), (x, low + self.step)]
        self.sheet.fill(corners, "BUTT")

    def reducers_height(self) -> float:
        """Return how much room the tables over volume reducers need [mm]."""
        rows = max(len(end.reducers) for end in self.springs.ends)
        return 6.0 + self.step * (1 + rows) + 6.8 if rows else 0.0

    def reducers(self) -> None:
        """Set the tables over volume reducers side by side; nothing where no spring takes any."""
        ends = [end for end in self.springs.ends if end.reducers]
        if not ends:
            return
        lowest = self.y
        for place in self._places(self.left, self.width, ends):
            y = self.y - 4.6
            shown, size = page_elements.fitted(
                self.texts("springs.reducers.title", end=end_name(place.end, self.texts)),
                place.width,
                3.0,
                bold=True,
            )
            self.sheet.text((place.left, y), shown, size, bold=True)
            top = y - 1.4
            shares = (0.16, 0.18, 0.18, 0.23, 0.25)
            columns = [
                Column(title, place.width * part, "right" if i else "left")
                for i, (title, part) in enumerate(zip(self._reducers_head(), shares, strict=True))
            ]
            for i, row in enumerate(place.end.reducers):
                if row.fitted:
                    self._shade(top, i, place.left, place.width)
            rows = [
                [
                    str(row.reducer_count),
                    self.texts.number(row.pressure_bar, 1) + ("!" if row.above_limit else ""),
                    self.texts.number(row.pressure_psi, 0),
                    times(row.deep_load_multiple, self.texts),
                    times(row.end_load_multiple, self.texts),
                ]
                for row in place.end.reducers
            ]
            low = page_elements.table(
                self.sheet, place.left, top, columns, rows, step=self.step, size=0.62 * self.step
            )
            lowest = min(lowest, low)
        self.y = page_elements.paragraph(
            self.sheet, self.left, lowest - 3.4, self.texts("springs.sheet_page.times"), self.width,
            WORDS,
        ) + 1.0  # fmt: skip

    def _reducers_head(self) -> tuple[str, ...]:
        texts = self.texts
        return (
            texts("springs.sheet_page.count"),
            texts("springs.riders.bar"),
            texts("springs.riders.psi"),
            texts("springs.sheet_page.deep"),
            texts("springs.sheet_page.end"),
        )

    def _lines(self) -> list[str]:
        """Return what must be said, a paragraph each."""
        texts = self.texts
        lines = [f"{i}. {texts(f'springs.how.{step}')}" for i, step in enumerate(STEPS, 1)]
        return [*lines, texts("springs.sheet_page.setting")]

    def _more_lines(self) -> list[str]:
        """Return what is said where there is room."""
        if not any(end.reducers for end in self.springs.ends):
            return []
        return [self.texts("springs.reducers.says")]

    def words_height(self) -> float:
        """Return how much room the explanations need [mm]."""
        lines = sum(len(wrapped(line, self.width, WORDS)) for line in self._lines())
        return 6.0 + 1.45 * WORDS * lines

    def words(self) -> None:
        """Set how sag is measured, more where there is room, and lines to fill in."""
        y = self.y - 4.4
        self.sheet.text((self.left, y), self.texts("springs.how.title"), 3.0, bold=True)
        y -= 3.8
        for line in (*self._lines(), *self._more_lines()):
            if y - 1.45 * WORDS * len(wrapped(line, self.width, WORDS)) < self.floor - 3.0:
                break
            y = page_elements.paragraph(self.sheet, self.left, y, line, self.width, WORDS)
        self.y = y
        self._to_fill_in()

    def _to_fill_in(self) -> None:
        """Set lines for what was measured in the end, where there is room."""
        texts, y = self.texts, self.y - 6.0
        if y < self.floor:
            return
        fields = [
            f"{end_name(end, texts)}  {unit}"
            for end in self.springs.ends
            for unit in ("mm", *(("bar",) if end.kind == "air" else ()))
        ]
        fields.append(texts("springs.sheet_page.date"))
        self.sheet.text((self.left, y), texts("springs.sheet_page.measured"), 2.6, bold=True)
        start = self.left + 18.0
        each = (self.left + self.width - start) / len(fields)
        for i, field in enumerate(fields):
            left, right = start + i * each, start + (i + 1) * each - 3.0
            self.sheet.line((left, y - 0.8), (right, y - 0.8), "TABLE")
            self.sheet.text((right, y - 3.6), field, 2.2, align="right")
