"""Rows of text as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from frame3d.caution import CAUTION

PLAIN = str.maketrans({"·": " ", "×": "x", "°": " deg", "Ø": "dia ", "–": "-"})
"""Characters that spreadsheets misread if they assume another encoding, and their replacements."""

_NUMBER = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")


def csv_bytes(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A header, rows of as many cells, and the caution in a last row of its own: UTF-8, and plain
    ASCII as far as the file's own names and notes are. No cell begins as a formula does.
    """
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(head)
    writer.writerows([_harmless(_plain(cell)) for cell in row] for row in rows)
    writer.writerow([f"# {CAUTION}", *[""] * (len(head) - 1)])
    return _plain(stream.getvalue()).encode("utf-8")


def _plain(text: str) -> str:
    """Return a text without the characters of `PLAIN`."""
    return text.replace("/°", "/deg").translate(PLAIN)


def _harmless(cell: str) -> str:
    """A cell's text behind an apostrophe where spreadsheets would take it for a formula.

    See OWASP, "CSV Injection": cells that begin with = + - @, tab or carriage return. Numbers stay.
    """
    begins = cell.lstrip()[:1]
    if begins and (begins in "=+-@" or cell[0] in "\t\r") and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell
