"""The bench order on paper, with a box to sign for each step, and as CSV."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.bike.bike import Bike
from frame3d.fabrication.bench.steps import Step
from frame3d.fabrication.bench.words import CAUTIONS, PRACTICE
from frame3d.fabrication.lists import csv_bytes
from frame3d.paper import page_elements
from frame3d.paper.fonts import wrapped
from frame3d.paper.page_elements import MARGIN, Paper
from frame3d.paper.sheet import Sheet

SIZE, LINE, GAP = 2.75, 3.7, 2.3
"""Size of text, distance of its lines, and room around them in a row [mm]."""
NUMBER, SIGNED, BOX = 9.0, 30.0, 3.4
"""Widths of the columns for the number and the signature, and size of the box to tick [mm]."""
WHAT = 0.6
"""Share of the rest that the step's text has; its sizes have the other."""


def bench_csv(steps: Sequence[Step]) -> bytes:
    """Return the steps as CSV."""
    head = ("step", "phase", "what", "size", "standing", "signed")
    rows = [(str(i), s.phase, s.what, s.size, s.standing, "") for i, s in enumerate(steps, 1)]
    return csv_bytes(head, rows)


def bench_sheets(bike: Bike, steps: Sequence[Step], paper: Paper) -> list[Sheet]:
    """Return the steps on as many sheets as they take, the cautions on the first."""
    pages = _Pages(bike, paper)
    pages.cautions()
    phase = ""
    for number, step in enumerate(steps, 1):
        begins = step.phase != phase
        phase = step.phase
        pages.step(number, step, phase if begins else None)
    return pages.finished(len(steps), {step.standing for step in steps})


class _Pages:
    """Sheets that are filled from the top; a new one is begun where a step does not fit."""

    def __init__(self, bike: Bike, paper: Paper) -> None:
        self.bike, self.paper = bike, paper
        self.sheets: list[Sheet] = []
        self._begin()

    def _begin(self) -> None:
        title = f"{self.bike.spec.title}: bench order"
        name = f"bench_order-{len(self.sheets) + 1}"
        self.sheet = Sheet(name, title, self.paper.width, self.paper.height)
        self.sheets.append(self.sheet)
        self.floor = page_elements.caution(self.sheet) + 8.0
        self.width = self.sheet.width - 2 * MARGIN
        self.y = self.sheet.height - MARGIN - 13.4 - 3.0

    def cautions(self) -> None:
        """Set where the work can hurt, in a frame."""
        lines = [line for text in CAUTIONS for line in wrapped(text, self.width - 8.0, SIZE)]
        height = LINE * (len(lines) + 1) + 4.0
        self.sheet.box(MARGIN, self.y - height, self.width, height, "FRAME")
        y = self.y - 4.6
        self.sheet.text((MARGIN + 4.0, y), "Where the work can hurt", 3.2, bold=True)
        for line in lines:
            y -= LINE
            self.sheet.text((MARGIN + 4.0, y), line, SIZE)
        self.y -= height + 2.0

    def step(self, number: int, step: Step, title: str | None) -> None:
        """Set a step, below the name of its phase where it is the first of it."""
        room = self.width - NUMBER - SIGNED
        what = wrapped(step.what, room * WHAT - 3.0, SIZE)
        size = wrapped(step.size, room * (1 - WHAT) - 3.0, SIZE) if step.size else []
        height = LINE * max(len(what), len(size)) + GAP
        if self.y - height - (7.0 if title else 0.0) < self.floor:
            self._begin()
            title = step.phase if title else f"{step.phase}, continued"
        sheet = self.sheet
        if title:
            sheet.text((MARGIN, self.y - 5.4), title, 3.2, bold=True)
            self.y -= 7.0
            sheet.line((MARGIN, self.y), (MARGIN + self.width, self.y), "STRIP")
        base = self.y - LINE - 0.1
        sheet.text((MARGIN + NUMBER - 3.0, base), str(number), SIZE, align="right")
        for i, line in enumerate(what):
            sheet.text((MARGIN + NUMBER, base - LINE * i), line, SIZE)
        for i, line in enumerate(size):
            sheet.text((MARGIN + NUMBER + room * WHAT, base - LINE * i), line, SIZE)
        right = MARGIN + self.width
        sheet.box(right - SIGNED + 2.0, base - 0.6, BOX, BOX, "STRIP")
        sheet.line((right - SIGNED + 8.0, base - 0.6), (right, base - 0.6), "DIMENSION")
        self.y -= height
        sheet.line((MARGIN, self.y), (right, self.y), "TABLE")

    def finished(self, count: int, standings: set[str]) -> list[Sheet]:
        """Return the sheets with heading and foot."""
        spec, many = self.bike.frame.spec, len(self.sheets)
        process = None if spec.bench is None else spec.bench.process
        below = "a box and a signature for each step, sizes in mm"
        if process is not None:
            below = f"{process.replace('_', '-')}; {below}"
        said = f"Steps without a size of the file, and their order: {PRACTICE}."
        if any(standing.startswith("bench.order") for standing in standings):
            said = f"Order of joints: the builder's own. All else that is no size: {PRACTICE}."
        for i, sheet in enumerate(self.sheets, 1):
            if many == 1:
                sheet.name = "bench_order"
            page_elements.heading(
                sheet, "Bench order", self.bike.spec.title, below,
                (f"{count} steps", "", f"sheet {i} of {many}"),
            )  # fmt: skip
            sheet.text((MARGIN, self.floor - 4.5), said, 2.5, layer="CAUTION")
        return self.sheets
