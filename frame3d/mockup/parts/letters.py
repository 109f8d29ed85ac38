"""An alphabet of single strokes on a grid of 4 by 6, for engraving."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.solid import area, around

if TYPE_CHECKING:
    from manifold3d import CrossSection


CAP: Final = 6.0
"""Height of a capital on the grid."""
SPACE: Final = 2.6
"""Width of a blank."""
APART: Final = 1.9
"""Gap between two letters."""

_O = "2,6 .8,5.6 0,4.4 0,1.6 .8,.4 2,0 3.2,.4 4,1.6 4,4.4 3.2,5.6 2,6"
_P = "0,0 0,6 2.6,6 3.6,5.5 4,4.5 3.6,3.5 2.6,2.9 0,2.9"
_C = "4,4.8 3.2,5.7 2,6 .8,5.6 0,4.4 0,1.6 .8,.4 2,0 3.2,.3 4,1.2"
_D = "0,0 0,6 1.9,6 3.3,5.3 4,4 4,2 3.3,.7 1.9,0 0,0"

GLYPHS: Final[dict[str, str]] = {
    "A": "0,0 2,6 4,0; .75,2.1 3.25,2.1",
    "B": "0,3.2 0,6 2.5,6 3.5,5.5 3.6,4.2 2.6,3.2 0,3.2 0,0 2.8,0 4,.8 4,2.4 2.6,3.2",
    "C": _C,
    "D": _D,
    "E": "4,6 0,6 0,0 4,0; 0,3.1 3.2,3.1",
    "F": "4,6 0,6 0,0; 0,3.1 3.2,3.1",
    "G": _C + " 4,2.8 2.4,2.8",
    "H": "0,0 0,6; 4,0 4,6; 0,3.1 4,3.1",
    "I": "0,0 0,6",
    "J": "0,1.4 .5,.4 1.5,0 2.6,.4 3.1,1.4 3.1,6",
    "K": "0,0 0,6; 4,6 0,2.4; 1.4,3.66 4,0",
    "L": "0,6 0,0 3.6,0",
    "M": "0,0 0,6 2.5,2.2 5,6 5,0",
    "N": "0,0 0,6 4,0 4,6",
    "O": _O,
    "P": _P,
    "Q": _O + "; 2.5,1.5 4.2,-.3",
    "R": _P + "; 2,2.9 4,0",
    "S": "3.9,4.9 3.1,5.8 2,6 .9,5.7 .2,4.8 .6,3.7 2,3.1 3.4,2.4 4,1.3 3.3,.3 2,0 .9,.2 0,1.1",
    "T": "0,6 4,6; 2,6 2,0",
    "U": "0,6 0,1.6 .8,.4 2,0 3.2,.4 4,1.6 4,6",
    "V": "0,6 2,0 4,6",
    "W": "0,6 1.4,0 2.8,5 4.2,0 5.6,6",
    "X": "0,0 4,6; 0,6 4,0",
    "Y": "0,6 2,3 4,6; 2,3 2,0",
    "Z": "0,6 4,6 0,0 4,0",
    "0": "1.8,6 .6,5.4 0,4 0,2 .6,.6 1.8,0 3,.6 3.6,2 3.6,4 3,5.4 1.8,6",
    "1": "0,4.5 1.6,6 1.6,0",
    "2": ".1,4.6 .7,5.6 1.8,6 3,5.6 3.6,4.6 3.2,3.4 0,0 3.8,0",
    "3": ".1,5.1 .9,5.8 1.9,6 3.1,5.6 3.5,4.6 3,3.6 1.5,3.2 3.2,2.7 3.8,1.6 3.2,.5 1.9,0 .8,.2 0,1",
    "4": "2.9,0 2.9,6 0,1.8 4,1.8",
    "5": "3.5,6 .5,6 .3,3.3 1.6,3.8 2.9,3.4 3.7,2.4 3.7,1.3 3,.3 1.8,0 .7,.2 0,1",
    "6": "3.4,5.4 2.4,6 1.2,5.4 .3,4 0,2.1 .6,.6 1.8,0 3.1,.6 3.7,1.9 3.1,3.2 1.8,3.7 .6,3.1 0,2.1",
    "7": "0,6 3.7,6 1.3,0",
    "8": "1.9,3.2 .6,3.8 .3,4.8 .8,5.7 1.9,6 3,5.7 3.5,4.8 3.2,3.8 1.9,3.2 .5,2.6 0,1.5 .6,.4 1.9,0 "
    "3.2,.4 3.8,1.5 3.3,2.6 1.9,3.2",
    "9": ".3,.6 1.3,0 2.5,.6 3.4,2 3.7,3.9 3.1,5.4 1.9,6 .6,5.4 0,4.1 .6,2.8 1.9,2.3 3.1,2.9 3.7,3.9",
    "-": "0,2.9 2.4,2.9", "_": "0,-.4 4,-.4", ".": "0,0", ",": "0,.3 -.4,-1",
    ":": "0,.6; 0,3.4", ";": "0,.6 -.4,-.8; 0,3.4", "'": "0,6 0,4.6", '"': "0,6 0,4.6; 1.4,6 1.4,4.6",
    "/": "0,-.4 3,6.4", "\\": "0,6.4 3,-.4", "|": "0,-.4 0,6.4", "(": "1.3,6.6 .2,5 .2,1 1.3,-.6",
    ")": "0,6.6 1.1,5 1.1,1 0,-.6", "[": "1.2,6.4 0,6.4 0,-.4 1.2,-.4",
    "]": "0,6.4 1.2,6.4 1.2,-.4 0,-.4", "<": "3,5.2 0,3 3,.8", ">": "0,5.2 3,3 0,.8",
    "+": "0,2.9 3.4,2.9; 1.7,1.2 1.7,4.6", "=": "0,2 3.2,2; 0,3.9 3.2,3.9",
    "*": "1.5,5.8 1.5,3; .3,5.1 2.7,3.7; .3,3.7 2.7,5.1", "!": "0,6 0,2.2; 0,0", "·": "0,2.9",
    "?": ".1,4.8 .9,5.8 2,6 3.2,5.4 3.4,4.3 1.9,3.1 1.9,2.2; 1.9,0", "×": "0,1.2 3,4.4; 0,4.4 3,1.2",
    "#": "1,0 1.6,6; 2.8,0 3.4,6; .2,2 4,2; .4,4 4.2,4", "°": ".8,6 0,5.2 .8,4.4 1.6,5.2 .8,6",
    "&": "4.2,0 .7,4.6 .9,5.6 1.8,6 2.7,5.6 2.8,4.6 .5,2.5 0,1.3 .6,.3 1.7,0 3,.6 4.2,2.4",
    "%": "0,0 4.4,6; .9,6 .1,5 .9,4 1.7,5 .9,6; 3.5,2 2.7,1 3.5,0 4.3,1 3.5,2",
    "@": "2.9,2 2.2,3.6 1.3,2.6 1.5,1.6 2.9,2 3.6,1.6 4.2,3 3.6,5 2,5.8 .5,4.8 0,2.8 .6,.8 2.2,0 3.8,.4",
    "Æ": "0,0 2.4,6 5.4,6; 2.7,6 2.7,0 5.4,0; .8,2.1 2.7,2.1; 2.7,3.1 4.9,3.1",
    "Ø": _O + "; .1,-.4 3.9,6.4",
    "Ł": "0,6 0,0 3.6,0; -.7,2.1 1.7,3.9",
    "Đ": _D + "; -.9,3.1 1.6,3.1",
    "Þ": "0,0 0,6; 0,4.8 2.6,4.8 3.8,4 3.8,2.2 2.6,1.4 0,1.4",
}  # fmt: skip
"""Strokes of each letter: polylines separated by semicolons; a single point is a dot."""

_OTHERS: Final = {
    "–": "-", "—": "-", "−": "-", "‐": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "Œ": "OE", "ẞ": "SS",
    "∕": "/", "⁄": "/", "Ð": "Đ",
}  # fmt: skip

MARKS: Final[dict[str, str]] = {
    "\u0300": "-.8,8.1 .4,7.1", "\u0301": ".8,8.1 -.4,7.1", "\u0302": "-1,7.1 0,8.1 1,7.1",
    "\u0303": "-1.1,7.2 -.5,7.8 .5,7.2 1.1,7.8", "\u0304": "-1.1,7.5 1.1,7.5",
    "\u0306": "-1,8 -.5,7.2 .5,7.2 1,8", "\u0307": "0,7.6", "\u0308": "-1,7.6; 1,7.6",
    "\u030a": "0,8.2 -.6,7.6 0,7 .6,7.6 0,8.2", "\u030b": "-.2,8.1 -1,7.1; 1.2,8.1 .4,7.1",
    "\u030c": "-1,8.1 0,7.1 1,8.1", "\u0327": "0,-.6 .5,-1.4 -.5,-1.8", "\u0328": "1,0 .6,-1 1.4,-1.5",
    "\u0326": "0,-.7 -.3,-1.7",
}  # fmt: skip
"""Strokes of accents, over the middle of a letter."""


@dataclass(frozen=True)
class TextLine:
    """A line of text as strokes on the grid."""

    strokes: tuple[Array, ...]
    """Polylines, each (n, 2) float; (1, 2) is a dot."""
    width: float
    low: float
    high: float
    """Lowest and highest point of any stroke."""
    missing: str
    """Characters that are not in the alphabet and are left out."""


def written(text: str) -> TextLine:
    """Return a text in capitals as strokes, starting at x = 0 on the baseline y = 0."""
    strokes: list[Array] = []
    x, width, missing, blank = 0.0, 0.0, "", True
    for char in _plain(text):
        if char in MARKS:
            if not blank:
                middle = x - APART - width / 2
                strokes += [stroke + np.array([middle, 0.0]) for stroke in _strokes(MARKS[char])]
            continue
        if char.isspace():
            x, blank = x + SPACE, True
            continue
        if char not in GLYPHS:
            missing += "" if char in missing else char
            continue
        drawn = _strokes(GLYPHS[char])
        width = max(float(stroke[:, 0].max()) for stroke in drawn)
        strokes += [stroke + np.array([x, 0.0]) for stroke in drawn]
        x, blank = x + width + APART, False
    if not strokes:
        return TextLine((), 0.0, 0.0, CAP, missing)
    every = np.vstack(strokes)
    return TextLine(
        tuple(strokes), float(every[:, 0].max()), min(float(every[:, 1].min()), 0.0),
        max(float(every[:, 1].max()), CAP), missing,
    )  # fmt: skip


def outline(line: TextLine, height: float, stroke: float) -> CrossSection:
    """Return strokes of width `stroke` as an area, capitals `height` tall between centre lines [mm]."""
    from manifold3d import CrossSection, OpType

    scale = height / CAP
    turn = 2 * np.pi * np.arange(16) / 16
    dot = stroke / 2 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    pieces = []
    for points in line.strokes:
        at = scale * points
        if len(at) == 1:
            pieces.append(area(dot + at[0]))
        pieces += [around(dot + a, dot + b) for a, b in pairwise(at)]
    if not pieces:
        return CrossSection()
    return CrossSection.batch_boolean(pieces, OpType.Add)


def _plain(text: str) -> str:
    """Return capitals, with each accent as a character after its letter."""
    capitals = text.upper()
    for other, plain in _OTHERS.items():
        capitals = capitals.replace(other, plain)
    return unicodedata.normalize("NFD", capitals)


def _strokes(text: str) -> list[Array]:
    return [
        np.array([[float(v) for v in point.split(",")] for point in polyline.split()])
        for polyline in text.split(";")
    ]
