"""Where eyes and brake mounts of the rear dropouts are measured: numbered after what is on tubes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.vector import Vector, vector
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.on_dropout import Block, DropoutMount
from frame3d.tubes.tube import Dropout

STEP: Final = 4.6
NOTES: Final = (
    "No.: as on the drawing, after those of marks on tubes; left and right share it. Ahead and up: "
    "level from the axle's middle, as the frame stands in the drawing.",
    "x, y, z: of an eye the middle of its hole at the outer face; of a brake mount's block the middle "
    "of its bolt's hole in the face; from the bottom bracket's centre, y to the rider's left.",
)


@dataclass(frozen=True)
class DropoutMark:
    """An eye, or a block of a brake mount, as it is measured on its dropout."""

    number: int
    """The same on the left and the right dropout."""
    dropout: Dropout
    name: str
    """Name in the file; of a block, with its number."""
    kind: str
    """``eye``, ``post_mount`` or ``flat_mount``"""
    what: str
    """Kind and sizes in words."""
    of_row: tuple[int, int]
    """Which one it is, of how many."""
    at: Vector
    """What is measured, (3,) [mm]."""
    out: Vector
    """Unit direction from which it is seen, (3,)."""
    block: Block | None = None

    @property
    def ahead(self) -> float:
        """Ahead of the axle [mm]."""
        return float(self.at[0]) - self.dropout.axle[0]

    @property
    def up(self) -> float:
        """Above the axle [mm]."""
        return float(self.at[2]) - self.dropout.axle[2]


def dropout_marks(bike: Bike, marks: Sequence[Mark]) -> list[DropoutMark]:
    """Return what is measured on the dropouts; numbers go on after those of `marks`."""
    after = max((mark.number for mark in marks), default=0)
    numbers: dict[str, int] = {}
    found = []
    for dropout in bike.dropouts:
        for one in (*_eyes(dropout), *_blocks(dropout)):
            number = numbers.setdefault(one.name, after + len(numbers) + 1)
            found.append(replace(one, number=number))
    return sorted(found, key=lambda one: one.number)


def _eyes(dropout: Dropout) -> Iterator[DropoutMark]:
    out = np.array([0.0, math.copysign(1.0, dropout.axle[1]), 0.0])
    for eye in dropout.eyes:
        at = vector(eye.at) + dropout.thickness * out
        what = f"eye {eye.thread}, drilled {eye.drill:g}"
        yield DropoutMark(0, dropout, plain(eye.name), "eye", what, (1, 1), at, out)


def _blocks(dropout: Dropout) -> Iterator[DropoutMark]:
    mount = dropout.mount
    if mount is None:
        return
    for i, block in enumerate(mount.blocks):
        yield DropoutMark(
            0, dropout, f"{plain(mount.name)} {i + 1}", mount.kind, block_text(mount, block),
            (i + 1, len(mount.blocks)), vector(block.face), vector(block.way), block,
        )  # fmt: skip


def block_text(mount: DropoutMount, block: Block) -> str:
    """Return kind and sizes of a block in words."""
    bored = f", bored {block.hole:g}" if block.through else f", {block.depth:g} deep"
    return f"{plain(mount.kind)} {mount.thread}{bored}, face {block.width:g}"


def mount_of(bike: Bike) -> tuple[Dropout, DropoutMount] | None:
    """Return the brake mount on a dropout, with that; None where there is none."""
    found = ((one, one.mount) for one in bike.dropouts)
    return next(((one, mount) for one, mount in found if mount is not None), None)


def bolts_angle(mount: DropoutMount) -> float:
    """Return the angle of a mount's bolts out of their faces, up from straight ahead [degrees]."""
    x, _, z = mount.blocks[0].way
    return math.degrees(math.atan2(z, x))


def rows_of(marks: Sequence[DropoutMark]) -> list[tuple[str, ...]]:
    """Return the marks as rows of features.csv."""
    rows: list[tuple[str, ...]] = []
    for mark in marks:
        x, y, z = (f"{v:z.2f}" for v in mark.at.tolist())
        rows.append(
            (
                str(mark.number), "rear_dropout", mark.dropout.side, mark.name, mark.kind,
                f"{mark.of_row[0]} of {mark.of_row[1]}", mark.what, "", "", "", "", "", "", x, y, z,
                "yes", *(("", "", "") if mark.block is None else (x, y, z)),
            )
        )  # fmt: skip
    return rows


def measured_on_dropouts(bike: Bike, marks: Sequence[DropoutMark]) -> list[tuple[str, str]]:
    """Return what to measure for the fixture's CSV: name, value with unit."""
    rows = []
    for mark in marks:
        name = f"{mark.number}: {mark.name} on {plain(mark.dropout.name)}"
        rows.append((f"{name}, ahead of the axle", f"{mark.ahead:z.2f} mm"))
        rows.append((f"{name}, above the axle", f"{mark.up:z.2f} mm"))
        at = ", ".join(f"{k} {v:z.2f}" for k, v in zip("xyz", mark.at.tolist(), strict=True))
        what = "its hole at the outer face" if mark.block is None else "its face"
        rows.append((f"{name}, middle of {what}", f"{at} mm"))
    found = mount_of(bike)
    if found is not None:
        name = plain(found[1].name)
        rows.append((f"{name}, bolts up from level", f"{bolts_angle(found[1]):z.2f}°"))
        rows.append((f"{name}, between the bolts", f"{found[1].apart:g} mm"))
    return rows


def dropout_sheets(bike: Bike, marks: Sequence[DropoutMark], paper: Paper) -> list[Sheet]:
    """Return the page of what is on the dropouts; none where nothing is."""
    if not marks:
        return []
    sheet = Sheet(
        "fixture_dropouts", f"{bike.spec.title}: on the dropouts", paper.width, paper.height
    )
    top = page_elements.heading(
        sheet, "On the dropouts", bike.spec.title, "eyes and brake mount, in mm and degrees",
        (f"{len(marks)} marks", "", "sheet 1 of 1"),
    )  # fmt: skip
    width = sheet.width - 2 * MARGIN
    shares = (
        ("No.", 7, "right"), ("Dropout", 26, "left"), ("Name", 24, "left"), ("What", 60, "left"),
        ("ahead", 14, "right"), ("up", 14, "right"), ("x", 14, "right"), ("y", 12, "right"),
        ("z", 12, "right"),
    )  # fmt: skip
    scale = width / sum(share for _, share, _ in shares)
    columns = [Column(title, share * scale, align) for title, share, align in shares]
    rows = [
        (
            str(one.number), plain(one.dropout.name), one.name, one.what, f"{one.ahead:z.1f}",
            f"{one.up:z.1f}", *(f"{v:z.1f}" for v in one.at.tolist()),
        )
        for one in marks
    ]  # fmt: skip
    y = page_elements.table(sheet, MARGIN, top - 3.0, columns, rows, step=STEP, size=2.5) - 5.0
    for line in (*NOTES, *_mount_lines(bike)):
        y = page_elements.paragraph(sheet, MARGIN, y, line, width, 2.5)
    page_elements.caution(sheet)
    return [sheet]


def _mount_lines(bike: Bike) -> Iterator[str]:
    found = mount_of(bike)
    if found is None:
        return
    dropout, mount = found
    first = mount.blocks[0]
    beside = dropout.axle[1] - first.face[1]
    sides = f"{first.inner:.1f} to {first.outer:.1f}"
    yield (
        f"Brake mount: the bolts point {bolts_angle(mount):.2f}° up from straight ahead, "
        f"{mount.apart:g} apart, {first.face[1]:.2f} to the left of the middle plane, {beside:.2f} "
        f"inside of the plate's inner face. The blocks reach from y {sides}, are {first.width:g} wide "
        f"and {first.length:g} long, and lap over the plate's inner face at their lower end. Their "
        "faces are square to the bolts and in one plane: held by wheel axle and caliper, or a dummy."
    )
