r"""Nest parts on as many print plates as needed; parts may lie in the gaps of others.

Outlines are rasterised to a grid of `CELL`. A part goes to the free place nearest to the front left
corner at which its cells meet no taken ones:

      y  . . . . . . . . . .
         . . . . . B B B B .        A, B: cells of parts already placed
         . . . . . B . . B .        C: the new part in a gap; it is also tried turned by `TURNS`
         A A A A A B C C B .
         A A A A A B C C B .
         '------------------- x
      front left corner
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.mockup.options import EDGE, Bed
from frame3d.solids.mesh import Mesh

if TYPE_CHECKING:
    from manifold3d import CrossSection

Grid = Mask

CELL: Final = 1.0
"""Side of a cell of the grid [mm]."""
APART: Final = 4.0
"""Distance between two parts on a plate, seen from above [mm]; common practice, no source."""
TURNS: Final = (0, 90, 180, 270, 45, 135, 30, 60, 120, 150, 15, 75, 105, 165)
"""Angles about z at which a part is tried, in this order [degrees]."""


@dataclass(frozen=True, eq=False)
class Laid:
    """A part in its print pose, with its outline from above."""

    name: str
    colour: str
    turn: Array
    """Rotation from the model's axes to the plate's: (3, 3)."""
    shadow: CrossSection
    """The part projected onto the plate [mm]."""
    height: float
    """Height over the plate [mm]."""


@dataclass(frozen=True, eq=False)
class NestedPart:
    """A part's place on its plate: a rotation about z, then a translation."""

    name: str
    angle: float
    """Rotation [degrees]."""
    shift: tuple[float, float]
    """Translation (x, y) from the plate's front left corner [mm]."""


@dataclass(frozen=True, eq=False)
class PlateOf:
    """One plate with its parts."""

    number: int
    colours: tuple[str, ...]
    items: tuple[NestedPart, ...]


def laid(name: str, colour: str, mesh: Mesh, turn: Array) -> Laid:
    """Return a part in the pose that a rotation (3, 3) gives it, with its lowest point at z = 0."""
    from frame3d.mockup.solid import closed

    vertices = mesh.vertices @ turn.T
    vertices = vertices - (0.0, 0.0, vertices[:, 2].min())
    solid = closed(Mesh(vertices, mesh.triangles))
    return Laid(name, colour, turn, solid.project().simplify(0.02), float(vertices[:, 2].max()))


def fits(part: Laid, bed: Bed) -> bool:
    """Return whether a part alone fits the bed at one of `TURNS`."""
    if part.height > bed[2]:
        return False
    hull = part.shadow.hull()
    for angle in TURNS:
        low_x, low_y, high_x, high_y = hull.rotate(angle).bounds()
        if high_x - low_x <= bed[0] - 2 * EDGE and high_y - low_y <= bed[1] - 2 * EDGE:
            return True
    return False


def packed(parts: Sequence[Laid], bed: Bed, mixed: bool) -> tuple[PlateOf, ...]:
    """Place all parts on plates: large ones first, each on the first plate with room (first fit).

    Args:
        parts: all parts; each must fit the bed alone (`fits`).
        bed: width, depth and height [mm].
        mixed: whether parts of several colours may share a plate; else each plate has one colour.
    """
    groups: dict[str, list[Laid]] = {}
    for part in parts:
        groups.setdefault("" if mixed else part.colour, []).append(part)
    plates: list[PlateOf] = []
    for group in groups.values():
        open_plates: list[_Plate] = []
        for part in sorted(group, key=lambda p: (-round(p.shadow.hull().area(), 3), p.name)):
            for plate in (*open_plates, None):
                new = _Plate(bed) if plate is None else plate
                if new.take(part):
                    if plate is None:
                        open_plates.append(new)
                    break
            else:
                raise AssertionError(f"{part.name} does not fit the bed")
        for plate in open_plates:
            colours = tuple(dict.fromkeys(p.colour for p in group if p.name in plate.names))
            plates.append(PlateOf(len(plates) + 1, colours, plate.centred()))
    return tuple(plates)


class _Plate:
    """A plate that is being filled, as a grid of taken cells."""

    def __init__(self, bed: Bed) -> None:
        self._bed = bed
        # Outlines are grown by half of the distance between parts, so the grid is larger by that.
        self._size = (_cells(bed[0]), _cells(bed[1]))
        self._taken: Grid = np.zeros(self._size, dtype=bool)
        self._items: list[tuple[Laid, float, float, float]] = []
        # The circular correlation needs no padding: only places within the grid are looked at.
        self._period = (_smooth(self._size[0]), _smooth(self._size[1]))
        self._seen: Complex | None = None

    @property
    def names(self) -> set[str]:
        """Names of the parts on it."""
        return {part.name for part, *_ in self._items}

    def take(self, part: Laid) -> bool:
        """Put a part on the plate; return whether there was room."""
        for angle in TURNS:
            shadow = part.shadow.rotate(angle)
            low_x, low_y, high_x, high_y = shadow.bounds()
            if max(high_x - low_x, high_y - low_y) + APART > max(self._size) * CELL:
                continue
            moved = shadow.translate((APART / 2 - low_x, APART / 2 - low_y))
            mask = _raster(moved, APART / 2)
            at = self._place(mask)
            if at is None:
                continue
            i, j = at
            self._taken[i : i + mask.shape[0], j : j + mask.shape[1]] |= mask
            self._seen = None
            margin = EDGE - APART / 2
            x, y = margin + i * CELL + APART / 2 - low_x, margin + j * CELL + APART / 2 - low_y
            self._items.append((part, float(angle), x, y))
            return True
        return False

    def centred(self) -> tuple[NestedPart, ...]:
        """Return the parts, moved together to the middle of the bed."""
        boxes = np.array(
            [
                np.array(part.shadow.rotate(angle).bounds()) + np.array([x, y, x, y])
                for part, angle, x, y in self._items
            ]
        )
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        dx, dy = (np.array(self._bed[:2]) - low - high) / 2
        return tuple(
            NestedPart(part.name, angle, (round(x + dx, 4), round(y + dy, 4)))
            for part, angle, x, y in self._items
        )

    def _place(self, mask: Grid) -> tuple[int, int] | None:
        """Return the free place of a mask's first cell nearest to the corner; None if there is none.

        The cross-correlation of the taken cells with the mask, computed by Fourier transforms, counts
        the cells that both share for every place of the mask; free places share none.
        """
        rows, columns = (a - b + 1 for a, b in zip(self._size, mask.shape, strict=True))
        if rows <= 0 or columns <= 0:
            return None
        if not self._items:
            return 0, 0
        if self._taken.size - self._taken.sum() < mask.sum():
            return None
        if self._seen is None:
            self._seen = _spectrum(self._taken, self._period)
        product = self._seen * np.conj(_spectrum(mask, self._period))
        free = np.fft.irfft2(product, self._period)[:rows, :columns] < 0.5
        if not free.any():
            return None
        far = np.arange(rows)[:, None] + np.arange(columns)[None]
        best = int(np.argmin(np.where(free, far, far.max() + 1)))
        return best // columns, best % columns


def _cells(side: float) -> int:
    """Return the number of cells along a side of the bed [mm]."""
    return int((side - 2 * EDGE + APART) / CELL)


def _spectrum(cells: Grid, shape: tuple[int, int]) -> Complex:
    return np.asarray(np.fft.rfft2(cells, shape))


def _smooth(length: int) -> int:
    """Return the next length with no prime factors but 2, 3 and 5, for a fast Fourier transform."""
    while True:
        rest = length
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return length
        length += 1


def _raster(shadow: CrossSection, margin: float) -> Grid:
    """Return the cells that an outline touches when grown by `margin` [mm]: (cells in x, cells in y).

    A scan-line fill by the even-odd rule.
    """
    from manifold3d import JoinType

    # A cell counts if its middle is within half a cell's diagonal of the outline.
    grown = shadow.offset(margin + 0.71 * CELL, JoinType.Round, 2.0, 24)
    _, _, high_x, high_y = shadow.bounds()
    size = (
        int(np.ceil((high_x + margin) / CELL)), int(np.ceil((high_y + margin) / CELL))
    )  # fmt: skip
    flips = np.zeros((size[0] + 1, size[1]), dtype=np.uint8)
    outlines = grown.to_polygons()
    a = np.vstack(outlines)
    b = np.vstack([np.roll(outline, -1, axis=0) for outline in outlines])
    low, high = np.where((a[:, 1] < b[:, 1])[:, None], (a, b), (b, a))
    # Each edge flips one cell in every row whose middle it passes; a running xor fills between.
    first, last = (
        np.clip(np.ceil(end[:, 1] / CELL - 0.5).astype(int), 0, size[1]) for end in (low, high)
    )
    count = last - first
    edge = np.repeat(np.arange(len(a)), count)
    j = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + first[edge]
    share = ((j + 0.5) * CELL - low[edge, 1]) / (high[edge, 1] - low[edge, 1])
    x = low[edge, 0] + share * (high[edge, 0] - low[edge, 0])
    i = np.clip(np.ceil(x / CELL - 0.5).astype(int), 0, size[0])
    np.bitwise_xor.at(flips, (i, j), 1)
    return np.bitwise_xor.accumulate(flips, axis=0)[:-1].astype(bool)
