"""The name plate: the bike's name and the scale, engraved; two unequal tabs let it into the stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.mockup.letters import CAP, Line, outline, written
from frame3d.mockup.options import STROKE
from frame3d.mockup.part import Array
from frame3d.mockup.solid import area, around, circle, grown, pressed

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

THICK: Final = 3.0
DEEP: Final = 0.8
"""Depth of the engraving [mm]."""
TALL: Final = (5.0, 12.0)
"""Height of the name's capitals, at least and at most where there is room [mm]."""
SMALL: Final = 0.7
"""Height of the second line's capitals over the first's."""
LEAST: Final = 4.0
"""Smallest capitals with strokes of 0.8 that stay open [mm]; common practice, no source."""
MARGIN: Final = 3.6
TAB: Final = 3.2
"""Length of a tab below the plate [mm]."""
TABS: Final = (0.13, 0.22)
"""Widths of the left and the right tab over the plate's."""
SUNK: Final = 0.4
"""Front edge of the plate's foot below the shelf [mm]."""
LEANS: Final = 25.0
"""Plate's lean backward [degrees]."""


@dataclass(frozen=True, eq=False)
class Plate:
    """A plate standing on z = 0 of its own axes: u rightward, v up, n toward the reader."""

    width: float
    height: float
    solid: Manifold
    """In (u, v, n), u about the middle, v from the plate's foot, n from its back."""
    tabs: tuple[tuple[float, float], ...]
    """From and to along u."""
    missing: str
    """Characters that could not be engraved."""

    def slots(self, clearance: float) -> list[Manifold]:
        """What the stand leaves free for the plate's foot and its tabs, open above."""
        spans = (*((*tab, -TAB) for tab in self.tabs), (-self.width / 2, self.width / 2, 0.0))
        return [
            pressed(grown(_box(low, high, foot, 20.0), clearance), -clearance, THICK + clearance)
            for low, high, foot in spans
        ]


def plate(name: str, ratio: str, widest: float) -> Plate | None:
    """A plate no wider than `widest`; None where nothing of the name can be engraved.

    A name that would come out too small takes two lines.
    """
    whole = written(name)
    if not whole.strokes:
        return None
    lines, tall = _set(name, whole, widest - 2 * MARGIN, float(np.clip(widest / 20, *TALL)))
    rows: list[tuple[Line, float]] = [(line, tall) for line in lines]
    rows.append((written(ratio), max(SMALL * tall, LEAST)))
    width = max(max(line.width * h / CAP for line, h in rows) + 2 * MARGIN, 30.0)
    above = max(lines[0].high - CAP, 0.0) * tall / CAP
    height = sum(h for _, h in rows) + (len(rows) + 1) * MARGIN * 0.8 + above + 1.2
    corner = 2.0
    face = around(
        *(
            circle(corner, x * (width / 2 - corner), y)
            for x in (-1, 1)
            for y in (0.0, height - corner)
        )
    ) - area(np.array([(-width, -9.0), (width, -9.0), (width, 0.0), (-width, 0.0)]))
    spans = ((-0.42 * width, (-0.42 + TABS[0]) * width), ((0.42 - TABS[1]) * width, 0.42 * width))
    for low, high in spans:
        face += _box(low, high, -TAB, 1.0)
    solid = pressed(face, 0.0, THICK)
    v = height - MARGIN * 0.8 - above - 0.6
    for line, h in rows:
        v -= h
        strokes = outline(line, h, STROKE).translate((-line.width * h / CAP / 2, v))
        solid -= pressed(strokes, THICK - DEEP, THICK + 1.0)
        v -= MARGIN * 0.8
    return Plate(width, height, solid, spans, whole.missing)


def _set(name: str, whole: Line, room: float, most: float) -> tuple[list[Line], float]:
    """The name in one line or two, and the height of its capitals."""
    tall = min(most, room / whole.width * CAP)
    words = name.split()
    if tall >= LEAST or len(words) < 2:
        return [whole], max(tall, 1.0)
    best = min(
        (
            [written(" ".join(words[:i])), written(" ".join(words[i:]))]
            for i in range(1, len(words))
        ),
        key=lambda pair: max(line.width for line in pair),
    )
    best = [line for line in best if line.strokes]
    return best, min(most, room / max(line.width for line in best) * CAP)


def standing(foot: Array) -> Array:
    """Motion of a plate's own axes to where its foot stands in a shelf, facing the drive side: (3, 4).

    `foot` is the middle of the plate's back on the shelf; the whole foot is let in.
    """
    lean = np.radians(LEANS)
    foot = foot - np.array([0.0, 0.0, SUNK + THICK * np.sin(lean)])
    u = np.array([1.0, 0.0, 0.0])
    v = np.array([0.0, np.sin(lean), np.cos(lean)])
    return np.column_stack([u, v, np.cross(u, v), foot])


def _box(left: float, right: float, low: float, high: float) -> CrossSection:
    return area(np.array([(left, low), (right, low), (right, high), (left, high)]))
