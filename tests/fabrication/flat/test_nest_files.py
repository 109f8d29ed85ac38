"""Files of nested parts."""

from __future__ import annotations

import io
from dataclasses import replace

import pdfplumber
import pytest
import shapely

from frame3d.fabrication.flat.nest import Stock, nests_of
from frame3d.fabrication.flat.nest_files import nest_dxf, nest_sheets, nested_files
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.flat.samples import gusset, own_plate, read, ring, strip

PARTS = [own_plate(), replace(gusset(), count=5), replace(strip(), count=3)]
STOCK = Stock(300, 200)


def test_a_dxf_and_a_pdf_for_each_thickness_and_material() -> None:
    files, nests = nested_files(PARTS, STOCK, "A bike", PAPERS["A4"])
    assert set(files) == {f"nested_{t}mm_4130.{end}" for t in (4, 5) for end in ("dxf", "pdf")}
    for nest in nests:
        with pdfplumber.open(io.BytesIO(files[f"{nest.name}.pdf"])) as made:
            assert len(made.pages) == len(nest.sheets)
    assert files == nested_files(PARTS, STOCK, "A bike", PAPERS["A4"])[0]


def test_nothing_overlaps_in_the_file() -> None:
    """As ezdxf reads it: every edge in a sheet of its own, none over another, areas as the parts'."""
    for nest in nests_of(PARTS, STOCK):
        doc = read(nest_dxf(nest, "A bike"))
        assert not doc.audit().errors
        sheets = [ring(e) for e in doc.modelspace() if e.dxf.layer == "SHEET"]
        assert len(sheets) == len(nest.sheets)
        cut = [ring(e) for e in doc.modelspace()
               if e.dxf.layer == "CUT" and e.dxftype() == "LWPOLYLINE"]  # fmt: skip
        pieces = [piece for sheet in nest.sheets for piece in sheet.pieces]
        edges = [r for r in cut if not any(o.contains(r) for o in cut if o is not r)]
        assert len(edges) == len(pieces)
        assert all(sum(sheet.contains(edge) for sheet in sheets) == 1 for edge in edges)
        union = shapely.unary_union(edges)
        assert union.area == pytest.approx(sum(p.outline.outer.area for p in pieces), rel=1e-6)
        marked = [
            e.dxf.text for e in doc.modelspace() if e.dxf.layer == "MARK" and e.dxftype() == "TEXT"
        ]
        assert len(marked) == len(pieces)
        said = " ".join(e.dxf.text for e in doc.modelspace() if e.dxf.layer == "NOTE")
        assert "rectpack" in said
        assert "Kerf is left to the shop" in said


def test_the_page_is_legible() -> None:
    for nest in nests_of(PARTS, STOCK):
        for sheet in nest_sheets(nest, "A bike", PAPERS["A4"]):
            assert crossed(sheet.entities(), through=()) == []
            assert any("no claim about strength" in line for line in sheet.texts())
