"""The order on paper: everything on it, nothing over anything else, as many sheets as it takes."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from frame3d.errors import OutputError
from frame3d.fabrication.ordering import write_order
from frame3d.fabrication.ordering.order_list import Order, order_of
from frame3d.fabrication.ordering.order_sheets import order_sheets
from frame3d.fabrication.ordering.order_tables import purchases
from frame3d.fabrication.ordering.stock import StockLength
from frame3d.paper.page_elements import MARGIN, PAPERS
from frame3d.paper.render import POINT, pdf
from tests.fabrication.crossing import crossed
from tests.fabrication.families import family, size
from tests.fabrication.samples import texts


def large() -> Order:
    """Sixty frames, of which one size could not be made."""
    bikes = [("S", size("S"), 30), ("a size of a long name", size("M"), 30)]
    return order_of(bikes, stock=[StockLength(3000.0), StockLength(1000.0)], missing=["L"], trim=15)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_purchase_and_part_is_listed(paper: str) -> None:
    order = order_of(family())
    buy, saw = order_sheets(order, PAPERS[paper])
    said = texts(buy)
    assert said[-1] == "sheet 1 of 2"
    assert "Order list, 2 × S · 1 × M" in said
    for bought in purchases(order):
        assert bought.uses in said
    for section in order.sections:  # described once, though of several lengths
        assert said.count(section.outside) == 1
    assert len(purchases(order)) > len(order.sections)
    for part in order.parts:
        assert part.what in said
    drawn = " ".join(texts(saw))
    assert "Saw list, 2 × S · 1 × M" in drawn
    for section in order.sections:
        assert (section.title in drawn) == (section.plan is not None)
    (down,) = (s for s in order.sections if s.pieces[0].tube == "down_tube")
    first, second = ({p.size: p.length for p in down.pieces}[name] for name in ("M", "S"))
    assert f"a: 1 × {first:g} down tube, M 1 · b: 1 × {second:g} down tube, S 1 · offcut" in drawn
    assert "brace, S 1 to 2 · b: 1 ×" in drawn


def test_bars_are_drawn_to_scale() -> None:
    order = order_of(family(), stock=[StockLength(2000.0), StockLength(1000.0)], kerf=3.0)
    sheet = order_sheets(order, PAPERS["A4"])[-1]
    scale = (sheet.width - 2 * MARGIN - 28.0) / 2000.0
    boxes, pieces = [], []
    for entity in sheet.entities():
        if entity.dxftype() == "LWPOLYLINE" and entity.dxf.layer == "OUTLINE":
            x = [p[0] for p in entity.get_points("xy")]
            boxes.append((max(x) - min(x)) / scale)
        if entity.dxftype() == "SOLID" and entity.dxf.layer == "BUTT":
            pieces.append((entity.dxf.vtx1.x - entity.dxf.vtx0.x) / scale)
    bars = [bar for s in order.sections if s.plan is not None for bar in s.plan.bars]
    assert boxes == pytest.approx([bar.length for bar in bars])
    assert pieces == pytest.approx([piece.length for bar in bars for piece in bar.pieces])


def test_a_large_order_takes_several_sheets_and_stays_legible() -> None:
    order = large()
    sheets = order_sheets(order, PAPERS["A4"])
    assert len(sheets) > 2
    assert "! L could not be made and is not in this list." in texts(sheets[0])
    for sheet in sheets:
        assert crossed(list(sheet.entities()), through=("BUTT",)) == []
    labels = {text for sheet in sheets for text in texts(sheet)}
    for section in order.sections:
        if section.plan is not None:
            wanted = {f"{section.number}-{i}" for i in range(1, len(section.plan.bars) + 1)}
            assert wanted <= labels
    with pdfplumber.open(io.BytesIO(pdf(sheets, "order"))) as read:
        for page in read.pages:
            words = page.extract_words(keep_blank_chars=True, x_tolerance=1.5, y_tolerance=1)
            boxes = np.array([(w["x0"], w["top"], w["x1"], w["bottom"]) for w in words])
            assert boxes[:, :2].min() > 5 * POINT
            assert boxes[:, 2].max() < float(page.width) - 7 * POINT
            assert boxes[:, 3].max() < float(page.height) - 5 * POINT
            shrunk = boxes + np.array([0.6, 1.6, -0.6, -1.6])
            for i, box in enumerate(shrunk):
                over = (shrunk[:, 0] < box[2]) & (box[0] < shrunk[:, 2])
                over &= (shrunk[:, 1] < box[3]) & (box[1] < shrunk[:, 3])
                over[i] = False
                assert not over.any(), [
                    words[i]["text"],
                    *(words[j]["text"] for j in over.nonzero()[0]),
                ]


def test_the_set_is_written_whole_and_the_same_each_time(tmp_path: Path) -> None:
    written = write_order(family(), tmp_path / "a")
    names = ["order_list.csv", "order_list.pdf", "saw_list.csv"]
    assert sorted(f.name for f in written.files) == names
    write_order(family(), tmp_path / "b")
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()
    with pytest.raises(OutputError):
        write_order(family(), tmp_path / "c", stock=[StockLength(100)])
    assert not (tmp_path / "c").exists()


def test_long_names_of_frames_are_numbered() -> None:
    """A column is too narrow for them; the list says once which is which."""
    first, second = "enduro_for_tall_riders", "trail_hardtail:M"
    order = order_of([(first, size("S"), 1), (second, size("M"), 2)])
    said = texts(order_sheets(order, PAPERS["A4"])[0])
    assert f"F1: {first} · F2: {second}" in said
    assert {"F1", "F2"} <= set(said)
