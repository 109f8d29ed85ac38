"""The flat parts of a bike in axes of their own, as they are cut from sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.outline import Hole, Outline
from frame3d.plates.flat_parts import FlatPart, flat_parts_of
from frame3d.tubes.hardware import LinkPlate

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters of holes; I and O are left out, as on drawings."""
AXLE_FIT = "H7"
"""Of bores for axles and bolts that turn or are slid in; common practice, no source."""
BEARING_FIT = "N7"
"""Of bores for bearings whose outer ring stands still against the load; common practice, no source."""


@dataclass(frozen=True)
class SheetPart:
    """One flat part, and how many of it are needed."""

    name: str
    """Of its files: ``plate_rocker``"""
    title: str
    outline: Outline
    """x from its datum, which is the first hole's centre or else the lower left corner about it."""
    thickness: float
    """[mm]"""
    material: str
    density: float
    """[g/cm³]"""
    count: int
    """As drawn."""
    mirrored: int = 0
    """How many more as the mirror image; 0 where turning a part over gives it."""
    link: str | None = None
    """Link of the rear suspension that it is a plate of, or moves with."""
    remarks: tuple[str, ...] = ()
    """What else is to be done with it."""

    @property
    def grams(self) -> float:
        """Mass of one [g]."""
        return self.outline.volume(self.thickness) * self.density * 1e-3

    @property
    def quantity(self) -> str:
        """Return how many are needed, as text."""
        if self.mirrored:
            return f"{self.count} as drawn, {self.mirrored} mirrored"
        return f"{self.count} off"

    @property
    def datum(self) -> str:
        """Return what x and y are measured from, as text."""
        if not self.outline.holes:
            return "lower left corner of the part's box"
        turned = ", x toward the hole furthest from it" if len(self.outline.holes) > 1 else ""
        return f"centre of hole A{turned}"


def letters(outline: Outline) -> list[str]:
    """Return a letter for each hole: A to Z, then A1."""
    n = len(LETTERS)
    return [LETTERS[i % n] + (str(i // n) if i >= n else "") for i in range(len(outline.holes))]


def at_datum(outline: Outline) -> Outline:
    """Return an outline from its first hole, with x toward the hole furthest from it.

    One with a single hole is not turned; one without is moved to the corner of its box.
    """
    if not outline.holes:
        low_x, low_y, *_ = outline.bounds
        return outline.moved(-low_x, -low_y)
    first, *others = outline.holes
    moved = outline.moved(-first.x, -first.y)
    if not others:
        return moved
    far = max(moved.holes[1:], key=lambda hole: round(math.hypot(hole.x, hole.y), 6))
    turned = moved.moved(turn=-math.degrees(math.atan2(far.y, far.x)))
    return replace(turned, holes=tuple(_tidy(hole) for hole in turned.holes))


def _tidy(hole: Hole) -> Hole:
    """Return a hole without the last bits of a turn, below 1e-12 of a metre."""
    return replace(hole, x=round(hole.x, 9) + 0.0, y=round(hole.y, 9) + 0.0)


def sheet_parts(bike: Bike) -> list[SheetPart]:
    """Return every flat part of a bike that is cut from sheet, each shape once."""
    frames = [bike.frame, *([] if bike.fork is None else [bike.fork.frame])]
    return [_sheet_part(bike, part) for frame in frames for part in flat_parts_of(frame)]


def _sheet_part(bike: Bike, part: FlatPart) -> SheetPart:
    outline, remarks = part.outline, part.remarks
    title = plain(part.name).capitalize()
    if part.kind == "pivot_tab":
        outline = replace(outline, holes=tuple(_fitted(hole) for hole in outline.holes))
    if part.kind == "link plate":
        outline = replace(outline, holes=tuple(_fitted(hole) for hole in outline.holes))
        remarks = tuple(_bosses(bike, part))
        title = f"Link plate, {plain(part.link or '')}"
    return SheetPart(
        name=part.name,
        title=title,
        outline=at_datum(outline),
        thickness=part.thickness,
        material=part.material,
        density=part.density,
        count=1 if part.is_mirrored else part.count,
        mirrored=1 if part.is_mirrored else 0,
        link=part.link,
        remarks=tuple(f"{line[:1].upper()}{line[1:]}".rstrip(".") + "." for line in remarks),
    )


def _fitted(hole: Hole) -> Hole:
    """Return a hole of a link plate with its fit."""
    if hole.fit or hole.thread:
        return hole
    return replace(hole, fit=BEARING_FIT if hole.note.startswith("bearing") else AXLE_FIT)


def _bosses(bike: Bike, part: FlatPart) -> Iterator[str]:
    """Yield what stands out of a link plate's faces."""
    plate = next(
        one for one in bike.pivots if isinstance(one, LinkPlate) and one.name == part.names[0]
    )
    bored = [boss for boss in plate.bosses if boss.bore]
    low, high = plate.plate.low, plate.plate.high
    faces = ("inner", "outer") if plate.side == "left" else ("outer", "inner")
    for letter, boss in zip(LETTERS, bored, strict=False):
        for by, face in zip((low - boss.low, boss.high - high), faces, strict=True):
            if by > 1e-6:
                yield (
                    f"about hole {letter} a boss of {boss.stands:g} mm stands {by:.2f} mm out of the "
                    f"{face} face: a turned ring of that length, bored {boss.bore:g}"
                )
