"""Fonts of PDF files, and the width of text."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line of text, in the unit of its size."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    name = face(text, bold=bold)
    return float(stringWidth(printable(text, name), name, size))


def wrapped(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return text broken into lines no wider than `width`, in the unit of its size."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def face(text: str, *, bold: bool = False) -> str:
    """Return the font for a line: Helvetica, which every PDF reader has, or DejaVu Sans.

    DejaVu Sans is embedded, for text with characters outside Helvetica's set (Windows-1252).
    """
    plain = "Helvetica-Bold" if bold else "Helvetica"
    return plain if printable(text, plain) == text else _wide(bold)


def printable(text: str, name: str) -> str:
    """Return text with characters that a font lacks replaced by question marks."""
    from reportlab.pdfbase.pdfmetrics import getFont

    if name.startswith("Helvetica"):
        return text.encode("cp1252", "replace").decode("cp1252")
    known = getFont(name).face.charToGlyph
    return "".join(letter if ord(letter) in known else "?" for letter in text)


@cache
def _wide(bold: bool) -> str:
    """Register DejaVu Sans with reportlab; return its name. The file is matplotlib's, not imported."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    name = "DejaVuSans-Bold" if bold else "DejaVuSans"
    spec = find_spec("matplotlib")
    assert spec is not None, "declared in pyproject.toml"
    assert spec.origin is not None, "an ordinary package"
    file = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / f"{name}.ttf"
    registerFont(TTFont(name, str(file)))
    return name
