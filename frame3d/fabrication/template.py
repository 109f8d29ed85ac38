r"""A tube's cut edges unrolled at 1:1: panels of paper that are wrapped around the tube.

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
from typing import Final

import numpy as np

from frame3d.fabrication.develop import Development
from frame3d.fabrication.tube_facts import (
    TubeFacts,
    acute,
    end_of,
    line_name,
    plain,
)
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import angle_between
from frame3d.tubes.cuts.edge import Cutting, EdgeOutline, EdgePlace, Solid
from frame3d.tubes.tube import Tube

BODY: Final = 18.0
"""Least paper between the cut edge and the template's straight edge [mm]."""
LEAST_BODY: Final = 4.0
"""The same where the outside changes its slope beyond: paper does not lie on past that place [mm]."""
SLIGHT: Final = 0.5
"""How far an edge may run past such a place [mm]."""


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
    covered: tuple[Array, ...] = ()
    """Outlines of what stands on the tube, as `outer`."""
    crosses: tuple[tuple[str, float, float], ...] = ()
    """Middles of what is marked on the tube: number, x and y as in `outer` [mm]."""

    @property
    def extent(self) -> tuple[float, float]:
        """Lowest and highest y on the paper [mm]."""
        ends = [self.low, self.high]
        if self.straight is not None:
            ends = self.rule(self.straight)[:, 1].tolist()
        y = np.concatenate([ends, *(path[:, 1] for path in (*self.outer, *self.inner))])
        return float(y.min()), float(y.max())

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
    turn = half_turn(flat.right_of_centre(outer[0].phi))
    order = np.argsort(turn, kind="stable")
    return Panel(
        place=place,
        flat=flat,
        low=low,
        high=high,
        spread=np.column_stack([turn, outer[0].s])[order],
        outer=laid(flat, outer),
        inner=laid(flat, inner),
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
    edge = np.vstack([flat.at(half_turn(flat.right_of_centre(o.phi)), o.s) for o in outer])
    apart = np.linalg.norm(flat.at(turn, s)[:, None] - edge[None, ::4], axis=2).min(axis=1)
    best = int(np.argmax(apart))
    return float(turn[best]), float(s[best])


def half_turn(turn: Array) -> Array:
    """Return angles reduced to -180 to 180 degrees."""
    return np.asarray((turn + 180.0) % 360.0 - 180.0)


def laid(flat: Development, outlines: Sequence[EdgeOutline]) -> tuple[Array, ...]:
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
