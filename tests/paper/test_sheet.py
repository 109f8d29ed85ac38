"""Sheets as DXF, SVG and PDF: true to the millimetre in each, and readable by others."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from itertools import pairwise

import ezdxf
import numpy as np
import pdfplumber
import pypdfium2
import pytest

from frame3d.caution import CAUTION
from frame3d.paper import page_elements
from frame3d.paper.fonts import text_width
from frame3d.paper.page_elements import MARGIN, PAPERS, SMALLEST, Column, fitted
from frame3d.paper.render import pdf, svg
from frame3d.paper.sheet import LAYERS, Sheet
from tests.fabrication.crossing import crossed

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


def test_dxf_is_read_again_without_errors_in_millimetres() -> None:
    doc = ezdxf.read(io.StringIO(page().dxf().decode()))  # type: ignore[attr-defined]
    auditor = doc.audit()
    assert not auditor.errors
    assert not auditor.fixes
    assert doc.dxfversion == "AC1024"  # R2010
    assert doc.units == ezdxf.units.MM  # type: ignore[attr-defined]
    names = {layer.dxf.name for layer in doc.layers}
    assert {layer.name for layer in LAYERS} <= names
    assert {e.dxf.layer for e in doc.modelspace()} <= {layer.name for layer in LAYERS}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_pdf_page_has_the_papers_own_size(paper: str) -> None:
    # ISO 216: 210 × 297 mm; Letter: 8.5 × 11 in.
    expected = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    with pdfplumber.open(io.BytesIO(pdf([page(paper)], "t"))) as read:
        assert read.pages[0].width / POINT == pytest.approx(expected[0], abs=1e-3)
        assert read.pages[0].height / POINT == pytest.approx(expected[1], abs=1e-3)


def test_the_ruler_and_the_square_are_true_in_the_pdf() -> None:
    with pdfplumber.open(io.BytesIO(pdf([page()], "t"))) as read:
        lines = [line for line in read.pages[0].lines if abs(line["top"] - line["bottom"]) < 1e-6]
        widths = [(line["x1"] - line["x0"]) / POINT for line in lines]
        assert any(width == pytest.approx(100.0, abs=1e-3) for width in widths)
        ticks = sorted(
            {round(line["x0"] / POINT, 4) for line in read.pages[0].lines
             if abs(line["x1"] - line["x0"]) < 1e-6 and line["bottom"] - line["top"] < 15}
        )  # fmt: skip
        steps = [b - a for a, b in pairwise(ticks)]
        assert len(ticks) == 101
        assert all(step == pytest.approx(1.0, abs=1e-3) for step in steps)
        boxes = [*read.pages[0].rects, *read.pages[0].curves]
        assert any(
            (b["x1"] - b["x0"]) / POINT == pytest.approx(50.0, abs=1e-3)
            and (b["bottom"] - b["top"]) / POINT == pytest.approx(50.0, abs=1e-3)
            for b in boxes
        )


def test_rendered_at_300_dpi_the_ruler_is_1181_pixels() -> None:
    image = pypdfium2.PdfDocument(pdf([page()], "t"))[0].render(scale=300 / 72).to_numpy()
    dark = image[:, :, 0] < 128
    px = 300 / 25.4
    row = dark[round((297.0 - 40.0 - 1.0) * px)]  # 1 mm above the ruler's line, across its ticks
    right = row[round((MARGIN + 53.0) * px) :].nonzero()[0]  # past the square
    runs = np.split(right, np.flatnonzero(np.diff(right) > 1) + 1)
    centres = [float(run.mean()) for run in runs]
    assert len(centres) == 101
    assert centres[-1] - centres[0] == pytest.approx(1181, abs=1)  # 100 mm × 300 / 25.4


def test_svg_is_one_to_one() -> None:
    text = svg(page()).decode()
    assert 'width="210mm" height="297mm" viewBox="0 0 210 297"' in text
    xs = [float(x) for x in re.findall(r'<path d="M([\d.]+) 257L\1 25[\d.]+"', text)]
    assert xs[0] == pytest.approx(MARGIN + 56.0)
    assert xs[-1] - xs[0] == pytest.approx(100.0)


def test_pdf_and_svg_say_what_the_dxf_says() -> None:
    sheet = page()
    wanted = sorted(e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT")
    with pdfplumber.open(io.BytesIO(pdf([sheet], "t"))) as read:
        text = "".join(c["text"] for c in read.pages[0].chars)
    for line in wanted:
        assert line.replace(" ", "") in text.replace(" ", "")
    found = re.findall(r">([^<]+)</text>", svg(sheet).decode())
    assert sorted(found) == wanted
    assert CAUTION.split(".")[0] in text


def test_text_fits_where_it_is_said_to() -> None:
    # Helvetica's own widths (Adobe font metrics): every digit is 556/1000 em.
    assert text_width("0123456789", 10.0) == pytest.approx(55.6)


def test_a_line_that_is_too_wide_becomes_smaller_then_shorter() -> None:
    assert fitted("head tube", 50.0, 3.0) == ("head tube", 3.0)
    text = "lug rear pivot chainstay link"
    wide = text_width(text, 3.0)
    assert fitted(text, 0.8 * wide, 3.0) == (text, pytest.approx(2.4))
    for share in (0.7, 0.4, 0.1):
        shown, size = fitted(text, share * wide, 3.0, after=" · mm")
        assert size == SMALLEST
        assert shown.endswith(" · mm")
        first, last = shown.removesuffix(" · mm").split("…")
        assert text.startswith(first)
        assert text.endswith(last)
        assert text_width(shown, size) <= share * wide or shown == "… · mm"
    assert fitted(text, 5.0, 2.0)[1] == 2.0  # never larger than asked


def test_a_long_name_in_a_heading_leaves_its_line_and_the_right_alone() -> None:
    sheet = Sheet("check", "A check", 210.0, 297.0)
    below = "mitre template 1:1 · wrap with the print outside"
    page_elements.heading(sheet, "Top tube " * 9, "Велосипед " * 8, below, ("31.8 mm, wall 0.8",))
    assert crossed(sheet.entities(), through=()) == []
    assert any(e.dxf.text.endswith(below) for e in sheet.entities() if e.dxftype() == "TEXT")


def test_the_same_bytes_every_time_and_in_every_process() -> None:
    script = (
        "import hashlib\nfrom tests.paper.test_sheet import page\n"
        "from frame3d.paper.render import pdf, svg\n"
        "s = page()\ns.text((9, 9), 'Ωμέγα Ž', 3.0)\n"
        "print(hashlib.sha256(s.dxf() + svg(s) + pdf([s], 't')).hexdigest())"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", script],
            capture_output=True,
            text=True,
            check=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "4", "9")  # sets in three orders
    }
    assert len(runs) == 1
