"""The bend table: where, by which angle and in which plane each tube is bent."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import TubeFacts, carried_to, line_name, plain
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import vector
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.tube import Tube

ROWS = 30
"""Number of bends on a sheet."""


@dataclass(frozen=True, slots=True)
class Bend:
    """One bend, as marked on the straight tube that is cut to length."""

    tube: Tube
    number: int
    start: float
    """Distance along the axis from the start's long point to the beginning of the bend [mm]."""
    end: float
    """Distance to its end [mm]."""
    angle: float
    """Bend angle [degrees]."""
    radius: float
    """Bend radius of the axis [mm]."""
    plane: float
    """The line of the straight tube that is inside the bend, as an angle from the template's middle
    line: seen from outside with the tube's end upward, positive to the left [degrees, −180 to 180]."""
    inside: str
    """Name of the template's line nearest to it."""
    turn: float | None
    """Angle of the plane against that of the bend before [degrees]; None for the first."""


def bends_of(facts: TubeFacts) -> list[Bend]:
    """Return all bends of a tube from its start."""
    tube = facts.tube
    found: list[Bend] = []
    for at, piece in zip(tube.axis.starts, tube.axis.pieces, strict=False):
        if not isinstance(piece, Arc):
            continue
        s = float(at)
        up, across = tube.axis.frame(s + 1e-9)
        inward = (vector(piece.centre) - vector(piece.start)) / piece.radius
        phi = math.degrees(math.atan2(float(inward @ across), float(inward @ up)))
        plane = _half(phi - carried_to(tube, s) - facts.middle)
        before = found[-1].plane if found else None
        found.append(
            Bend(
                tube=tube, number=len(found) + 1, start=s - facts.low,
                end=s + piece.length - facts.low, angle=piece.angle, radius=piece.radius, plane=plane,
                inside=line_name(tube, tube.axis.length / 2, plane + facts.middle),
                turn=None if before is None else _half(plane - before),
            )
        )  # fmt: skip
    return found


def bends_csv(bends: Sequence[Bend]) -> bytes:
    """Return the bend table as CSV."""
    head = (
        "tube", "bend", "from_long_point_mm", "to_mm", "arc_mm", "angle_deg", "radius_mm",
        "plane_from_middle_line_deg", "plane_from_bend_before_deg", "nearest_line",
    )  # fmt: skip
    rows = [
        [
            b.tube.name, str(b.number), f"{b.start:z.2f}", f"{b.end:z.2f}", f"{b.end - b.start:z.2f}",
            f"{b.angle:z.3f}", f"{b.radius:z.2f}", f"{b.plane:z.2f}",
            "" if b.turn is None else f"{b.turn:z.2f}", b.inside,
        ]
        for b in bends
    ]  # fmt: skip
    return csv_bytes(head, rows)


def bend_sheets(bike: Bike, bends: Sequence[Bend], paper: Paper) -> list[Sheet]:
    """Return the sheets of the bend table."""
    pages = [bends[i : i + ROWS] for i in range(0, len(bends), ROWS)]
    sheets = []
    for i, page in enumerate(pages):
        name = "bend_table" if len(pages) == 1 else f"bend_table-{i + 1}"
        sheet = Sheet(name, f"{bike.spec.title}: bend table", paper.width, paper.height)
        top = page_elements.heading(
            sheet,
            "Bend table",
            bike.spec.title,
            "from the start's long point, along the axis, in mm and degrees",
            (f"{len(bends)} bends", "", f"sheet {i + 1} of {len(pages)}"),
        )
        width = sheet.width - 2 * MARGIN
        shares = (
            ("Tube", 34, "left"), ("Bend", 11, "right"), ("From", 18, "right"), ("To", 18, "right"),
            ("Arc", 16, "right"), ("Angle", 17, "right"), ("Radius", 17, "right"),
            ("Plane", 17, "right"), ("Turn", 17, "right"), ("Nearest line", 24, "left"),
        )  # fmt: skip
        scale = width / sum(share for _, share, _ in shares)
        columns = [Column(title, share * scale, align) for title, share, align in shares]
        rows = [
            [
                plain(b.tube.name), str(b.number), f"{b.start:z.1f}", f"{b.end:z.1f}",
                f"{b.end - b.start:z.1f}", f"{b.angle:z.2f}", f"{b.radius:g}", f"{b.plane:z.1f}",
                "–" if b.turn is None else f"{b.turn:z.1f}", b.inside,
            ]
            for b in page
        ]  # fmt: skip
        low = page_elements.table(sheet, MARGIN, top - 3.0, columns, rows, step=5.0)
        y = low - 6.0
        for line in (
            "Plane: which line of the straight tube comes to lie inside the bend, counted from the "
            "template's middle line to the left, seen from outside with the tube's end upward.",
            "Turn: of the plane against the bend before. Radius: of the tube's axis. "
            "Angles are as finished: springback is left to the shop and its tools.",
            "An even wall is assumed to keep its length along the axis.",
        ):
            y = page_elements.paragraph(sheet, MARGIN, y, line, width, 2.6) - 0.6
        page_elements.caution(sheet)
        sheets.append(sheet)
    return sheets


def _half(angle: float) -> float:
    """Return an angle reduced to −180 to 180 degrees."""
    turned = 180.0 - (180.0 - angle) % 360.0
    return 0.0 if abs(turned) < 1e-9 else turned
