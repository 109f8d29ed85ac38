"""Rows of text as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from frame3d.caution import CAUTION

PLAIN = str.maketrans({"×": "x", "°": " deg", "Ø": "dia ", "–": "-"})
"""Characters that spreadsheets misread if they assume another encoding, and their replacements."""


def csv_bytes(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Return CSV with a header, rows of as many cells, and the caution as the last row.

    UTF-8; only ASCII as far as names and notes of the parameter file are.
    """
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(head)
    writer.writerows(rows)
    writer.writerow([f"# {CAUTION}", *[""] * (len(head) - 1)])
    return stream.getvalue().translate(PLAIN).encode("utf-8")
