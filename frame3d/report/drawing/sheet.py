"""A drawing in millimetres as SVG, with dimension lines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.report.markup import Markup, el, together

XZ = tuple[float, float]
"""x forward, z up [mm]."""

LETTER = 0.62
"""Width of a letter over its height."""


@dataclass
class SvgDrawing:
    """A drawing in progress. Lines keep their width on the screen at any scale (page.css)."""

    size: float
    """Height of the figures [mm]."""
    marks: list[Markup] = field(default_factory=list)
    """Elements of the drawing, in order."""
    reached: list[XZ] = field(default_factory=list)
    """Points that its own lines and texts reach to."""

    def svg(self, low: XZ, high: XZ, label: str, class_: str = "sheet") -> Markup:
        """Return the drawing between two corners, lower rear and upper front, as an SVG element."""
        width, height = high[0] - low[0], high[1] - low[1]
        return el(
            "svg",
            *self.marks,
            class_=class_,
            viewbox=f"{_n(low[0])} {_n(-high[1])} {_n(width)} {_n(height)}",
            role="img",
            aria_label=label,
        )

    def use(self, name: str, line: float, class_: str | None = None) -> None:
        """Draw a `symbol` of the page, with lines of a given width [mm]."""
        self.marks.append(el("use", href=f"#{name}", stroke_width=_n(line), class_=class_))

    def path(self, loops: Iterable[Sequence[XZ] | Array], class_: str, *, closed: bool) -> None:
        """Draw polylines through points."""
        loops = [[(float(x), float(z)) for x, z in loop] for loop in loops]
        self.reached += [point for loop in loops for point in loop]
        self.marks.append(path(loops, class_, closed=closed))

    def line(self, a: XZ, b: XZ, class_: str) -> None:
        """Draw a straight line."""
        self.path([[a, b]], class_, closed=False)

    def dot(self, at: XZ, share: float = 0.18) -> None:
        """Draw a point from which a dimension starts."""
        self.marks.append(
            el("circle", cx=_n(at[0]), cy=_n(-at[1]), r=_n(share * self.size), class_="dot")
        )

    def text(self, at: XZ, shown: str, turn: float = 0.0, anchor: str = "middle") -> None:
        """Draw a text centred at a point, turned anticlockwise [degrees]."""
        x, y = _n(at[0]), _n(-at[1])
        half = LETTER * self.size * len(shown) / 2
        along = (half * math.cos(math.radians(turn)), half * math.sin(math.radians(turn)))
        for way in (-1.0, 1.0):
            end = (at[0] + way * along[0], at[1] + way * along[1])
            self.reached += [(end[0] + s, end[1] + s) for s in (-self.size / 2, self.size / 2)]
        self.marks.append(
            el(
                "text",
                shown,
                x=x,
                y=y,
                dy=_n(0.36 * self.size),
                font_size=_n(self.size),
                text_anchor=anchor,
                transform=f"rotate({_n(-turn)} {x} {y})" if turn else None,
            )
        )

    def length(
        self, a: XZ, b: XZ, shown: str, along: XZ, away: float, *, beside: float = 0.0
    ) -> None:
        """Draw the dimension of a length.

        Args:
            a: from this point.
            b: to this one.
            shown: its text.
            along: direction in which it is measured; only its line counts.
            away: how far the dimension line stands off, to the left of `along`; from `a` where
                `beside` is 0 [mm].
            beside: how far along it the text stands past `b`, where it does not fit between.
        """
        t = _unit(along)
        n = (-t[1], t[0])
        start = (a[0] + away * n[0], a[1] + away * n[1])
        span = (b[0] - a[0]) * t[0] + (b[1] - a[1]) * t[1]
        end = (start[0] + span * t[0], start[1] + span * t[1])
        for foot, tip in ((a, start), (b, end)):
            self._extension(foot, tip)
        inside = abs(span) > 3.2 * self.size
        self.line(start, end, "dim")
        way = math.copysign(1.0, span)
        self._arrow(start, (-way * t[0], -way * t[1]), inside)
        self._arrow(end, (way * t[0], way * t[1]), inside)
        turn = _upright(math.degrees(math.atan2(t[1], t[0])))
        up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
        lift = 0.72 * self.size
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        if beside:
            reach = way * (abs(span) / 2 + beside)
            middle = (middle[0] + reach * t[0], middle[1] + reach * t[1])
            lift = 0.0
        self.text((middle[0] + lift * up[0], middle[1] + lift * up[1]), shown, turn)

    def angle(self, at: XZ, first: float, second: float, radius: float, shown: str) -> None:
        """Draw the dimension of an angle at a point, anticlockwise from `first` to `second` [°]."""
        count = max(8, int(abs(second - first) / 4))
        turns = np.radians(np.linspace(first, second, count))
        arc = [(at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns]
        self.path([arc], "dim", closed=False)
        for i, step in ((0, 1), (-1, -2)):
            tip, before = arc[i], arc[step]
            self._arrow(tip, _unit((tip[0] - before[0], tip[1] - before[1])), True)
        middle = math.radians((first + second) / 2)
        reach = radius + 1.5 * self.size
        self.text((at[0] + reach * math.cos(middle), at[1] + reach * math.sin(middle)), shown)

    def _extension(self, foot: XZ, tip: XZ) -> None:
        """Draw an extension line from near the measured point to beyond the dimension line."""
        dx, dz = tip[0] - foot[0], tip[1] - foot[1]
        length = math.hypot(dx, dz)
        if length < 0.5 * self.size:
            return
        u = (dx / length, dz / length)
        gap, past = 0.25 * self.size, 0.35 * self.size
        self.line(
            (foot[0] + gap * u[0], foot[1] + gap * u[1]),
            (tip[0] + past * u[0], tip[1] + past * u[1]),
            "ext",
        )

    def _arrow(self, tip: XZ, way: XZ, inside: bool) -> None:
        """Draw an arrowhead at `tip` along `way`; from outside, the other way and with a tail."""
        long, half = 0.62 * self.size, 0.16 * self.size
        sign = 1.0 if inside else -1.0
        back = (tip[0] - sign * long * way[0], tip[1] - sign * long * way[1])
        n = (-way[1], way[0])
        corners = [
            tip,
            (back[0] + half * n[0], back[1] + half * n[1]),
            (back[0] - half * n[0], back[1] - half * n[1]),
        ]
        self.path([corners], "arrow", closed=True)
        if not inside:
            tail = (back[0] + long * way[0], back[1] + long * way[1])
            self.line(back, tail, "dim")


def path(loops: Iterable[Sequence[XZ] | Array], class_: str, *, closed: bool) -> Markup:
    """Return polylines as an SVG path; later loops are holes in earlier ones."""
    data = "".join(
        "M" + "L".join(f"{_n(x)} {_n(-z)}" for x, z in loop) + ("Z" if closed else "")
        for loop in loops
    )
    return el("path", d=data, class_=class_)


def symbol(name: str, marks: Sequence[Markup]) -> Markup:
    """Return a symbol that drawings on the same page `use`; it is not shown by itself."""
    group = el("g", *marks, id=name)
    return el("svg", el("defs", together(group)), class_="store", aria_hidden="true")


def _n(value: float) -> str:
    """Return a number for SVG, to a tenth of a millimetre."""
    shown = f"{value:.1f}"
    return "0" if float(shown) == 0 else shown.removesuffix(".0")


def _unit(v: XZ) -> XZ:
    length = math.hypot(*v)
    return (v[0] / length, v[1] / length)


def _upright(turn: float) -> float:
    """Return a line's direction so that text along it is readable from below or from the right."""
    turn = (turn + 180) % 360 - 180
    if turn > 90.001:
        return turn - 180
    if turn <= -89.999:
        return turn + 180
    return turn
