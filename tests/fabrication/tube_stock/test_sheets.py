"""What each tube is cut from, on paper and as CSV."""

from __future__ import annotations

import csv
import io

from frame3d.bike.solve import solve
from frame3d.fabrication.tube_stock.choose import choose
from frame3d.fabrication.tube_stock.sheets import HEAD, stock_csv, stock_sheets
from frame3d.paper.page_elements import PAPERS
from frame3d.parameters.reading.reader import loads
from tests.fabrication.samples import SMALL, texts
from tests.fabrication.tube_stock.test_choose import facts, rack


def test_rows_are_whole_whether_a_stock_fits_or_none() -> None:
    stock = rack("od: 34.9, wall: 1.2, length: 500")
    made = choose(facts(), stock)
    rows = list(csv.DictReader(io.StringIO(stock_csv(made).decode().partition("#")[0])))
    assert tuple(rows[0]) == HEAD
    by_tube = {row["tube"]: row for row in rows}
    assert by_tube["seat_tube"]["stock"] == "T0"
    assert by_tube["down_tube"]["remark"].startswith("none fits: ")
    (sheet,) = stock_sheets(solve(loads(SMALL, "small.yaml")), made, stock, PAPERS["A4"])
    said = " ".join(texts(sheet))
    assert "none fits" in said
    assert "1 × T0" in said
