"""Lay flat parts on sheets of one size: each in its smallest rectangle, the rectangles by rectpack.

rectpack places rectangles alone, upright or turned by 90 degrees, so no part reaches into another's
corner and the sheets may be more than the fewest. Grain, leads and the order of cuts are not
considered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.errors import Note
from frame3d.fabrication.flat.parts import SheetPart
from frame3d.geometry.closed_path import Path
from frame3d.geometry.outline import Outline

UNIT: Final = 1000
"""Steps a millimetre, as rectpack is given whole numbers."""
FINE: Final = 0.01
"""Arcs are cut by no more than this where the smallest rectangle is sought [mm]."""


@dataclass(frozen=True, slots=True)
class Stock:
    """The sheets that parts are laid on."""

    width: float
    height: float
    """[mm]"""
    gap: float = 5.0
    """Least distance between parts [mm]."""
    margin: float = 5.0
    """Least distance of parts from the sheet's edge [mm]."""

    @property
    def room(self) -> tuple[float, float]:
        """Width and height within the margins [mm]."""
        return self.width - 2 * self.margin, self.height - 2 * self.margin


@dataclass(frozen=True)
class Laid:
    """One piece on a sheet."""

    part: SheetPart
    outline: Outline
    """In the sheet's axes, from its lower left corner."""
    is_mirrored: bool


@dataclass(frozen=True)
class NestedSheet:
    """One sheet with its pieces."""

    stock: Stock
    pieces: tuple[Laid, ...]

    @property
    def share(self) -> float:
        """Share of the sheet that is parts."""
        return sum(one.outline.area for one in self.pieces) / (self.stock.width * self.stock.height)


@dataclass(frozen=True)
class Nest:
    """All sheets of one thickness and material, and the parts that are too large for them."""

    thickness: float
    material: str
    sheets: tuple[NestedSheet, ...]
    too_large: tuple[SheetPart, ...]

    @property
    def name(self) -> str:
        """Return the name of its files, without what a file's name cannot have."""
        plain = "".join(c if c.isalnum() or c in "-." else "_" for c in self.material)
        return f"nested_{self.thickness:g}mm_{plain}"


def nests_of(parts: Sequence[SheetPart], stock: Stock) -> list[Nest]:
    """Return the parts laid on sheets, a nest for each thickness and material.

    Args:
        parts: with how many are needed of each.
        stock: the sheets, of which there are enough.
    """
    found = []
    for thickness, material in dict.fromkeys((p.thickness, p.material) for p in parts):
        own = [p for p in parts if (p.thickness, p.material) == (thickness, material)]
        found.append(_nest(thickness, material, own, stock))
    return found


def _nest(thickness: float, material: str, parts: Sequence[SheetPart], stock: Stock) -> Nest:
    too_large: list[SheetPart] = []
    blocks: list[tuple[SheetPart, Outline, bool]] = []
    for part in parts:
        upright = smallest_box(part.outline, stock.room)
        if upright is None:
            too_large.append(part)
            continue
        blocks += [(part, upright, False)] * part.count
        # A mirror image's box is the mirror image of the box.
        blocks += [(part, _cornered(upright.mirrored()), True)] * part.mirrored
    sheets: dict[int, list[Laid]] = {}
    for page, i, x, y, is_turned in _packed([one.bounds[2:] for _, one, _ in blocks], stock):
        part, outline, is_mirrored = blocks[i]
        if is_turned:
            outline = outline.moved(x=outline.bounds[3], turn=90.0)
        put = outline.moved(stock.margin + x, stock.margin + y)
        sheets.setdefault(page, []).append(Laid(part, put, is_mirrored))
    made = tuple(NestedSheet(stock, tuple(sheets[page])) for page in sorted(sheets))
    return Nest(thickness, material, made, tuple(too_large))


def _packed(
    sizes: Sequence[tuple[float, float]], stock: Stock
) -> Iterator[tuple[int, int, float, float, bool]]:
    """Yield sheet, number, lower left corner [mm], and whether it is turned, of every rectangle.

    Of rectpack's three ways to fill free rectangles the one with the fewest sheets is taken, of these
    the one that leaves most of the last sheet.

    Args:
        sizes: widths and heights, of which each fits the sheet [mm].
        stock: the sheets.
    """
    import rectpack

    if not sizes:
        return
    width, height = (math.floor((side + stock.gap) * UNIT) for side in stock.room)
    best: tuple[tuple[int, int], list[tuple[int, int, int, int, int, int]]] | None = None
    for way in (rectpack.MaxRectsBssf, rectpack.MaxRectsBaf, rectpack.MaxRectsBl):
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=way,
            sort_algo=rectpack.SORT_AREA,
            rotation=True,
        )
        packer.add_bin(width, height, count=len(sizes))
        for i, size in enumerate(sizes):
            packer.add_rect(*(math.ceil((side + stock.gap) * UNIT) for side in size), rid=i)
        packer.pack()
        laid = packer.rect_list()
        if len(laid) < len(sizes):
            continue
        last = max(row[0] for row in laid)
        used = max(row[1] + row[3] for row in laid if row[0] == last)
        if best is None or (last, used) < best[0]:
            best = ((last, used), laid)
    assert best is not None, "every rectangle fits a sheet of its own"
    for page, x, y, wide, _, i in sorted(best[1]):
        upright = math.ceil((sizes[i][0] + stock.gap) * UNIT)
        tall = math.ceil((sizes[i][1] + stock.gap) * UNIT)
        yield page, i, x / UNIT, y / UNIT, wide != upright and wide == tall


def smallest_box(outline: Outline, room: tuple[float, float]) -> Outline | None:
    """Return an outline turned so that the upright box about it is smallest, its corner at the origin.

    A smallest box has a side on an edge of the convex hull (Freeman and Shapira 1975, from memory); with
    arcs that holds of the hull of points on them, and the box is then taken about the arcs. Where the
    smallest does not fit the room, upright or on its side, whole degrees are tried; None if none fits.

    Args:
        outline: in its own axes.
        room: width and height that it must fit [mm].
    """
    turns = [0.0, *(-turn for turn in _hull_angles(outline.outer))]
    best: tuple[float, float] | None = None
    for turn in (*turns, None, *map(float, range(180))):
        if turn is None:
            if best is not None:
                break
            continue
        low_x, low_y, high_x, high_y = outline.outer.moved(turn=turn).bounds
        wide, tall = sorted((high_x - low_x, high_y - low_y))
        if wide > min(room) + 1e-9 or tall > max(room) + 1e-9:
            continue
        if best is None or wide * tall < best[0] - 1e-6:
            best = (wide * tall, turn)
    return None if best is None else _cornered(outline.moved(turn=best[1]))


def _cornered(outline: Outline) -> Outline:
    """Return an outline with the lower left corner of its box at the origin."""
    low_x, low_y, *_ = outline.bounds
    return outline.moved(-low_x, -low_y)


def _hull_angles(path: Path) -> list[float]:
    """Return the directions of the edges of a path's convex hull [degrees].

    Monotone chain (Andrew 1979, from memory) over points on the path.
    """
    points = sorted({(round(x, 9), round(y, 9)) for x, y in path.points(FINE).tolist()})
    hull: list[tuple[float, float]] = []
    for ahead in (points, points[::-1]):
        chain: list[tuple[float, float]] = []
        for p in ahead:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        hull += chain[:-1]
    ends = np.array([*hull, hull[0]])
    steps = np.diff(ends, axis=0)
    turns = np.degrees(np.arctan2(steps[:, 1], steps[:, 0])) % 90.0
    return sorted(set(np.round(turns, 9).tolist()))


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def too_large_notes(nests: Sequence[Nest], stock: Stock) -> list[Note]:
    """Return a warning for each part that no sheet takes, and one where there is nothing to nest."""
    if not nests:
        return [Note("warning", "nothing to nest: the frame has no flat parts")]
    return [
        Note(
            "warning",
            f"{part.name} is larger than a sheet of {stock.width:g} x {stock.height:g} mm within its "
            f"margin of {stock.margin:g}: it is not nested; a larger sheet (--plate-sheet)",
        )
        for nest in nests
        for part in nest.too_large
    ]
