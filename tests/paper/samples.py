"""A page with everything on it."""

from __future__ import annotations

from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, PAPERS, Column
from frame3d.paper.sheet import Sheet

POINT = 72 / 25.4


def page(paper: str = "A4") -> Sheet:
    size = PAPERS[paper]
    sheet = Sheet("check", "A check", size.width, size.height)
    page_elements.heading(sheet, "Check", "A bike", "below", ("right", "again"))
    page_elements.checks(sheet, MARGIN, 40.0)
    page_elements.table(
        sheet, MARGIN, 200.0, [Column("a", 30.0), Column("b", 20.0, "right")], [("x", "1")]
    )
    sheet.arc((100.0, 150.0), 20.0, 30.0, 300.0, "CUT")
    sheet.circle((100.0, 150.0), 5.0, "PHANTOM")
    sheet.fill([(10, 100), (20, 100), (20, 110), (10, 110)], "DIMENSION")
    sheet.text((50.0, 120.0), "Ø 31.8 × 0.9 – 72.5°", 3.0, turn=30.0, align="centre", bold=True)
    page_elements.caution(sheet)
    return sheet
