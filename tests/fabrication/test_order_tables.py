"""The order as CSV and JSON: both read back to the order."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from dataclasses import replace

from frame3d.caution import CAUTION
from frame3d.fabrication.ordering.order_list import Order, SizeCount, order_of
from frame3d.fabrication.ordering.order_tables import (
    order_csv,
    order_document,
    purchases,
    saw_csv,
)
from frame3d.fabrication.ordering.stock import StockLength
from frame3d.formats.documents import dumps
from tests.fabrication.families import family


def rows(raw: bytes) -> list[dict[str, str]]:
    found = list(csv.DictReader(io.StringIO(raw.decode())))
    assert next(iter(found.pop().values())) == f"# {CAUTION}"
    return found


def order() -> Order:
    return order_of(family(), stock=[StockLength(1000.0), StockLength(2000.0, 1)])


def test_every_piece_is_bought_once() -> None:
    made = order()
    bought = purchases(made)
    assert sum(len(one.pieces) for one in bought) == 15
    for one in bought:
        assert sum(one.counts(made)) == len(one.pieces)
        if one.section.plan is None:
            assert one.count == len(one.pieces)
            assert {piece.length for piece in one.pieces} == {one.length}
        else:
            assert one.count == sum(b.length == one.length for b in one.section.plan.bars)
    tops = [one for one in bought if one.uses == "top tube"]
    assert [one.counts(made) for one in tops] == [(0, 1), (2, 0)]  # the longer one first
    assert tops[0].length > tops[1].length


def test_the_csv_says_what_to_buy() -> None:
    made = order()
    table = rows(order_csv(made))
    (down,) = (row for row in table if row["item"] == "down tube" and row["length_mm"] == "2000")
    assert (down["buy"], down["kind"], down["outside_mm"]) == ("1", "bar", "38.1")
    tubes = [row for row in table if row["kind"] in ("tube", "bar")]
    assert sum(int(row["pieces for S"]) for row in tubes) == 10
    parts = [row for row in table if row["kind"] == "part"]
    assert len(parts) == len(made.parts)
    for row in parts:
        assert int(row["buy"]) == int(row["pieces for S"]) + int(row["pieces for M"])
    assert order_csv(made).isascii()


def test_a_sizes_name_is_no_formula() -> None:
    made = order()
    bad = replace(made, sizes=(SizeCount("=1+1", 2), SizeCount("@M", 1)))
    cells = next(csv.reader(io.StringIO(order_csv(bad).decode())))
    assert not any(cell.startswith(("=", "@", "+", "-")) for cell in cells)


def test_the_saw_list_has_every_piece_and_every_offcut() -> None:
    made = order()
    table = rows(saw_csv(made))
    pieces = [row for row in table if row["tube"] != "offcut"]
    wanted = [p for s in made.sections for p in s.pieces]
    assert Counter(
        (r["size"], r["tube"], r["frame"], float(r["length_mm"])) for r in pieces
    ) == Counter((p.size, p.tube, str(p.frame), p.length) for p in wanted)
    sums: dict[tuple[str, str], float] = {}
    for row in table:
        if row["bar"]:
            at = (row["section"], row["bar"])
            sums[at] = sums.get(at, 0.0) + float(row["length_mm"]) + (2.0 if row["piece"] else 0.0)
            assert sums[at] <= float(row["bar_length_mm"]) + 1e-9
    bars = [bar for s in made.sections if s.plan is not None for bar in s.plan.bars]
    assert len(sums) == len(bars)
    assert sorted(sums.values()) == sorted(bar.length for bar in bars)  # offcuts and cuts fill them


def test_the_document_is_plain_data() -> None:
    made = order()
    document = json.loads(dumps(order_document(made)))
    assert document["sizes"] == [{"size": "S", "quantity": 2}, {"size": "M", "quantity": 1}]
    assert document["stock"][0] == {"length": 2000, "count": 1}
    lists = [
        tube["pieces"] if not tube["from_bars"] else [p for b in tube["bars"] for p in b["pieces"]]
        for tube in document["tubes"]
    ]
    assert sum(map(len, lists)) == 15
    for part in document["parts"]:
        assert part["count"] == sum(part["by_size"].values())
    assert document["caution"] == CAUTION
    assert all("claim" in tube for tube in document["tubes"] if tube["from_bars"])
