r"""Mitre templates at 1:1: a tube's cut edges unrolled, to be wrapped around the tube.

A panel shows one place of a tube (an end, a hole, or a whole short tube). Panels of both ends share
their middle line, so that they are in phase:

      seam      line     middle line    line     seam
       |         |          |            |        |
       |.        |        _.+._          |       .|      full line: outer edge (CUT)
       | '-._    |    _.-'  |  '-._      |   _.-' |      dashed: edge of the bore (CUT_INNER)
       |     '-._|_.-'      |      '-._  |_.-'    |--.
       |         |          |          '-'        |  | flap, to glue the template
       |         |          |            |        |--'
       +---------+----------+------------+--------+      straight edge, whole 5 mm from the datum
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.develop import Development
from frame3d.fabrication.template_name import name_on
from frame3d.fabrication.tube_facts import (
    TubeFacts,
    acute,
    end_of,
    line_name,
    plain,
    section_text,
    wall_text,
)
from frame3d.geometry.arrays import Array
from frame3d.geometry.ellipse import girth
from frame3d.geometry.vector import angle_between
from frame3d.paper import dimension, page_elements
from frame3d.paper.page_elements import MARGIN, Column, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Cutting, EdgeOutline, EdgePlace, Solid
from frame3d.tubes.tube import Tube

FLAP: Final = 6.0
"""Width of the flap beyond the full turn, to glue the template to itself [mm]."""
BODY: Final = 18.0
"""Least paper between the cut edge and the template's straight edge [mm]."""
LEAST_BODY: Final = 4.0
"""The same where the outside changes its slope beyond: paper does not lie on past that place [mm]."""
SLIGHT: Final = 0.5
"""How far an edge may run past such a place [mm]."""
LABEL: Final = 12.0
"""Height of a panel's two lines of text [mm]."""
OVERLAP: Final = 15.0
"""Overlap of the pieces of a template that is longer than its page [mm]."""
FOOT: Final = 54.0
"""Height of the check square and the table beside it [mm]."""


class TooWideError(ValueError):
    """Raised for a template that is wider than the paper."""


class StepError(ValueError):
    """Raised for an edge that runs across a change of the outside, where no flat paper lies on."""


@dataclass(frozen=True)
class Panel:
    """One place of a tube unrolled, with y along the tube's axis."""

    place: EdgePlace
    flat: Development
    low: float
    """Lowest s on the paper [mm]."""
    high: float
    spread: Array
    """The end's own outer edge, (n, 2): turn from the middle line [degrees], increasing, and s [mm]."""
    outer: tuple[Array, ...]
    """Outer edges, (n, 2) each: x from the middle line, y along the tube [mm]; the end's own first."""
    inner: tuple[Array, ...]
    """Edges of the bore, likewise."""
    straight: float | None
    """s of the template's straight edge [mm]; None around a hole."""
    keep: tuple[float, float] | None
    """A point well inside the metal to be marked, for a whole tube: turn [degrees] and s [mm]."""
    texts: tuple[str, str]
    lines: tuple[str, str, str, str]
    """Names of the lines at every quarter turn, from the left seam."""

    @property
    def extent(self) -> tuple[float, float]:
        """Lowest and highest y on the paper [mm]."""
        y = np.concatenate([path[:, 1] for path in (*self.outer, *self.inner)])
        ends = [] if self.straight is None else self.rule(self.straight)[:, 1].tolist()
        if self.straight is None:
            ends = [self.low, self.high]
        return min(float(y.min()), *ends), max(float(y.max()), *ends)

    @property
    def width(self) -> float:
        """Width of the full turn [mm]."""
        return self.flat.width

    def rule(self, s: float) -> Array:
        """Return the line square around the tube at s, (n, 2) [mm]; straight unless the tube tapers."""
        turn: Array = np.linspace(-180.0, 180.0, 3 if self.flat.even else 181)
        return self.flat.at(turn, np.full(len(turn), s))


def panels_of(facts: TubeFacts, cutting: Cutting, bodies: Mapping[str, Solid]) -> list[Panel]:
    """Return all of a tube's panels from start to end."""
    made = [_panel(facts, cutting, place, bodies) for place in cutting.places]
    order = {"start": 0, "whole": 0, "hole": 1, "end": 2}
    return sorted(made, key=lambda p: (order[p.place.at], p.low))


def _panel(
    facts: TubeFacts, cutting: Cutting, place: EdgePlace, bodies: Mapping[str, Solid]
) -> Panel:
    tube, length = facts.tube, facts.tube.axis.length
    straight = None
    if place.at == "start":
        straight = 5.0 * math.ceil((place.high + BODY) / 5.0 - 1e-9)
        low, high = place.low, straight
    elif place.at == "end":
        straight = length - 5.0 * math.ceil((length - place.low + BODY) / 5.0 - 1e-9)
        low, high = straight, place.high
    else:
        low = _lower(place)
        high = 5.0 * math.ceil((place.high + BODY) / 5.0)
    middle = facts.middle
    below, above = _even_stretch(tube, place)
    if place.at == "start" and above < high:
        high = straight = max(5.0 * math.floor(above / 5.0), place.high + LEAST_BODY)
    elif place.at == "end" and below > low:
        low = length - 5.0 * math.floor((length - below) / 5.0)
        low = straight = min(low, place.low - LEAST_BODY)
    taper = (
        max(low, tube.start.long_point, below),
        min(high, length - tube.end.long_point, above),
    )
    flat = Development(tube.section, *taper, middle)
    inner: tuple[EdgeOutline, ...] = ()
    if not tube.section.is_solid:
        inner = cutting.outlines(place, 1.0)
    names = [line_name(tube, length / 2, middle - turn) for turn in (-180.0, -90.0, 0.0, 90.0)]
    outer = cutting.outlines(place)
    turn = _half(flat.right_of_centre(outer[0].phi))
    order = np.argsort(turn, kind="stable")
    return Panel(
        place=place,
        flat=flat,
        low=low,
        high=high,
        spread=np.column_stack([turn, outer[0].s])[order],
        outer=_laid(flat, outer),
        inner=_laid(flat, inner),
        straight=straight,
        keep=_inside(cutting, flat, outer, low, high) if place.at == "whole" else None,
        texts=_texts(facts, cutting, place, straight, bodies),
        lines=(names[0], names[1], names[2], names[3]),
    )


def _even_stretch(tube: Tube, place: EdgePlace) -> tuple[float, float]:
    """Return the stretch about an edge in which the outside keeps its slope: low and high s [mm].

    Raises:
        StepError: the slope changes within the edge, by more than `SLIGHT` from its ends.
    """
    places = [tube.section.s[i] for i in tube.section.corners[1:-1]]
    within = [s for s in places if place.low + SLIGHT < s < place.high - SLIGHT]
    if within:
        at = within[0] if place.at != "end" else tube.axis.length - within[-1]
        raise StepError(
            f"its outside changes {at:.1f} mm from the end of its axis, within the edge that is cut "
            f"there, so that no paper lies on it"
        )
    middle = (place.low + place.high) / 2
    return (
        max((s for s in places if s <= middle), default=-math.inf),
        min((s for s in places if s > middle), default=math.inf),
    )


def _lower(place: EdgePlace) -> float:
    """Return s of the lower edge of a template for a hole or a whole tube [mm]."""
    return 5.0 * math.floor((place.low - BODY) / 5.0)


def _inside(
    cutting: Cutting, flat: Development, outer: Sequence[EdgeOutline], low: float, high: float
) -> tuple[float, float]:
    """Return the point of the metal farthest from its edges and clear of the seam: turn, s."""
    most = max(0.0, 180.0 - 360.0 * 7.0 / flat.width)
    turn, s = (
        g.ravel() for g in np.meshgrid(np.linspace(-most, most, 45), np.linspace(low, high, 61))
    )
    metal = cutting.is_metal(flat.centre - turn, s)
    turn, s = turn[metal], s[metal]
    edge = np.vstack([flat.at(_half(flat.right_of_centre(o.phi)), o.s) for o in outer])
    apart = np.linalg.norm(flat.at(turn, s)[:, None] - edge[None, ::4], axis=2).min(axis=1)
    best = int(np.argmax(apart))
    return float(turn[best]), float(s[best])


def _half(turn: Array) -> Array:
    """Return angles reduced to -180 to 180 degrees."""
    return np.asarray((turn + 180.0) % 360.0 - 180.0)


def _laid(flat: Development, outlines: Sequence[EdgeOutline]) -> tuple[Array, ...]:
    """Return outlines on the paper, cut at the seam: (n, 2) each [mm]."""
    paths: list[Array] = []
    for outline in outlines:
        turn, s = flat.right_of_centre(outline.phi), outline.s
        first = np.floor((turn.min() + 180.0) / 360.0)
        last = np.floor((turn.max() + 180.0 - 1e-9) / 360.0)
        pieces = []
        for k in np.arange(first, last + 1):
            pieces += _between(turn, s, 360.0 * k - 180.0)
        own = [flat.at(t, along) for t, along in pieces]
        paths += _joined(own)
    return tuple(paths)


def _between(turn: Array, s: Array, left: float) -> list[tuple[Array, Array]]:
    """Return the pieces of a path within one full turn from `left`, shifted to −180 … 180 degrees."""
    rows: list[list[tuple[float, float]]] = [[]]
    for i in range(len(turn)):
        if i:
            a, b = (turn[i - 1], s[i - 1]), (turn[i], s[i])
            cuts = sorted(
                (edge - a[0]) / (b[0] - a[0])
                for edge in (left, left + 360.0)
                if (a[0] - edge) * (b[0] - edge) < 0
            )
            for share in cuts:
                p = (float(a[0] + share * (b[0] - a[0])), float(a[1] + share * (b[1] - a[1])))
                if rows[-1]:
                    rows[-1].append(p)
                    rows.append([])
                else:
                    rows[-1].append(p)
        if left - 1e-9 <= turn[i] <= left + 360.0 + 1e-9:
            rows[-1].append((float(turn[i]), float(s[i])))
    found = []
    for row in rows:
        if len(row) > 1:
            path = np.array(row)
            found.append((np.clip(path[:, 0] - left - 180.0, -180.0, 180.0), path[:, 1]))
    return found


def _joined(paths: list[Array]) -> list[Array]:
    """Join paths that meet end to end."""
    out: list[Array] = []
    for path in paths:
        for i, other in enumerate(out):
            for a, b in ((other, path), (path, other), (other[::-1], path), (path, other[::-1])):
                if np.abs(a[-1] - b[0]).max() < 1e-6:
                    out[i] = np.vstack([a, b[1:]])
                    break
            else:
                continue
            break
        else:
            out.append(path)
    return out


def _texts(
    facts: TubeFacts,
    cutting: Cutting,
    place: EdgePlace,
    straight: float | None,
    bodies: Mapping[str, Solid],
) -> tuple[str, str]:
    tube = facts.tube
    if place.at == "whole":
        return (
            f"WHOLE TUBE · cut by {', '.join(plain(name) for name in place.cutters)}",
            f"one template for both ends; its lower edge {abs(_lower(place)):g} mm "
            f"{'before' if _lower(place) < 0 else 'after'} the start's crossing of axes",
        )
    if place.at == "hole":
        return (
            f"OPENING for {' and '.join(plain(name) for name in place.cutters)}",
            f"lower edge {_lower(place):g} mm, middle "
            f"{(place.low + place.high) / 2:z.1f} mm from where the tube's axis starts",
        )
    end = end_of(tube, place.at)
    title = f"{place.at.upper()} · {cut_text(tube, cutting, place.at, bodies)}"
    assert straight is not None
    away = straight if place.at == "start" else tube.axis.length - straight
    datum = {
        "mitre": "the crossing of axes",
        "square": "the cut end",
        "coped": "where the axis ends",
    }[cutting.kind(place.at)]
    below = f"plain edge {away:g} mm from {datum}"
    if cutting.kind(place.at) != "square":
        reach = cutting.reach(place.at)
        if place.at == "end":
            reach = (tube.axis.length - reach[0], tube.axis.length - reach[1])
        below += f"; long point {reach[0]:z.2f}, short point {reach[1]:z.2f} from it"
    if end.cut == "mitre" and end.offset > 0.005:
        below += f"; axes pass {end.offset:z.2f} apart"
    return title, below


def cut_text(tube: Tube, cutting: Cutting, at: str, bodies: Mapping[str, Solid]) -> str:
    """Return in words how an end is cut, to which bodies, and at which angles."""
    end = end_of(tube, at)
    s = 0.0 if at == "start" else tube.axis.length

    def named(name: str) -> str:
        if name == end.target and end.angle is not None:
            return f"{plain(name)} at {acute(end.angle):z.2f}°"
        if name not in bodies:
            return plain(name)
        other = bodies[name].axis
        where = float(other.nearest(tube.axis.points(np.array([s])))[0])
        angle = angle_between(tube.axis.tangent(s), other.tangent(where))
        return f"{plain(name)} at {acute(angle):z.2f}°"

    copes = " and ".join(named(name) for name in cutting.copes(at))
    if end.cut == "mitre":
        assert end.target is not None
        return f"mitred to {named(end.target)}" + (f" and {copes}" if copes else "")
    on = end.target if end.target not in cutting.copes(at) else None
    said = "square cut" if on is None else f"square cut to {plain(on)}"
    if copes:
        return f"{said}, coped to {copes}"
    return "square, open" if on is None else said


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
    groups = _grouped(panels, room)
    sheets = []
    tube = facts.tube
    for i, group in enumerate(groups):
        suffix = "" if len(groups) == 1 else f"-{i + 1}"  # no tube has a hyphen in its name
        sheet = Sheet(
            f"template_{tube.name}{suffix}",
            f"{bike.spec.title}: {plain(tube.name)} {i + 1}/{len(groups)}",
            w,
            h,
        )
        top = page_elements.heading(
            sheet,
            plain(tube.name).capitalize(),
            bike.spec.title,
            "mitre template 1:1 · wrap with the print outside, arrow toward the tube's end",
            (
                f"{section_text(tube)} mm, wall {wall_text(tube)}",
                tube.material,
                f"sheet {i + 1} of {len(groups)}",
            ),
        )
        y = page_elements.caution(sheet) + 1.5
        _foot(sheet, facts, y, bodies)
        _place(sheet, group, top - 4.0, y + FOOT + 2.0, plain(tube.name))
        sheets.append(sheet)
    return sheets


@dataclass(frozen=True)
class Piece:
    """The part of a panel on one page: all of it, or the range `low` to `high` of y [mm]."""

    panel: Panel
    low: float
    high: float
    number: int = 1
    of: int = 1

    @property
    def texts(self) -> tuple[str, str]:
        """The panel's texts; for one of several pieces, with how they go together."""
        title, below = self.panel.texts
        if self.of == 1:
            return title, below
        marks = "lay the crosses of the same name over each other"
        last = self.of if self.panel.place.at == "start" else 1
        return (
            f"{title} · piece {self.number} of {self.of}",
            below if self.number == last else marks,
        )


def _grouped(panels: Sequence[Panel], room: float) -> list[list[Piece]]:
    """Distribute panels over pages: all on one if they fit, else one a page, else in pieces."""
    need = sum(high - low for low, high in (panel.extent for panel in panels))
    if need + len(panels) * LABEL + 8.0 * (len(panels) - 1) <= room:
        return [[Piece(panel, *panel.extent) for panel in panels]]
    pages: list[list[Piece]] = []
    usable = room - LABEL
    for panel in panels:
        low, high = panel.extent
        count = max(1, math.ceil((high - low - OVERLAP) / (usable - OVERLAP) - 1e-9))
        for i in range(count):
            from_y = low + i * (usable - OVERLAP)
            pages.append([Piece(panel, from_y, min(from_y + usable, high), i + 1, count)])
    return pages


def _place(sheet: Sheet, group: Sequence[Piece], top: float, bottom: float, name: str) -> None:
    """Draw panels above each other, the tube's end at the top, with a common middle line."""
    x = (sheet.width - FLAP) / 2
    heights = [piece.high - piece.low + LABEL for piece in group]
    gap = (top - bottom - sum(heights)) / (len(group) + 1)
    gap = min(gap, 26.0)
    y = bottom + (top - bottom - sum(heights) - gap * (len(group) - 1)) / 2
    marks = []
    for piece, height in zip(group, heights, strict=True):
        panel, low, high = piece.panel, piece.low, piece.high
        above = panel.place.at != "end"
        base = y if above else y + LABEL
        _draw(sheet, panel, (x, base - low), (low, high))
        name_on(sheet, panel, (x, base - low), (low, high), name)
        text_y = base + (high - low) + 2.6 if above else base - 4.6
        title, below = piece.texts
        sheet.text((x, text_y + (4.2 if above else 0.0)), title, 3.1, bold=True, align="centre")
        sheet.text((x, text_y - (0.0 if above else 4.0)), below, 2.7, align="centre")
        marks.append((base, base + high - low, above))
        y += height + gap
    for (_, a, above), (b, _, below_label) in pairwise(marks):
        low_y = a + (LABEL if above else 0.0)
        high_y = b - (0.0 if below_label else LABEL)
        if high_y - low_y > 6.0:
            middle = (low_y + high_y) / 2
            sheet.line((x, low_y), (x, middle - 1.6), "CENTRE")
            sheet.line((x, middle + 1.6), (x, high_y), "CENTRE")
            for dy in (-1.6, 1.6):
                sheet.path(
                    [
                        (x - 3, middle + dy - 0.6),
                        (x - 1, middle + dy + 0.6),
                        (x + 1, middle + dy - 0.6),
                        (x + 3, middle + dy + 0.6),
                    ],
                    "STRIP",
                )


def _draw(sheet: Sheet, panel: Panel, at: tuple[float, float], shown: tuple[float, float]) -> None:
    """Draw one panel.

    Args:
        sheet: to draw on.
        panel: the panel.
        at: (x, y) of its middle line and of s = 0 [mm].
        shown: range of the panel's y that the page shows [mm].
    """
    x0, y0 = at
    window = (shown[0] - 1e-6, shown[1] + 1e-6)

    def path(points: Array, layer: str) -> None:
        for piece in clipped(points, *window):
            sheet.path(piece + np.array([x0, y0]), layer)

    for edge in panel.outer:
        path(edge, "CUT")
    for edge in panel.inner:
        path(edge, "CUT_INNER")
    rules = [panel.straight] if panel.straight is not None else [panel.low, panel.high]
    for s in rules:
        path(panel.rule(s), "STRIP")
    for turn, layer in (
        (-180.0, "STRIP"),
        (-90.0, "CENTRE"),
        (0.0, "CENTRE"),
        (90.0, "CENTRE"),
        (180.0, "STRIP"),
    ):
        low, high = _column(panel, turn)
        path(panel.flat.at(np.array([turn, turn]), np.array([low, high])), layer)
    _flap(sheet, panel, at, window)
    names = (*panel.lines, panel.lines[0])
    for turn, name in zip((-180.0, -90.0, 0.0, 90.0, 180.0), names, strict=True):
        low, high = _column(panel, turn)
        s = high - 1.6 if panel.place.at != "end" else low + 1.6
        if panel.straight is not None and not window[0] < s < window[1]:
            # On every piece of a tiled one, clear of the marks.
            s = min(max(s, window[0] + OVERLAP + 1.6), window[1] - OVERLAP - 1.6)
        if not low < s < high:
            continue
        (px, py), (qx, qy) = panel.flat.at(np.array([turn, turn]), np.array([s, s + 1.0]))
        if window[0] < py < window[1]:
            lean = math.atan2(
                qy - py, qx - px
            )  # along its line, to the right but at the right seam
            aside = -0.9 if turn > 179 else 2.9
            sheet.text(
                (x0 + px + aside * math.sin(lean), y0 + py - aside * math.cos(lean)),
                name,
                2.5,
                turn=math.degrees(lean),
                align="left" if panel.place.at == "end" else "right",
            )
    _arrow(sheet, panel, at, window)
    if panel.keep is not None:
        ((px, py),) = panel.flat.at(np.array([panel.keep[0]]), np.array([panel.keep[1]]))
        if window[0] < py < window[1]:
            dimension.backed(sheet, (x0 + px, y0 + py), "TUBE", size=4.0)
    low, high = panel.extent
    for i, y in enumerate((shown[0], shown[1])):
        if abs(y - (low, high)[i]) > 1e-6:
            _tile_marks(sheet, panel, at, y if i == 0 else y - OVERLAP)


def _column(panel: Panel, turn: float) -> tuple[float, float]:
    """Return the range of s that a template covers along one generator [mm]."""
    if panel.straight is None:
        return panel.low, panel.high
    s = float(np.interp(turn, panel.spread[:, 0], panel.spread[:, 1], period=360.0))
    return (s, panel.straight) if panel.place.at == "start" else (panel.straight, s)


def _flap(sheet: Sheet, panel: Panel, at: tuple[float, float], window: tuple[float, float]) -> None:
    """Draw the flap beyond the right seam."""
    low, high = _column(panel, 180.0)
    a, b = panel.flat.at(np.array([180.0, 180.0]), np.array([low, high]))
    out = np.array([FLAP, 0.0])
    slope = np.array([0.0, 2.0])
    flap = np.array([a, a + out + slope, b + out - slope, b])
    for piece in clipped(flap, *window):
        sheet.path(piece + np.array(at), "STRIP")
    middle = (a + b + out) / 2
    if window[0] < middle[1] < window[1] and b[1] - a[1] > 14:
        sheet.text(
            (at[0] + middle[0] + 0.8, at[1] + middle[1]), "glue", 2.2, align="centre", turn=90.0
        )


def _arrow(
    sheet: Sheet, panel: Panel, at: tuple[float, float], window: tuple[float, float]
) -> None:
    """Draw an arrow toward the tube's end, beside the middle line."""
    low, high = _column(panel, 45.0)
    x = float(panel.flat.at(np.array([45.0]), np.array([(low + high) / 2]))[0, 0])
    y = high - 9.0 if panel.place.at != "end" else low + 3.0
    if window[0] < y and y + 7 < window[1] and abs(high - low) > 11:
        px, py = at[0] + x, at[1] + y
        sheet.line((px, py), (px, py + 5), "DIMENSION")
        sheet.fill([(px - 0.9, py + 4), (px + 0.9, py + 4), (px, py + 7)], "DIMENSION")


def _tile_marks(sheet: Sheet, panel: Panel, at: tuple[float, float], y: float) -> None:
    """Draw crosses by which pieces of a long template are laid over each other."""
    for side, x in (("A", -panel.width / 2), ("B", panel.width / 2)):
        px, py = at[0] + x, at[1] + y + OVERLAP / 2
        for dx, dy in ((3.0, 0.0), (0.0, 3.0)):
            sheet.line((px - dx, py - dy), (px + dx, py + dy), "CHECK")
        sheet.circle((px, py), 1.6, "CHECK")
        sheet.text(
            (px + (2.2 if side == "A" else -2.2), py + 2.0),
            f"{side} {y:z.0f}",
            2.5,
            bold=True,
            align="left" if side == "A" else "right",
        )


def clipped(points: Array, low: float, high: float) -> list[Array]:
    """Return the pieces of a path between two values of y: (n, 2) -> list of (m, 2)."""
    if points[:, 1].min() >= low and points[:, 1].max() <= high:
        return [points]
    rows: list[list[Array]] = [[]]
    for a, b in pairwise(points):
        shares = sorted(
            {
                0.0,
                1.0,
                *(
                    (edge - a[1]) / (b[1] - a[1])
                    for edge in (low, high)
                    if (a[1] - edge) * (b[1] - edge) < 0
                ),
            }
        )
        for s, t in pairwise(shares):
            p, q = a + s * (b - a), a + t * (b - a)
            if low <= (p[1] + q[1]) / 2 <= high:
                if not rows[-1]:
                    rows[-1].append(p)
                rows[-1].append(q)
            elif rows[-1]:
                rows.append([])
    return [np.array(row) for row in rows if len(row) > 1]


def _foot(sheet: Sheet, facts: TubeFacts, y: float, bodies: Mapping[str, Solid]) -> None:
    """Draw check square and ruler, and the tube's figures beside them."""
    page_elements.checks(sheet, MARGIN, y)
    x = MARGIN + 56.0
    tube = facts.tube
    at = 0.0 if tube.axis.is_straight else None
    h0, w0 = tube.section.height[0], tube.section.width[0]
    h1, w1 = tube.section.height[-1], tube.section.width[-1]
    around = f"{girth(h0, w0):z.2f}"
    if (h0, w0) != (h1, w1):
        around += f" to {girth(h1, w1):z.2f}"
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
