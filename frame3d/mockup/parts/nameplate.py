"""The name plate: name and scale, engraved; it fits its pocket in one orientation only."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import takewhile
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.options import STROKE
from frame3d.mockup.parts.letters import CAP, TextLine, outline, written
from frame3d.mockup.solid import around, circle, grown, hull, pressed

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

THICK: Final = 2.6
DEEP: Final = 0.8
"""Depth of the engraving [mm]."""
POCKET: Final = 1.4
"""Depth of the pocket that it lies in [mm]."""
TALL: Final = (5.0, 12.0)
"""Least and largest height of the name's capitals, where there is room [mm]."""
SMALL: Final = 0.7
"""Height of the scale's capitals as a share of the name's."""
LEAST: Final = 4.0
"""Smallest capitals with strokes of 0.8 that stay open [mm]; common practice, no source."""
ROWS: Final = 3
"""Largest number of lines of the name."""
MARGIN: Final = 3.6
"""Margin around the lines; a little less between them [mm]."""
KEY: Final = 4.0
"""Leg of the corner that is cut off to give the plate one orientation [mm]."""
LEANS: Final = (55.0, 62.0, 69.0, 76.0, 83.0)
"""Backward tilts of the plate, tried in turn until it hides nothing [degrees]."""
LIP: Final = 2.5
"""Width of the desk around the pocket [mm]."""


@dataclass(frozen=True, eq=False)
class Nameplate:
    """A plate in its axes: u to the right from the middle, v up from the foot, n toward the reader."""

    width: float
    height: float
    outline: CrossSection
    solid: Manifold
    """The plate in (u, v, n), with n = 0 at its back."""
    missing: str
    """Characters that could not be engraved."""
    left: str
    """The rest of the name, for which there is no room."""

    def pocket(self, clearance: float) -> Manifold:
        """Return the pocket for the plate."""
        return pressed(grown(self.outline, clearance), 0.0, 2 * THICK)

    def desk(self, at: Array, floor: float) -> Manifold:
        """Return a wedge down to a floor that holds the plate at a motion (3, 4)."""
        half, low, high = self.width / 2 + LIP, -LIP, self.height + LIP
        top = np.array([(u, v, POCKET) for u in (-half, half) for v in (low, high)])
        upper = top @ at[:, :3].T + at[:, 3]
        foot = upper.copy()
        foot[:, 2] = floor
        return hull(np.vstack([upper, foot]))


def plate(name: str, ratio: str, widest: float) -> Nameplate | None:
    """Return a plate no wider than `widest` [mm]; None where no character can be engraved.

    A name whose letters would be too small is set in several lines, at most `ROWS`.
    """
    room = widest - 2 * MARGIN
    texts, left = lines_of(name, room / LEAST * CAP)
    lines = [line for line in map(written, texts) if line.strokes]
    if not lines:
        return None
    # Several lines together are no taller than one line may be, so that the desk stays below the bike.
    most = min(float(np.clip(widest / 20, TALL[0], TALL[1])), max(TALL[1] / len(lines), LEAST))
    tall = min(most, room / max(line.width for line in lines) * CAP)
    rows: list[tuple[TextLine, float]] = [(line, tall) for line in lines]
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
    missing = "".join(dict.fromkeys("".join(line.missing for line in map(written, texts))))
    return Nameplate(
        width=width, height=height, outline=face, solid=solid, missing=missing, left=left
    )


def lean_of(height: float, most: float) -> float:
    """Return the first of `LEANS` at which a plate on its desk is no higher than `most`, else the last.

    Args:
        height: of the plate [mm].
        most: largest height above the base [mm].
    """
    proud = THICK - POCKET
    return next((lean for lean in LEANS if desk_height(height, lean) + proud <= most), LEANS[-1])


def desk_height(height: float, lean: float) -> float:
    """Return the height of a plate's desk above the base, at a tilt [mm and degrees]."""
    return (height + 2 * LIP) * float(np.cos(np.radians(lean))) + 1.0


def lying(top: Array, height: float, tilt: float) -> Array:
    """Return the motion from a plate's axes to its place, facing the drive side: (3, 4).

    Args:
        top: middle of the upper edge of its back.
        height: of the plate.
        tilt: its backward tilt [degrees].
    """
    lean = np.radians(tilt)
    u = np.array([1.0, 0.0, 0.0])
    v = np.array([0.0, np.sin(lean), np.cos(lean)])
    return np.column_stack([u, v, np.cross(u, v), top - height * v])


def _outline(width: float, height: float) -> CrossSection:
    """Return the outline: a rectangle with round corners and one corner cut off."""
    corner, half = 2.0, width / 2
    ends = [
        circle(corner, -half + corner, corner),
        circle(corner, -half + corner, height - corner),
        circle(corner, half - corner, height - corner),
        np.array([(half, KEY), (half - KEY, 0.0)]),
    ]
    return around(*ends)


def lines_of(name: str, widest: float) -> tuple[list[str], str]:
    """Return lines no wider than `widest` on the letters' grid, as even as possible, and the rest."""
    words = name.split()
    lines, rest = _broken(words, widest)
    if rest or len(lines) < 2:
        return lines, rest
    low, high = max(written(word).width for word in words), widest
    for _ in range(8):
        middle = (low + high) / 2
        found, rest = _broken(words, middle)
        if rest or len(found) > len(lines):
            low = middle
        else:
            lines, high = found, middle
    return lines, ""


def _broken(words: list[str], widest: float) -> tuple[list[str], str]:
    """Return at most `ROWS` lines, each as full as possible, and the rest; long words are broken."""
    lines: list[str] = []
    rest = list(words)
    while rest and len(lines) < ROWS:
        count = _most((" ".join(rest[: i + 1]) for i in range(len(rest))), widest)
        if count > 0:
            lines.append(" ".join(rest[:count]))
            rest = rest[count:]
        else:
            word = rest[0]
            cut = max(_most((word[: i + 1] for i in range(len(word))), widest), 1)
            lines.append(word[:cut])
            rest[0] = word[cut:]
    return lines, " ".join(rest)


def _most(texts: Iterable[str], widest: float) -> int:
    """Return how many of successively longer texts are no wider than `widest`."""
    return sum(1 for _ in takewhile(lambda text: written(text).width <= widest, texts))
