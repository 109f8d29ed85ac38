"""Plots as SVG, complete without scripts; scripts add a crosshair with values."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.report.drawing.labels import Labels
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

WIDE, HIGH = 460.0, 280.0
"""Width and height of the picture, in SVG units."""
LEFT, RIGHT, TOP, BOTTOM = 56.0, 18.0, 34.0, 44.0
"""Margins around the curves, for figures and names."""
ROWS: Final = 11
"""Number of rows of the table of values."""


@dataclass(frozen=True)
class Series:
    """One curve."""

    name: str
    """Name that distinguishes it from other curves of the plot; empty where it is the only one."""
    values: tuple[float, ...]
    look: int | None = None
    """Which colour and dashes it has; by its place in the plot where None."""
    band: tuple[tuple[float, float], ...] = ()
    """Limits that each value likely lies in, (low, high), shaded; empty where it is a plain curve."""


@dataclass(frozen=True)
class Plot:
    """Curves over one quantity x."""

    key: str
    """Key of its texts, and its id."""
    title: str
    says: str
    """Its meaning for the ride, in one sentence."""
    x_name: str
    x_unit: str
    x: tuple[float, ...]
    """Increasing, except where `over` is given."""
    y_name: str
    y_unit: str
    series: tuple[Series, ...]
    decimals: int = 1
    motion: str = ""
    """The motion whose value is x, which links slider and crosshair; empty where there is none."""
    marks: tuple[tuple[float, str], ...] = ()
    """Named values of x: (x, name)."""
    levels: tuple[tuple[float, str], ...] = ()
    """Named values of y: (y, name)."""
    least_span: float = 0.0
    """How wide the y axis is at least."""
    from_zero: bool = False
    """Whether the y axis must include 0."""
    over: tuple[float, ...] = ()
    """The motion's value at each x, where x is not the motion itself."""
    same_scale: bool = False
    """Whether x and y have the same scale, as on a map."""


@dataclass(frozen=True)
class _Frame:
    """Mapping from values to the picture."""

    x: tuple[float, float]
    y: tuple[float, float]
    x_ticks: tuple[float, ...] = field(default=())
    y_ticks: tuple[float, ...] = field(default=())

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the picture, in SVG units."""
        u = (x - self.x[0]) / (self.x[1] - self.x[0])
        v = (y - self.y[0]) / (self.y[1] - self.y[0])
        return LEFT + u * (WIDE - LEFT - RIGHT), HIGH - BOTTOM - v * (HIGH - TOP - BOTTOM)


def figure(plot: Plot, texts: Texts, verdict: str | None = None) -> Markup:
    """Return the plot with title, explanation, verdict where there is one, and table of values."""
    head = f"plot-{plot.key}"
    return el(
        "figure",
        el("h3", plot.title, id=head),
        el("p", plot.says, class_="says"),
        None if verdict is None else el("p", verdict, class_="carried-by"),
        picture(plot, texts),
        el("output", class_="reading", aria_live="off"),
        _values(plot, texts),
        class_="plot",
        id=f"figure-{plot.key}",
        aria_labelledby=head,
    )


def picture(plot: Plot, texts: Texts) -> Markup:
    """Return the curves as SVG."""
    frame = _frame(plot)
    lines = [_places_of(plot, frame, series) for series in plot.series]
    marks: list[Markup] = [*_bands(plot, frame), *_grid(plot, frame, texts)]
    for i, line in enumerate(lines):
        data = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in line)
        marks.append(el("path", d=data, class_=f"curve {_look(plot, i)}"))
    marks += _names(plot, frame, lines)
    return el(
        "svg",
        *marks,
        el("g", class_="crosshair"),
        viewbox=f"0 0 {WIDE:g} {HIGH:g}",
        role="img",
        aria_label=_summary(plot, texts),
        data_plot=plot.key,
    )


def _bands(plot: Plot, frame: _Frame) -> Iterator[Markup]:
    """Yield the shaded bands of curves that have one."""
    for i, series in enumerate(plot.series):
        if series.band:
            there = list(zip(plot.x, series.band, strict=True))
            edge = [frame.at(x, low) for x, (low, _) in there]
            edge += [frame.at(x, high) for x, (_, high) in reversed(there)]
            data = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in edge) + "Z"
            yield el("path", d=data, class_=f"band {_look(plot, i)}")


def _look(plot: Plot, place: int) -> str:
    own = plot.series[place].look
    return f"c{place if own is None else own}"


def _places_of(plot: Plot, frame: _Frame, series: Series) -> list[tuple[float, float]]:
    """Return the points of a curve that are within the axes, in the picture."""
    return [
        frame.at(x, y)
        for x, y in zip(plot.x, series.values, strict=True)
        if math.isfinite(y) and frame.y[0] - 1e-9 <= y <= frame.y[1] + 1e-9
    ]


def plot_document(plot: Plot) -> dict[str, Any]:
    """Return the data that scripts need for the crosshair."""
    frame = _frame(plot)
    return {
        "key": plot.key,
        "motion": plot.motion,
        "t": [round(x, 4) for x in plot.over or plot.x],
        "x": [round(x, 4) for x in plot.x],
        "xName": plot.x_name,
        "xUnit": plot.x_unit,
        "yUnit": plot.y_unit,
        "decimals": plot.decimals,
        "series": [
            {
                "name": s.name or plot.y_name,
                "y": [round(y, 6) if math.isfinite(y) else None for y in s.values],
            }
            for s in plot.series
        ],
        "box": [LEFT, TOP, WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM],
        "xRange": frame.x,
        "yRange": frame.y,
    }


def _frame(plot: Plot) -> _Frame:
    seen = [y for s in plot.series for y in s.values if math.isfinite(y)]
    seen += [y for s in plot.series for limits in s.band for y in limits]
    seen += [y for y, _ in plot.levels]
    low, high = (min(seen), max(seen)) if seen else (0.0, 1.0)
    if plot.from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    x0, x1 = plot.x[0], plot.x[-1]
    if plot.same_scale:
        x0, x1 = min(plot.x), max(plot.x)
        high_enough = max(high - low, plot.least_span)
        per = max((x1 - x0) / (WIDE - LEFT - RIGHT), high_enough / (HIGH - TOP - BOTTOM), 1e-9)
        middle, half = (x0 + x1) / 2, per * (WIDE - LEFT - RIGHT) / 2
        x0, x1 = middle - half, middle + half
        middle, half = (low + high) / 2, per * (HIGH - TOP - BOTTOM) / 2
        y_ticks = _inside(middle - half, middle + half, 5)
        return _Frame((x0, x1), (middle - half, middle + half), _inside(x0, x1, 5), y_ticks)
    low, high = _widened(low, high, max(plot.least_span, 10.0**-plot.decimals))
    step = _step((high - low) / 4)
    bottom, top = math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
    count = round((top - bottom) / step)
    return _Frame(
        (x0, x1),
        (bottom, top),
        _inside(x0, x1, 6),
        tuple(bottom + i * step for i in range(count + 1)),
    )


def _widened(low: float, high: float, least: float) -> tuple[float, float]:
    """Return limits at least so far apart, about the same middle; a 0 at an end stays there.

    Limits of one sign stay of that sign.
    """
    more = max(0.0, least - (high - low))
    if low >= 0.0:
        below = min(more / 2, low)
        return low - below, high + more - below
    if high <= 0.0:
        above = min(more / 2, -high)
        return low - more + above, high + above
    return low - more / 2, high + more / 2


def _step(rough: float) -> float:
    """Return the next larger step of 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(rough))
    return next(m * power for m in (1, 2, 5, 10) if m * power >= rough * (1 - 1e-9))


def _inside(low: float, high: float, about: int) -> tuple[float, ...]:
    """Return round, evenly spaced values within limits."""
    step = _step((high - low) / about)
    first = math.ceil(low / step - 1e-9)
    return tuple(i * step for i in range(first, math.floor(high / step + 1e-9) + 1))


def _grid(plot: Plot, frame: _Frame, texts: Texts) -> Iterator[Markup]:
    """Yield lines, figures and names of the axes, and the named values."""
    right, bottom = WIDE - RIGHT, HIGH - BOTTOM
    y_places = _places(frame.y_ticks)
    for y in frame.y_ticks:
        _, v = frame.at(frame.x[0], y)
        yield el("path", d=f"M{LEFT:g} {v:.1f}H{right:g}", class_="grid")
        yield _text(LEFT - 8, v + 4, texts.number(y, y_places), "end")
    for x in frame.x_ticks:
        u, _ = frame.at(x, frame.y[0])
        yield el("path", d=f"M{u:.1f} {bottom:g}v5", class_="tick")
        yield _text(u, bottom + 18, texts.number(x, _places(frame.x_ticks)), "middle")
    yield el("path", d=f"M{LEFT:g} {bottom:g}H{right:g}", class_="axis")
    yield _text(right, HIGH - 8, _with_unit(plot.x_name, plot.x_unit, texts), "end", "name")
    yield _text(8, 18, _with_unit(plot.y_name, plot.y_unit, texts), "start", "name")
    for y, _ in plot.levels:
        _, v = frame.at(frame.x[0], y)
        yield el("path", d=f"M{LEFT:g} {v:.1f}H{right:g}", class_="level")
    for x, _ in plot.marks:
        u, _ = frame.at(x, frame.y[0])
        yield el("path", d=f"M{u:.1f} {TOP:g}V{bottom:g}", class_="level")


def _names(
    plot: Plot, frame: _Frame, curves: Sequence[Sequence[tuple[float, float]]]
) -> Iterator[Markup]:
    """Yield the names of curves, where there are several, and of the named values."""
    right, bottom = WIDE - RIGHT, HIGH - BOTTOM
    levels = [frame.at(frame.x[0], y)[1] for y, _ in plot.levels]
    marks = [frame.at(x, frame.y[0])[0] for x, _ in plot.marks]
    lines: list[Array] = [np.array(curve).reshape(-1, 2) for curve in curves]
    lines += [np.array([(LEFT, v), (right, v)]) for v in levels]
    lines += [np.array([(u, TOP), (u, bottom)]) for u in marks]
    labels = Labels(
        (LEFT, TOP - 4, right, bottom),
        lines,
        [frame.at(frame.x[0], y)[1] for y in frame.y_ticks],
    )
    several = len(plot.series) > 1
    named = [(s.name if several else "", f"of {_look(plot, i)}") for i, s in enumerate(plot.series)]
    named += [(name, "mark") for _, name in (*plot.levels, *plot.marks)]
    for own, (name, class_) in enumerate(named):
        if name:
            label = labels.along(own, name)
            yield _text(label.x, label.y, name, "start", class_)


def _values(plot: Plot, texts: Texts) -> Markup:
    """Return some values as a table, for people who cannot see the curves."""
    every = max(1, (len(plot.x) - 1) // (ROWS - 1))
    head = [_with_unit(plot.x_name, plot.x_unit, texts)]
    head += [_with_unit(s.name or plot.y_name, plot.y_unit, texts) for s in plot.series]
    rows = [
        el(
            "tr",
            el("th", texts.number(plot.x[i], 1), scope="row"),
            *(el("td", _value(plot, s, i, texts)) for s in plot.series),
        )
        for i in range(0, len(plot.x), every)
    ]
    table = el(
        "table",
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *rows),
    )
    return el("details", el("summary", texts("curve.values")), table, class_="values")


def _value(plot: Plot, series: Series, place: int, texts: Texts) -> str:
    """Return a value as shown in the table; its limits where it has a band."""
    if series.band:
        low, high = (texts.number(limit, plot.decimals) for limit in series.band[place])
        return low if low == high else texts("curve.band", low=low, high=high)
    value = series.values[place]
    return texts.number(value if math.isfinite(value) else None, plot.decimals)


def _summary(plot: Plot, texts: Texts) -> str:
    """Return a summary of the plot in words."""
    said = [
        texts(
            "curve.summary",
            name=s.name or plot.y_name,
            first=texts.quantity(_finite(s.values), plot.y_unit, plot.decimals),
            last=texts.quantity(_finite(s.values[::-1]), plot.y_unit, plot.decimals),
        )
        for s in plot.series
    ]
    return f"{plot.title}. {' '.join(said)}"


def _finite(values: Sequence[float]) -> float | None:
    return next((y for y in values if math.isfinite(y)), None)


def _places(ticks: Sequence[float]) -> int:
    step = min((b - a for a, b in pairwise(ticks)), default=1.0)
    return max(0, -math.floor(math.log10(step) + 1e-9))


def _with_unit(name: str, unit: str, texts: Texts) -> str:
    mark = texts.unit(unit)
    return f"{name} [{mark}]" if mark else name


def _text(x: float, y: float, shown: str, anchor: str, class_: str = "figure") -> Markup:
    return el("text", shown, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, class_=class_)


def gathered(
    plots: Sequence[Plot], texts: Texts, verdicts: Mapping[str, str] = MappingProxyType({})
) -> Markup:
    """Return plots side by side, with their verdicts by key."""
    made = (figure(plot, texts, verdicts.get(plot.key)) for plot in plots)
    return el("div", together(*made), class_="plots")
