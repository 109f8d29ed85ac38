"""A flat solid bar (a gusset) as its outline on the plate that it is sawn from, 1:1, waste hatched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.template import cut_text
from frame3d.fabrication.template_sheets import FOOT
from frame3d.fabrication.tube_facts import TubeFacts, line_name, plain
from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.rounded import SIGNS
from frame3d.paper import page_elements
from frame3d.paper.dimension import Dimensions
from frame3d.paper.fonts import text_width
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Cutting, Solid
from frame3d.tubes.tube import Tube

FLAT: Final = 2.0
"""Least width over thickness of a solid bar that is sawn from a plate; others get a wrapped template."""
ROWS: Final = 241
"""Number of lines along the bar on which its ends are found."""
STEP: Final = 0.5
"""Step along these lines [mm]; ends are then bisected to 1e-9."""
PITCH: Final = 2.5
"""Distance between hatching lines [mm]."""
ROOM: Final = 30.0
"""Room around the outline for dimensions [mm]."""


@dataclass(frozen=True, slots=True)
class FlatBar:
    """Outlines of a flat bar: ends of the metal along it, in mid-thickness and on both sides."""

    across: Array
    """Positions over the bar's width, upward, (n,) [mm]."""
    middle: Array
    """First and last s of the metal in mid-thickness, (n, 2) [mm]; NaN where there is none."""
    skins: tuple[Array, Array]
    """The same on its two sides."""
    wide: float
    thick: float
    """Thickness [mm]."""

    @property
    def blank(self) -> tuple[float, float]:
        """Lowest and highest s of any metal: the blank to be sawn from a bar [mm]."""
        every = np.concatenate((self.middle, *self.skins))
        return float(np.nanmin(every[:, 0])), float(np.nanmax(every[:, 1]))


def is_flat(tube: Tube) -> bool:
    """Whether a tube is a straight solid bar of constant section that is much wider than thick."""
    section = tube.section
    if not (section.is_solid and section.is_straight_sided and tube.axis.is_straight):
        return False
    sizes = (section.height[0], section.width[0])
    return max(sizes) >= FLAT * min(sizes)


def flat_bar(tube: Tube, cutting: Cutting) -> FlatBar:
    """Return a flat bar's outlines."""
    height, width = tube.section.height[0], tube.section.width[0]
    upright = height >= width
    wide, thick = (height, width) if upright else (width, height)
    across = np.linspace(-wide / 2, wide / 2, ROWS)

    def rows(side: float) -> Array:
        """Return first and last s of the metal along each line; `side` 0 is the middle, ±1 the sides."""
        depth = side * thick / 2 * np.sqrt(np.maximum(1 - (2 * across / wide) ** 2, 0.0))
        if tube.section.rounds:
            depth = side * _rounded_depth(tube, across, side, upright=upright)
        u, v = (across, depth) if upright else (depth, across)
        return np.array([_run(tube, cutting, a, b) for a, b in zip(u, v, strict=True)])

    return FlatBar(across, rows(0.0), (rows(1.0), rows(-1.0)), wide, thick)


def _rounded_depth(tube: Tube, across: Array, side: float, *, upright: bool) -> Array:
    """Return how far one side of a rectangular or D bar is from its middle, over its width (n,) [mm]."""
    section = tube.section
    a, b = section.height[0] / 2, section.width[0] / 2
    wide, thick = (a, b) if upright else (b, a)
    depth = np.full(len(across), thick)
    for (su, sv), r in zip(SIGNS, section.rounds[0], strict=True):
        along, out = (su, sv) if upright else (sv, su)
        if out * side > 0:
            past = np.clip(along * across - (wide - r), 0.0, r)
            depth = np.minimum(depth, thick - r + np.sqrt(r * r - past * past))
    return depth


def _run(tube: Tube, cutting: Cutting, u: float, v: float) -> tuple[float, float]:
    """Return first and last s of the longest run of metal on a line parallel to the axis, or NaN."""
    low = min(0.0, tube.start.long_point)
    high = tube.axis.length + max(0.0, -tube.end.long_point)
    s = np.linspace(low, high, max(3, int(np.ceil((high - low) / STEP)) + 1))

    def metal(at: Array) -> Mask:
        return cutting.is_metal_inside(np.full(len(at), u), np.full(len(at), v), at)

    a, b = max(_runs(metal(s)), key=lambda run: run[1] - run[0], default=(0, 0))
    if a == b:
        return np.nan, np.nan
    found = []
    for inside, outside in ((a, a - 1), (b - 1, b)):
        good, bad = float(s[inside]), float(s[min(max(outside, 0), len(s) - 1)])
        for _ in range(34 if good != bad else 0):
            half = (good + bad) / 2
            good, bad = (half, bad) if metal(np.array([half]))[0] else (good, half)
        found.append(good)
    return found[0], found[1]


def _runs(found: Mask) -> list[tuple[int, int]]:
    """Where each run of True begins, and the place after its end."""
    ends = np.flatnonzero(np.diff(found.astype(int), prepend=0, append=0)).tolist()
    return list(zip(ends[::2], ends[1::2], strict=True))


def flat_sheet(
    facts: TubeFacts,
    cutting: Cutting,
    bike: Bike,
    paper: Paper,
    bodies: Mapping[str, Solid],
) -> Sheet | None:
    """Return the sheet of a flat bar; None where the paper is too small for it."""
    tube, bar = facts.tube, flat_bar(facts.tube, cutting)
    low, high = bar.blank
    width, height = paper.height, paper.width
    sheet = Sheet(f"template_{tube.name}", f"{bike.spec.title}: {plain(tube.name)}", width, height)
    top = page_elements.heading(
        sheet,
        plain(tube.name).capitalize(),
        bike.spec.title,
        "flat outline 1:1 · glue on the plate, saw off what is hatched",
        (f"solid, {bar.wide:g} wide, {bar.thick:g} thick", tube.material, "sheet 1 of 1"),
    )
    y = page_elements.caution(sheet) + 1.5
    _foot(sheet, facts, bar, y)
    free = (width - 2 * MARGIN, top - y - FOOT)
    if high - low + ROOM > free[0] or bar.wide + ROOM > free[1]:
        return None
    x0 = width / 2 - (low + high) / 2
    y0 = y + FOOT + free[1] / 2
    at = np.array([x0, y0])
    sheet.box(x0 + low, y0 - bar.wide / 2, high - low, bar.wide, "STRIP")
    for i, layer in ((0, "CUT"), (1, "CUT")):
        sheet.path(_edge(bar, bar.middle, i) + at, layer)
        for skin in bar.skins:
            sheet.path(_edge(bar, skin, i) + at, "CUT_INNER")
    for sign in (-1, 1):
        ends = bar.middle[0 if sign < 0 else -1] + x0
        sheet.line((ends[0], y0 + sign * bar.wide / 2), (ends[1], y0 + sign * bar.wide / 2), "CUT")
    sheet.line((x0 + low - 5.0, y0), (x0 + high + 5.0, y0), "CENTRE")
    _hatch(sheet, bar, (x0, y0))
    sizes = Dimensions(sheet)
    left, right = (x0 + low, y0 - bar.wide / 2), (x0 + high, y0 - bar.wide / 2)
    sizes.horizontal(left, right, y0 - bar.wide / 2 - 7.0, f"{high - low:z.2f}")
    sizes.vertical(right, (right[0], y0 + bar.wide / 2), right[0] + 8.0, f"{bar.wide:g}")
    sizes.letter()
    upper = y0 + bar.wide / 2 + 2.5
    said = [cut_text(tube, cutting, at, bodies) for at in ("start", "end")]
    above = sum(text_width(text, 2.7) for text in said) + 6.0 < high - low
    y_text = upper + 4.8 if above else y0 + 3.0
    for text, side, x, align in (
        (said[0], "start", left[0] if above else left[0] - 8.0, "left" if above else "right"),
        (said[1], "end", right[0] if above else right[0] + 16.0, "right" if above else "left"),
    ):
        sheet.text((x, y_text + 4.2), side.upper(), 3.1, bold=True, align=align)
        sheet.text((x, y_text), text, 2.7, align=align)
    facing = 0.0 if tube.section.height[0] >= tube.section.width[0] else 90.0
    name = line_name(tube, tube.axis.length / 2, facing)
    sheet.text((x0 + (low + high) / 2, upper), f"{name} edge", 2.5, align="centre")
    return sheet


def _foot(sheet: Sheet, facts: TubeFacts, bar: FlatBar, y: float) -> None:
    """Draw check square and ruler, and the bar's figures beside them."""
    page_elements.checks(sheet, MARGIN, y)
    x = MARGIN + 176.0
    low, high = bar.blank
    rows = [
        ("saw from a bar of", f"{bar.wide:g} × {bar.thick:g}"),
        ("length between long points", f"{high - low:z.2f}"),
        ("centre to centre", f"{facts.centre_to_centre:z.2f}"),
    ]
    wide = sheet.width - MARGIN - x
    columns = [Column("", wide - 32.0), Column("", 32.0, "right")]
    low = page_elements.table(sheet, x, y + 50.0, columns, rows)
    for line in (
        "Full line: where the metal ends in the middle of the",
        "thickness. Dashed: where it ends on the two sides.",
        "Saw along whichever lies outside, then file between",
        "them until it fits. Hatched: waste, whole thickness.",
    ):
        low -= 4.0
        sheet.text((x, low), line, 2.5)


def _edge(bar: FlatBar, rows: Array, which: int) -> Array:
    """Return one end's edge on the paper: (n, 2), along the bar and across."""
    kept = ~np.isnan(rows[:, which])
    return np.column_stack([rows[kept, which], bar.across[kept]])


def _hatch(sheet: Sheet, bar: FlatBar, at: tuple[float, float]) -> None:
    """Draw lines at 45 degrees over the waste: where the blank has no metal at any depth."""
    low, high = bar.blank
    every = np.stack((bar.middle, *bar.skins))
    empty = np.isnan(every[..., 0]).all(axis=0)
    first = np.where(
        empty, np.inf, np.nanmin(np.where(np.isnan(every), np.inf, every)[..., 0], axis=0)
    )
    last = np.where(
        empty, -np.inf, np.nanmax(np.where(np.isnan(every), -np.inf, every)[..., 1], axis=0)
    )
    half = bar.wide / 2
    for c in np.arange(low - half, high + half, PITCH * np.sqrt(2)):
        x = c + bar.across
        waste = (x >= low) & (x <= high) & ((x < first) | (x > last))
        for a, b in _runs(waste):
            if b - a > 1:
                p, q = ((at[0] + float(x[i]), at[1] + float(bar.across[i])) for i in (a, b - 1))
                sheet.line(p, q, "BUTT")
