"""Sheets of mitre templates: a tube's panels, its figures, and what to check the printer by."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.fabrication.panel_drawing import FLAP, Piece, grouped, place
from frame3d.fabrication.template import Panel
from frame3d.fabrication.tube_facts import TubeFacts, line_name, plain, section_text, wall_text
from frame3d.paper import page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Solid

FOOT: Final = 54.0
"""Height of the check square and the table beside it [mm]."""


class TooWideError(ValueError):
    """Raised for a template that is wider than the paper."""


def sheets_of(
    facts: TubeFacts,
    panels: Sequence[Panel],
    bike: Bike,
    paper: Paper,
    bodies: Mapping[str, Solid],
) -> list[Sheet]:
    """Return the sheets of one tube.

    Raises:
        TooWideError: the full turn and its flap do not fit across the paper.
    """
    return pages(
        facts,
        panels,
        bike,
        paper,
        name=f"template_{facts.tube.name}",
        below="mitre template 1:1 · wrap with the print outside, arrow toward the tube's end",
        foot=lambda sheet, y, _: _foot(sheet, facts, y, bodies),
    )


def pages(
    facts: TubeFacts,
    panels: Sequence[Panel],
    bike: Bike,
    paper: Paper,
    *,
    name: str,
    below: str,
    foot: Callable[[Sheet, float, Sequence[Piece]], None],
    filled: bool = False,
) -> list[Sheet]:
    """Return panels of one tube on as many pages as they take.

    Args:
        facts: of the tube.
        panels: from its start to its end.
        bike: the bike.
        paper: upright, or on its side where that alone is wide enough.
        name: of a single sheet; of several each has its number behind it.
        below: text of the heading behind the bike's name.
        foot: draws what is at the foot of a page, `FOOT` high, from a height on.
        filled: whether pages take as many panels as they hold; else all on one, or one a page.

    Raises:
        TooWideError: the full turn and its flap do not fit across the paper.
    """
    widest = max(panel.width for panel in panels) + FLAP
    w, h = paper.width, paper.height
    if widest > w - 2 * MARGIN:
        w, h = h, w
    if widest > w - 2 * MARGIN:
        raise TooWideError(
            f"its template is {widest:z.0f} mm wide with its flap, and {paper.name} has room for "
            f"{w - 2 * MARGIN:z.0f} mm"
        )
    room = h - 2 * MARGIN - 13.4 - FOOT - 9.0 - 4.0
    groups = grouped(panels, room, filled=filled)
    sheets = []
    tube = facts.tube
    for i, group in enumerate(groups):
        suffix = "" if len(groups) == 1 else f"-{i + 1}"  # no tube has a hyphen in its name
        sheet = Sheet(
            f"{name}{suffix}",
            f"{bike.spec.title}: {plain(tube.name)} {i + 1}/{len(groups)}",
            w,
            h,
        )
        top = page_elements.heading(
            sheet,
            plain(tube.name).capitalize(),
            bike.spec.title,
            below,
            (
                f"{section_text(tube)} mm, wall {wall_text(tube)}",
                tube.material,
                f"sheet {i + 1} of {len(groups)}",
            ),
        )
        y = page_elements.caution(sheet) + 1.5
        foot(sheet, y, group)
        place(sheet, group, top - 4.0, y + FOOT + 2.0, plain(tube.name))
        sheets.append(sheet)
    return sheets


def _foot(sheet: Sheet, facts: TubeFacts, y: float, bodies: Mapping[str, Solid]) -> None:
    """Draw check square and ruler, and the tube's figures beside them."""
    page_elements.checks(sheet, MARGIN, y)
    x = MARGIN + 56.0
    tube = facts.tube
    at = 0.0 if tube.axis.is_straight else None
    first, last = (tube.section.girth_at(tube.section.s[end]) for end in (0, -1))
    around = f"{first:z.2f}"
    if not tube.section.is_straight_sided:
        around += f" to {last:z.2f}"
    rows = [
        ("centre to centre", f"{facts.centre_to_centre:z.2f}", "circumference", around),
        (
            "long point to long point",
            f"{facts.long_to_long:z.2f}",
            "twist, start to end",
            _twist(facts),
        ),
        (
            "short point to short point",
            "no full turn left" if facts.short_to_short is None else f"{facts.short_to_short:z.2f}",
            "middle line",
            _middle(facts),
        ),
    ]
    rows += [(*_butt_row(facts, 0), *_butt_row(facts, 1))]
    half = (sheet.width - MARGIN - x - 5.0) / 2
    low = 0.0
    for i in (0, 1):
        columns = [Column("", half - 30.0), Column("", 30.0, "right")]
        part = [row[2 * i : 2 * i + 2] for row in rows]
        low = page_elements.table(sheet, x + i * (half + 5.0), y + 50.0, columns, part)
    notes = [
        "Full line: outside edge, cut along it. Dashed: where the bore's edge lies below it.",
        "Lengths run along the axis"
        + (", bends developed." if at is None else ".")
        + " Both ends share their lines.",
    ]
    if abs(facts.carried) > 0.05:
        notes.append(
            f"A line scribed before bending at the start lies {abs(facts.carried):z.1f}° off at the end."
        )
    for i, note in enumerate(notes):
        sheet.text((x, low - 4.2 - 3.6 * i), note, 2.5)


def _twist(facts: TubeFacts) -> str:
    if facts.twist is None:
        return "none to set"
    sense = " to the left" if facts.twist > 0 else " to the right"
    return f"{abs(facts.twist):z.2f}°" + (sense if 0.005 < abs(facts.twist) < 89.995 else "")


def _middle(facts: TubeFacts) -> str:
    half = facts.tube.axis.length / 2
    return line_name(facts.tube, half, facts.middle)


def _butt_row(facts: TubeFacts, which: int) -> tuple[str, str]:
    butt = facts.butts[which]
    name = ("start", "end")[which]
    if butt is None:
        return f"butt at the {name}", "none"
    return f"butt at the {name}", f"{butt.wall:g} over {butt.length:z.0f}"
