"""Fonts of PDF files, and the width of text.

A line is set in Helvetica, which every PDF reader has, where that has all of its characters
(Windows-1252). Else each character is set in the first of the embedded fonts that has it:

    DejaVu Sans      Latin, Greek, Cyrillic, and many more alphabets and signs
    Noto Sans SC     Chinese and Japanese
    Nanum Gothic     Korean

The files are parts of installed packages, which are not imported; reportlab embeds the characters
used. A sign that no font has, as most pictographs, is printed by its Unicode name: "(bicycle)".
A letter that no font has is printed as "?"; `lacking` says which. Letters stand in
the order of the text and are not joined: Arabic and the like are printed letter by letter.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from importlib.util import find_spec
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

# Package and file of each embedded font, by preference: regular, bold. Noto comes regular only.
_EMBEDDED = (
    ("matplotlib", "mpl-data/fonts/ttf/DejaVuSans.ttf", "mpl-data/fonts/ttf/DejaVuSans-Bold.ttf"),
    ("zhplot", "fonts/NotoSansSC-Regular.ttf", "fonts/NotoSansSC-Regular.ttf"),
    ("koreanize_matplotlib", "fonts/NanumGothic.ttf", "fonts/NanumGothicBold.ttf"),
)
# Marks that choose a look or join signs: nothing is printed for them.
_UNSEEN = frozenset("\u200b\u200c\u200d\ufe0e\ufe0f")


class Run(NamedTuple):
    """Characters of a line in one font, as they are printed."""

    font: str
    text: str


def runs(text: str, *, bold: bool = False) -> list[Run]:
    """Return a line of text as runs, each in one registered font."""
    if _windows_1252(text):
        return [Run("Helvetica-Bold" if bold else "Helvetica", text)]
    pairs = [pair for char in text if char not in _UNSEEN for pair in _set(char, bold)]
    return [
        Run(font, "".join(shown for _, shown in group))
        for font, group in groupby(pairs, key=lambda pair: pair[0])
    ]


def draw_text(
    canvas: Canvas, x: float, y: float, text: str, size: float, *, bold: bool = False
) -> None:
    """Draw a line of text from a point of its baseline to the right, all in points."""
    for font, shown in runs(text, bold=bold):
        canvas.setFont(font, size)
        canvas.drawString(x, y, shown)
        x += canvas.stringWidth(shown, font, size)


def lacking(text: str) -> list[str]:
    """Return a sentence for each character that no font has, in the order of the text."""
    if _windows_1252(text):
        return []
    fonts = [_registered(at, bold=False) for at in range(len(_EMBEDDED))]
    seen = [char for char in dict.fromkeys(text) if char not in _UNSEEN]
    return [
        f"no font of the PDF files has {char!r}; {_stand_in(char)} is printed in its place"
        for char in seen
        if not any(_has(font, char) for font in fonts)
    ]


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line of text, in the unit of its size."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(sum(stringWidth(run.text, run.font, size) for run in runs(text, bold=bold)))


def wrapped(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return text broken into lines no wider than `width`, in the unit of its size.

    Lines break at spaces, and before and after a Chinese, Japanese or Korean character. A word
    wider than the line stays whole.
    """
    lines: list[str] = []
    for gap, word in _words(text):
        longer = f"{lines[-1]}{gap}{word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _words(text: str) -> list[tuple[str, str]]:
    """Return the parts of a text that stay whole, each with what stands before it in a line."""
    words: list[tuple[str, str]] = []
    for spaced in text.split():
        gap, last = " ", ""
        for char in spaced:
            wide = unicodedata.east_asian_width(char) == "W"
            beside = wide and unicodedata.category(char)[0] == "L"
            if words and gap == "" and not (beside or last):
                words[-1] = (words[-1][0], words[-1][1] + char)
            else:
                words.append((gap, char))
            gap, last = "", char if beside else ""
    return words


def _set(char: str, bold: bool) -> list[tuple[str, str]]:
    """Return font and characters that print a character."""
    for at in range(len(_EMBEDDED)):
        font = _registered(at, bold=bold)
        if _has(font, char):
            return [(font, char)]
    return [(_registered(0, bold=bold), _stand_in(char))]


def _stand_in(char: str) -> str:
    """Return what is printed for a character that no font has."""
    letter = unicodedata.category(char)[0] in "LMN"
    return "?" if letter else f"({unicodedata.name(char, '?').lower()})"


def _windows_1252(text: str) -> bool:
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def _has(font: str, char: str) -> bool:
    from reportlab.pdfbase.pdfmetrics import getFont

    return ord(char) in getFont(font).face.charToGlyph


@cache
def _registered(at: int, *, bold: bool) -> str:
    """Register an embedded font with reportlab; return its name."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    package, *files = _EMBEDDED[at]
    spec = find_spec(package)
    assert spec is not None, "declared in pyproject.toml"
    assert spec.origin is not None, "an ordinary package"
    file = Path(spec.origin).parent / files[bold]
    registerFont(TTFont(file.stem, str(file)))
    return file.stem
