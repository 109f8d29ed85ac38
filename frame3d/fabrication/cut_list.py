"""The cut list: every tube with its stock, cut length, butts, angles, twist and mass."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from frame3d.bike.bike import Bike
from frame3d.errors import Note
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.tube_facts import (
    TubeFacts,
    acute,
    end_of,
    plain,
    section_text,
    wall_text,
)
from frame3d.paper import page_elements
from frame3d.paper.fonts import text_width
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Cutting
from frame3d.tubes.placing.ends import FEATHER_LONG, feather_warning
from frame3d.tubes.tube import Tube

ROWS = 22
"""Number of tubes on a sheet."""


def butt_warnings(bike: Bike, facts: Sequence[TubeFacts]) -> list[Note]:
    """Warn where a cut goes beyond the thick wall of a butted end; once for a pair."""
    found: dict[tuple[str, str], Note] = {}
    for one in facts:
        for at, butt in zip(("start", "end"), one.butts, strict=True):
            if butt is not None and butt.left < 0:
                key = one.tube.key
                found.setdefault(
                    (key, at),
                    bike.spec.note(
                        "warning",
                        f"{plain(key)}: the cut at its {at} leaves the {butt.wall:g} mm wall by "
                        f"{-butt.left:z.1f} mm; a butt of {math.ceil(butt.length - butt.left)} mm "
                        "from the long point would hold it",
                        f"tubes.{key}.wall",
                    ),
                )
    return list(found.values())


def feather_warnings(
    bike: Bike, facts: Sequence[TubeFacts], cuttings: Mapping[str, Cutting]
) -> list[Note]:
    """Warn where a cut besides the mitre leaves a feather edge; once for a pair."""
    found: dict[tuple[str, str, str], Note] = {}
    for tube in (one.tube for one in facts):
        for at in ("start", "end"):
            for name in cuttings[tube.name].copes(at):
                long = cuttings[tube.name].feather(at, name)
                if long > FEATHER_LONG:
                    said = feather_warning(plain(tube.key), plain(name), long)
                    note = bike.spec.note("warning", said, f"tubes.{tube.key}.{at}")
                    found.setdefault((tube.key, at, name.removesuffix(f"_{tube.side}")), note)
    return list(found.values())


def cut_list_csv(facts: Sequence[TubeFacts], cuttings: Mapping[str, Cutting],
                 grams: Mapping[str, float]) -> bytes:  # fmt: skip
    """Return the cut list as CSV: lengths in mm, angles in degrees, mass in g."""
    head = (
        "tube", "material", "outside_mm", "wall_mm", "stock_length_mm", "cut_length_mm",
        "centre_to_centre_mm", "short_to_short_mm",
        "start_butt_mm", "start_butt_beyond_cut_mm", "end_butt_mm", "end_butt_beyond_cut_mm",
        "start_cut", "start_on", "start_angle_deg", "end_cut", "end_on", "end_angle_deg",
        "twist_deg", "mass_g",
    )  # fmt: skip
    rows = []
    for one in facts:
        tube = one.tube
        row = [tube.name, tube.material, section_text(tube), wall_text(tube), f"{one.stock:z.0f}"]
        row += [f"{x:z.2f}" for x in (one.long_to_long, one.centre_to_centre)]
        row.append("" if one.short_to_short is None else f"{one.short_to_short:z.2f}")
        for butt in one.butts:
            row += ["", ""] if butt is None else [f"{butt.length:z.1f}", f"{butt.left:z.1f}"]
        for at in ("start", "end"):
            end = end_of(tube, at)
            on = " + ".join(cuttings[tube.name].place(at).cutters)
            row += [
                cuttings[tube.name].kind(at),
                on,
                "" if end.angle is None else f"{acute(end.angle):z.2f}",
            ]
        row += ["" if one.twist is None else f"{one.twist:z.2f}", f"{grams[tube.name]:z.1f}"]
        rows.append(row)
    return csv_bytes(head, rows)


def cut_list_sheets(
    bike: Bike,
    facts: Sequence[TubeFacts],
    cuttings: Mapping[str, Cutting],
    grams: Mapping[str, float],
    paper: Paper,
) -> list[Sheet]:
    """Return the cut list on landscape sheets, warnings below."""
    mitres = [note for note in bike.notes if "feather edge" in note.message]
    warnings = [*butt_warnings(bike, facts), *mitres, *feather_warnings(bike, facts, cuttings)]
    pages = [facts[i : i + ROWS] for i in range(0, len(facts), ROWS)]
    sheets = []
    for i, page in enumerate(pages):
        name = "cut_list" if len(pages) == 1 else f"cut_list-{i + 1}"
        sheet = Sheet(name, f"{bike.spec.title}: cut list", paper.height, paper.width)
        top = page_elements.heading(
            sheet,
            "Cut list",
            bike.spec.title,
            "lengths in mm along the axis, bends developed; angles in degrees",
            (_summed(bike, facts, grams), "",
             f"sheet {i + 1} of {len(pages)}"),
        )  # fmt: skip
        columns = _columns(sheet.width - 2 * MARGIN)
        rows = [_row(one, cuttings[one.tube.name], grams) for one in page]
        low = page_elements.table(sheet, MARGIN, top - 3.0, columns, rows, step=5.0)
        y = low - 6.0
        for line in (
            "Cut: long point to long point. Stock: the cut length and 10 mm on either end, in whole "
            "5 mm, or as sold. Butt: thick wall from the long point, and what is left of it beyond the "
            "cut.",
            "Twist: from the start's mitre to the end's about the tube, left or right as printed on "
            "its template.",
            *_as_sold(page),
        ):
            sheet.text((MARGIN, y), line, 2.5)
            y -= 3.8
        if i == len(pages) - 1:
            y -= 2.0
            for note in warnings:
                y = page_elements.paragraph(sheet, MARGIN, y, f"! {note.message}",
                                        sheet.width - 2 * MARGIN)  # fmt: skip
            _bars(sheet, facts, cuttings, y - 2.0, page_elements.caution(sheet) + 3.0)
        else:
            page_elements.caution(sheet)
        sheets.append(sheet)
    return sheets


def _summed(bike: Bike, facts: Sequence[TubeFacts], grams: Mapping[str, float]) -> str:
    """Return how many tubes there are and what they weigh, those of a built fork told apart."""
    own = {tube.name for tube in bike.tubes}
    fork = [f.tube.name for f in facts if f.tube.name not in own]
    said = f"{len(facts)} tubes, {sum(grams[f.tube.name] for f in facts):z.0f} g"
    if fork:
        said += f"; of them the fork's {len(fork)}, {sum(grams[name] for name in fork):z.0f} g"
    return said


def _as_sold(facts: Sequence[TubeFacts]) -> list[str]:
    """Return lines that say what is cut off tubes as sold; once for a pair."""
    told = {}
    for one in facts:
        sold = one.tube.sold
        if sold is not None:
            off = f"cut {sold.start:z.1f} off at the start, {sold.end:z.1f} at the end"
            told[one.tube.key] = f"As sold: {plain(one.tube.key)}, {sold.length:z.1f} long, {off}."
    return list(told.values())


def _bars(
    sheet: Sheet,
    facts: Sequence[TubeFacts],
    cuttings: Mapping[str, Cutting],
    top: float,
    floor: float,
) -> None:
    """Draw butted tubes to scale: thick wall grey, ticks at its ends, dashes at the ends of cuts."""
    butted = [one for one in facts if len(set(one.tube.section.wall)) > 1]
    if not butted or top - floor < 18.0:
        return
    step = min(17.0, (top - floor) / len(butted))
    if step < 11.0:
        return
    sheet.text((MARGIN, top - 3.0), "Walls along the butted tubes, from the start's long point", 3.1,
               bold=True)  # fmt: skip
    left = MARGIN + 34.0
    scale = (sheet.width - MARGIN - 14.0 - left) / max(one.long_to_long for one in butted)
    for i, one in enumerate(butted):
        y = top - 6.0 - (i + 0.75) * step
        sheet.text((MARGIN, y + 0.9), plain(one.tube.name), 2.9)
        _bar(sheet, one, cuttings[one.tube.name], (left, y), scale)


def _bar(sheet: Sheet, one: TubeFacts, cutting: Cutting, at: tuple[float, float],
         scale: float) -> None:  # fmt: skip
    """Draw the walls of one tube."""
    left, y = at
    low, shape = one.low, one.tube.section
    walls = shape.wall
    marks = [(left + min(max(shape.s[i] - low, 0.0), one.long_to_long) * scale, walls[i])
             for i in shape.wall_corners]  # fmt: skip
    cuts = [left + (cutting.cut_to(end) - low) * scale for end in ("start", "end")]
    for (x0, wall), (x1, after) in pairwise(marks):
        if x1 - x0 < 1e-6:
            continue
        if wall != after:
            sheet.line((x0, y if wall > after else y + 4.0), (x1, y + 4.0 if wall > after else y),
                       "STRIP")  # fmt: skip
            close = x1 - x0 < 8.0
            for x, align in ((x0, "right"), (x1, "left")):
                sheet.line((x, y), (x, y + 5.2), "STRIP")
                sheet.text((x, y + 5.9), f"{(x - left) / scale:z.0f}", 2.3,
                           align=align if close else "centre")  # fmt: skip
            continue
        if wall > min(walls):
            sheet.fill([(x0, y), (x1, y), (x1, y + 4.0), (x0, y + 4.0)], "BUTT")
        ends = [x0, *(x for x in cuts if x0 < x < x1), x1]
        a, b = max(pairwise(ends), key=lambda pair: pair[1] - pair[0])
        if b - a > text_width(f"{wall:g}", 2.6) + 1.0:
            sheet.text(((a + b) / 2, y + 1.1), f"{wall:g}", 2.6, align="centre")
    wide = one.long_to_long * scale
    sheet.box(left, y, wide, 4.0, "OUTLINE")
    for x in cuts:
        sheet.line((x, y - 1.2), (x, y + 4.0), "CUT_INNER")
    sheet.text((left + wide + 1.6, y + 1.1), f"{one.long_to_long:z.1f}", 2.6)


def _columns(width: float) -> list[Column]:
    shares = (
        ("Tube", 30, "left"), ("Material", 16, "left"), ("Outside", 27, "left"),
        ("Wall", 24, "left"), ("Stock", 12.5, "right"), ("Cut", 13, "right"),
        ("Centres", 16, "right"), ("Start on", 41, "left"), ("Angle", 13.5, "right"),
        ("Butt", 17, "right"), ("End on", 41, "left"), ("Angle", 13.5, "right"),
        ("Butt", 17, "right"), ("Twist", 12.5, "right"), ("Mass g", 15, "right"),
    )  # fmt: skip
    scale = width / sum(share for _, share, _ in shares)
    return [Column(title, share * scale, align) for title, share, align in shares]


def _row(one: TubeFacts, cutting: Cutting, grams: Mapping[str, float]) -> list[str]:
    tube = one.tube
    row = [plain(tube.name), tube.material, section_text(tube), wall_text(tube)]
    row += [f"{one.stock:z.0f}", f"{one.long_to_long:z.1f}", f"{one.centre_to_centre:z.1f}"]
    for at, butt in zip(("start", "end"), one.butts, strict=True):
        end = end_of(tube, at)
        names = cutting.place(at).cutters
        on = " + ".join(_mate(name, tube) for name in names)
        if len(names) > 2:
            on = f"{_mate(end.target or names[0], tube)} + {len(names) - 1} others"
        kind = cutting.kind(at)
        angle = f"{acute(end.angle or 0.0):z.2f}" if kind == "mitre" else kind
        row += [on or "open", angle]
        if butt is None:
            row.append("–")
        else:
            row.append(f"{'! ' if butt.left < 0 else ''}{butt.length:z.0f} ({butt.left:z.0f})")
    row += ["–" if one.twist is None else f"{one.twist:z.2f}", f"{grams[tube.name]:z.0f}"]
    return row


def _mate(name: str, tube: Tube) -> str:
    """Return the name of the body that a tube meets, without its side where that is the tube's own."""
    return plain(name.removesuffix(f"_{tube.side}"))
