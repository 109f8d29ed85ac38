"""CSV: read back as it was, by another reader; formulas are in tests/hardening."""

from __future__ import annotations

import csv
import io

from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.caution import CAUTION
from frame3d.fabrication.lists import PLAIN, csv_bytes

CELLS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=12)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=4))
def test_rows_come_back_with_the_caution_behind_them(rows: list[tuple[str, str, str]]) -> None:
    raw = csv_bytes(("a", "b °", "c"), rows).decode("utf-8")
    head, *body, last = csv.reader(io.StringIO(raw, newline=""))
    assert head == ["a", "b  deg", "c"]
    assert last == [f"# {CAUTION}", "", ""]
    assert len(body) == len(rows)
    for cells, found in zip(rows, body, strict=True):
        for cell, read in zip(cells, found, strict=True):
            assert read.removeprefix("'") == cell.translate(PLAIN).removeprefix("'")
            assert read.lstrip()[:1] not in ("=", "@")


def test_lines_end_as_rfc_4180_says() -> None:
    raw = csv_bytes(("a",), [("1",)])
    assert raw.startswith(b"a\r\n1\r\n")
    assert raw.isascii()
