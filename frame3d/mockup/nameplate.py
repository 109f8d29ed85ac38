"""The name plate: the bike's name and the scale, engraved; it lies in a pocket that it fits one way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.mockup.letters import CAP, Line, outline, written
from frame3d.mockup.options import STROKE
from frame3d.mockup.part import Array
from frame3d.mockup.solid import around, circle, grown, hull, pressed

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

THICK: Final = 2.6
DEEP: Final = 0.8
"""Depth of the engraving [mm]."""
POCKET: Final = 1.4
"""Depth of the pocket that it lies in [mm]."""
TALL: Final = (5.0, 12.0)
"""Height of the name's capitals, at least and at most where there is room [mm]."""
SMALL: Final = 0.7
"""Height of the second line's capitals over the first's."""
LEAST: Final = 4.0
"""Smallest capitals with strokes of 0.8 that stay open [mm]; common practice, no source."""
MARGIN: Final = 3.6
"""Around the lines; between them a little less [mm]."""
KEY: Final = 4.0
"""Leg of the corner that is cut off, which lets the plate into its pocket one way [mm]."""
LEANS: Final = 55.0
"""Plate's lean backward [degrees]."""
LIP: Final = 2.0
"""Of the desk around the pocket [mm]."""


@dataclass(frozen=True, eq=False)
class Plate:
    """A plate in its own axes: u rightward about the middle, v up from the foot, n toward the reader."""

    width: float
    height: float
    outline: CrossSection
    solid: Manifold
    """In (u, v, n), n from its back."""
    missing: str
    """Characters that could not be engraved."""

    def pocket(self, clearance: float) -> Manifold:
        """What the desk leaves free for it."""
        return pressed(grown(self.outline, clearance), 0.0, 2 * THICK)

    def desk(self, at: Array, floor: float) -> Manifold:
        """A wedge that holds the plate, down to a floor; for a plate moved by (3, 4)."""
        half, low, high = self.width / 2 + LIP, -LIP, self.height + LIP
        top = np.array([(u, v, POCKET) for u in (-half, half) for v in (low, high)])
        upper = top @ at[:, :3].T + at[:, 3]
        foot = upper.copy()
        foot[:, 2] = floor
        return hull(np.vstack([upper, foot]))


def plate(name: str, ratio: str, widest: float) -> Plate | None:
    """A plate no wider than `widest`; None where nothing of the name can be engraved.

    A name that would come out too small takes two lines.
    """
    whole = written(name)
    if not whole.strokes:
        return None
    lines, tall = _set(
        name, whole, widest - 2 * MARGIN, float(np.clip(widest / 20, TALL[0], TALL[1]))
    )
    rows: list[tuple[Line, float]] = [(line, tall) for line in lines]
    rows.append((written(ratio), max(SMALL * tall, LEAST)))
    width = max(max(line.width * h / CAP for line, h in rows) + 2 * MARGIN, 30.0)
    above = max(lines[0].high - CAP, 0.0) * tall / CAP
    height = sum(h for _, h in rows) + (len(rows) + 1) * MARGIN * 0.8 + above
    face = _outline(width, height)
    solid = pressed(face, 0.0, THICK)
    v = height - MARGIN * 0.8 - above
    for line, h in rows:
        v -= h
        strokes = outline(line, h, STROKE).translate((-line.width * h / CAP / 2, v))
        solid -= pressed(strokes, THICK - DEEP, THICK + 1.0)
        v -= MARGIN * 0.8
    return Plate(width, height, face, solid, whole.missing)


def lying(top: Array, height: float) -> Array:
    """Motion of a plate's own axes to where it lies, facing the drive side: (3, 4).

    Args:
        top: middle of the upper edge of its back.
        height: of the plate.
    """
    lean = np.radians(LEANS)
    u = np.array([1.0, 0.0, 0.0])
    v = np.array([0.0, np.sin(lean), np.cos(lean)])
    return np.column_stack([u, v, np.cross(u, v), top - height * v])


def _outline(width: float, height: float) -> CrossSection:
    """Round corners, and one cut off."""
    corner, half = 2.0, width / 2
    ends = [
        circle(corner, -half + corner, corner),
        circle(corner, -half + corner, height - corner),
        circle(corner, half - corner, height - corner),
        np.array([(half, KEY), (half - KEY, 0.0)]),
    ]
    return around(*ends)


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
