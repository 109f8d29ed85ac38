"""All marks of a bike with their figures: on the fixture sheet's own pages, and as CSV."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.on_tubes.marking_sheets import around
from frame3d.fabrication.on_tubes.marks import Mark
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark, rows_of
from frame3d.fabrication.tube_facts import plain
from frame3d.geometry.vector import Vector
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet

COLUMNS: Final = (
    "number", "tube", "side", "feature", "kind", "of_row", "what", "from_start_mm", "from_end_mm",
    "from_axis_start_mm", "angle_deg", "around", "around_mm", "x_mm", "y_mm", "z_mm", "joined",
    "face_x_mm", "face_y_mm", "face_z_mm",
)  # fmt: skip
"""Columns of features.csv; new ones are added behind these."""
STEP: Final = 4.6
NOTES: Final = (
    "No.: as on marking templates and drawing; left and right share it. What a bottle asks for is "
    "marked, but no metal of the file's: write it as a boss to have it in the solids.",
    "From start, from end: along the tube's axis, bends developed, from the long points of its cut ends "
    "to the middle. Around: the angle as a protractor shows it, and the way along the outside.",
    "x, y, z: the middle on the outside, from the bottom bracket's centre, y to the rider's left, to "
    "measure in the fixture.",
)


def features_csv(marks: Sequence[Mark], on_dropouts: Sequence[DropoutMark] = ()) -> bytes:
    """Return all marks as CSV, those on tubes first."""
    rows: list[tuple[str, ...]] = []
    for mark in marks:
        x, y, z = mark.spot.foot.tolist()
        feature = mark.feature
        rows.append(
            (
                str(mark.number), feature.key, feature.side or "", feature.name, feature.spec.kind,
                f"{feature.labels.index(mark.label) + 1} of {len(feature.labels)}", mark.what,
                f"{mark.from_start:z.2f}", f"{mark.from_end:z.2f}", f"{mark.s:z.2f}",
                f"{mark.angle:z.2f}", mark.around_text, f"{mark.around:z.2f}", f"{x:z.2f}",
                f"{y:z.2f}", f"{z:z.2f}", "no" if feature.implied else "yes",
                *(("", "", "") if mark.face is None else (f"{v:z.2f}" for v in mark.face.tolist())),
            )
        )  # fmt: skip
    return csv_bytes(COLUMNS, [*rows, *rows_of(on_dropouts)])


def measured(marks: Sequence[Mark]) -> list[tuple[str, str]]:
    """Return what to measure of each mark for the fixture's CSV: name, value with unit."""
    rows = []
    for mark in marks:
        name = f"{mark.number}: {mark.name} on {plain(mark.tube.name)}"
        rows.append((f"{name}, from the start's long point", f"{mark.from_start:z.2f} mm"))
        rows.append((f"{name}, around", mark.around_text))
        if mark.face is not None:
            rows.append((f"{name}, middle of its face", f"{_place(mark.face, 2)} mm"))
    return rows


def position_sheets(bike: Bike, marks: Sequence[Mark], paper: Paper) -> list[Sheet]:
    """Return the marks on as many pages as they take; none where there are none."""
    room = paper.height - 2 * MARGIN - 13.4 - 3.0 - 42.0
    count = int(room / STEP) - 1
    groups = [marks[i : i + count] for i in range(0, len(marks), count)]
    sheets = []
    for i, group in enumerate(groups):
        name = "fixture_marks" if len(groups) == 1 else f"fixture_marks-{i + 1}"
        sheet = Sheet(name, f"{bike.spec.title}: marks on tubes", paper.width, paper.height)
        top = page_elements.heading(
            sheet, "Marks on tubes", bike.spec.title, "where features stand, in mm and degrees",
            (f"{len(marks)} marks", "", f"sheet {i + 1} of {len(groups)}"),
        )  # fmt: skip
        low = _table(sheet, top - 3.0, group)
        y = low - 5.0
        for line in (*NOTES, *faces_of(marks)):
            y = page_elements.paragraph(sheet, MARGIN, y, line, sheet.width - 2 * MARGIN, 2.5)
        page_elements.caution(sheet)
        sheets.append(sheet)
    return sheets


def faces_of(marks: Sequence[Mark]) -> list[str]:
    """Return where the faces of a brake mount are, in words."""
    found = [
        f"{mark.number}: middle of its face at {_place(mark.face, 1)}"
        for mark in marks
        if mark.face is not None
    ]
    return [f"Brake mount, {'; '.join(found)}."] if found else []


def _place(at: Vector, digits: int) -> str:
    return ", ".join(f"{axis} {v:z.{digits}f}" for axis, v in zip("xyz", at.tolist(), strict=True))


def _table(sheet: Sheet, top: float, marks: Sequence[Mark]) -> float:
    """Draw the table; return y of its lower edge [mm]."""
    width = sheet.width - 2 * MARGIN
    shares = (
        ("No.", 7, "right"), ("Tube", 23, "left"), ("Name", 22, "left"), ("What", 38, "left"),
        ("from start", 15, "right"), ("from end", 15, "right"), ("Around", 40, "left"),
        ("x", 12, "right"), ("y", 12, "right"), ("z", 12, "right"),
    )  # fmt: skip
    scale = width / sum(share for _, share, _ in shares)
    columns = [Column(title, share * scale, align) for title, share, align in shares]
    rows = []
    for m in marks:
        x, y, z = m.spot.foot.tolist()
        rows.append(
            (
                str(m.number), plain(m.tube.name), m.name, m.what, f"{m.from_start:z.1f}",
                f"{m.from_end:z.1f}", around(m), f"{x:z.1f}", f"{y:z.1f}", f"{z:z.1f}",
            )
        )  # fmt: skip
    return page_elements.table(sheet, MARGIN, top, columns, rows, step=STEP, size=2.5)
