"""Tables of plain text for terminals."""

from __future__ import annotations

from collections.abc import Sequence


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1) -> str:
    """Return aligned columns, the first `left` to the left, others to the right; no final newline."""
    widths = [
        max(len(row[i]) for row in (head, *rows)) if rows or head[i] else len(head[i])
        for i in range(len(head))
    ]

    def line(row: Sequence[str]) -> str:
        cells = [
            cell.ljust(width) if i < left else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        return "  ".join(cells).rstrip()

    rule = "  ".join("-" * width for width in widths)
    return "\n".join([line(head), rule, *(line(row) for row in rows)])


def number(value: float | None, decimals: int = 2, *, sign: bool = False) -> str:
    """Return a number for a table; a dash where there is none."""
    if value is None:
        return "–"
    text = f"{value:{'+' if sign else ''}.{decimals}f}"
    # No minus sign for a value that is rounded to 0.
    return text.lstrip("+-") if float(text) == 0 else text


def chunks(head: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> str:
    """Return a wide table split into several no wider than `width`, with the first column repeated."""
    sizes = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    pieces: list[str] = []
    first = 1
    while first < len(head):
        last = first
        used = sizes[0]
        while last < len(head) and (last == first or used + 2 + sizes[last] <= width):
            used += 2 + sizes[last]
            last += 1
        pick = [0, *range(first, last)]
        pieces.append(table([head[i] for i in pick], [[row[i] for i in pick] for row in rows]))
        first = last
    return "\n\n".join(pieces)
