"""Sheets as PDF and SVG: true to the millimetre, one like the other, and as the DXF says."""

from __future__ import annotations

import io
import re
from itertools import pairwise

import numpy as np
import pdfplumber
import pypdfium2
import pytest

from frame3d.caution import CAUTION
from frame3d.paper.page_elements import MARGIN
from frame3d.paper.render import pdf, svg
from frame3d.paper.sheet import LAYER, Sheet
from tests.paper.samples import POINT, page


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


def mark(width: float, height: float) -> Sheet:
    """A page with one of each shape, each alone in its tenth of the page."""
    sheet = Sheet("m", "Marks", width, height)
    sheet.line((10, 10), (20, 14), "CUT")
    sheet.path([(30, 10), (34, 18), (40, 12)], "OUTLINE", closed=True)
    sheet.circle((60, 15), 5.0, "STRIP")
    sheet.arc((80, 15), 5.0, 300.0, 60.0, "CENTRE")  # through 0°
    sheet.arc((100, 15), 5.0, 20.0, 340.0, "CENTRE")  # the long way round
    sheet.fill([(110, 10), (120, 10), (115, 18)], "DIMENSION")
    sheet.fill([(130, 10), (140, 10), (140, 18), (130, 18)], "DIMENSION")
    return sheet


BOXES = {  # x from, to; y from, to: by hand, arcs by cosine and sine of their ends
    "line": (10, 20, 10, 14),
    "path": (30, 40, 10, 18),
    "circle": (55, 65, 10, 20),
    "short arc": (82.5, 85, 15 - 5 * 0.75**0.5, 15 + 5 * 0.75**0.5),
    "long arc": (95, 100 + 5 * np.cos(np.radians(20)), 10, 20),
    "triangle": (110, 120, 10, 18),
    "quadrangle": (130, 140, 10, 18),
}


def test_every_shape_of_a_pdf_covers_what_it_should() -> None:
    """The inked part of the rendered page around each shape, to the width of its lines."""
    image = (
        pypdfium2.PdfDocument(pdf([mark(210.0, 100.0)], "t"))[0].render(scale=300 / 72).to_numpy()
    )
    px = 300 / 25.4
    ink = image[:, :, 0] < 200
    for name, (x0, x1, y0, y1) in BOXES.items():
        left = round((x0 - 4) * px)
        part = ink[: round(96 * px), left : round((x1 + 4) * px)]
        rows, columns = part.any(axis=1).nonzero()[0], part.any(axis=0).nonzero()[0]
        found = ((columns[0] + left) / px, (columns[-1] + 1 + left) / px,
                 100 - (rows[-1] + 1) / px, 100 - rows[0] / px)  # fmt: skip
        assert found == pytest.approx((x0, x1, y0, y1), abs=0.3), name
    filled = ink[round(83 * px) : round(89 * px), round(131 * px) : round(139 * px)]
    assert filled.all()


def test_svg_arcs_go_the_way_round_that_is_meant() -> None:
    """SVG 1.1 section 8.3.8: large-arc-flag 1 for more than 180°; sweep-flag 0 is anticlockwise on a
    page whose y runs down (value from memory).
    """
    text = svg(mark(210.0, 100.0)).decode()
    arcs = re.findall(r'd="M([\d.]+) ([\d.]+)A5 5 0 ([01]) ([01]) ([\d.]+) ([\d.]+)"', text)
    assert [(large, sweep) for _, _, large, sweep, _, _ in arcs] == [("0", "0"), ("1", "0")]
    x0, y0, _, _, x1, y1 = (float(n) for n in arcs[0])
    assert (x0, y0) == pytest.approx((82.5, 85 + 5 * 0.75**0.5), abs=1e-5)
    assert (x1, y1) == pytest.approx((82.5, 85 - 5 * 0.75**0.5), abs=1e-5)


def test_svg_groups_are_the_layers_that_are_drawn_on() -> None:
    text = svg(mark(210.0, 100.0)).decode()
    groups = re.findall(
        r'<g id="(\w+)" stroke="#\w{6}" stroke-width="([\d.]+)"( stroke-dash)?', text
    )
    assert {name for name, _, _ in groups} == {"CUT", "OUTLINE", "STRIP", "CENTRE", "DIMENSION"}
    for name, weight, dashed in groups:
        assert float(weight) == LAYER[name].weight
        assert bool(dashed) == bool(LAYER[name].dashes)


def test_text_is_escaped_in_svg() -> None:
    sheet = Sheet("m", "a < b & c", 100.0, 100.0)
    sheet.text((10, 10), "<script>&", 3.0, align="right", turn=90.0)
    text = svg(sheet).decode()
    assert "<title>a &lt; b &amp; c</title>" in text
    assert ">&lt;script&gt;&amp;</text>" in text
    assert 'text-anchor="end"' in text
    assert 'transform="rotate(-90 10 90)"' in text


def test_pages_of_a_pdf_keep_their_own_sizes_and_order() -> None:
    sheets = [mark(210.0, 100.0), page("Letter"), mark(420.0, 297.0)]
    read = pypdfium2.PdfDocument(pdf(sheets, "t"))
    sizes = [tuple(side / POINT for side in part.get_size()) for part in read]
    assert sizes == [pytest.approx((s.width, s.height), abs=1e-3) for s in sheets]
