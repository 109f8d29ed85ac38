"""Rows of text as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from frame3d.caution import CAUTION

PLAIN = str.maketrans({"×": "x", "°": " deg", "Ø": "dia ", "–": "-"})
"""Signs that spreadsheets get wrong where they do not ask for the encoding."""


def csv_bytes(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Return a header, rows of as many cells, and the caution in a last row of its own: UTF-8, and plain
    ASCII as far as the file's own names and notes are.
    """
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(head)
    writer.writerows(rows)
    writer.writerow([f"# {CAUTION}", *[""] * (len(head) - 1)])
    return stream.getvalue().translate(PLAIN).encode("utf-8")
