"""Tables: aligned columns, numbers without a minus before nothing, wide ones split."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.cli.tables import chunks, number, table

CELLS = st.text("abc–°1.5", max_size=8)


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[str], list[list[str]]]:
    wide = draw(st.integers(1, 7))
    row = st.lists(CELLS, min_size=wide, max_size=wide)
    return draw(row), draw(st.lists(row, max_size=4))


@settings(max_examples=80, deadline=None)
@given(tables(), st.integers(1, 3))
def test_columns_are_aligned_and_hold_their_cells(
    made: tuple[list[str], list[list[str]]], left: int
) -> None:
    head, rows = made
    lines = table(head, rows, left=left).split("\n")
    assert len(lines) == len(rows) + 2
    columns = [len(rule) for rule in lines[1].split("  ")] if any(map(any, (head, *rows))) else []
    if len(columns) != len(head):  # a column without a single letter has no rule
        return
    for line, cells in zip([lines[0], *lines[2:]], [head, *rows], strict=True):
        at = 0
        padded = line.ljust(sum(columns) + 2 * len(columns))
        for i, (width, cell) in enumerate(zip(columns, cells, strict=True)):
            room = padded[at : at + width]
            assert room.strip() == cell.strip()
            assert room == (cell.ljust(width) if i < left else cell.rjust(width))
            at += width + 2
        assert line == line.rstrip()


@settings(max_examples=80, deadline=None)
@given(tables(), st.integers(4, 40))
def test_a_wide_table_is_split_with_its_first_column_in_every_piece(
    made: tuple[list[str], list[list[str]]], width: int
) -> None:
    head = ["h0", *made[0]]
    body = [[f"r{i}", *row] for i, row in enumerate(made[1])]
    pieces = chunks(head, body, width).split("\n\n")
    widths = [max(len(row[i]) for row in (head, *body)) for i in range(len(head))]
    for piece in pieces:
        assert piece.startswith("h0")
        assert [line[:2] for line in piece.split("\n")[2:]] == [f"r{i}" for i in range(len(body))]
        longest = max(map(len, piece.split("\n")))
        assert longest <= width or longest <= widths[0] + 2 + max(widths[1:])
    assert len(pieces) <= len(head) - 1


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (None, "–"),
        (1.005, "1.00"),
        (-0.004, "0.00"),
        (0.0, "0.00"),
        (-12.345, "-12.35"),
        (2, "2.00"),
    ],
)
def test_a_number(value: float | None, shown: str) -> None:
    assert number(value) == shown


def test_a_number_with_its_sign() -> None:
    assert number(2.5, 1, sign=True) == "+2.5"
    assert number(-2.5, 0, sign=True) == "-2"
    assert number(0.0001, 1, sign=True) == "0.0"
