"""The figures panel of a bike that is only begun: what is settled, and what would settle the rest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from frame3d.chart.givens import key
from frame3d.chart.partial import FEW, OpenFigure, PartialChart
from frame3d.live.cells import value_cell
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

_ASSUMED: Final = {
    "geometry.seat_tube_offset": "live.begun.assumed.offset",
    "build.headset.angle": "live.begun.assumed.cups",
    "build.seatpost.saddle_height": "live.begun.assumed.saddle",
}
"""Texts of what is assumed, by the dotted path of the value that would say otherwise."""


def begun(partial: PartialChart | None, texts: Texts) -> Markup:
    """Return the chart with what each figure takes.

    Args:
        partial: what is known; None where no bike has the figures.
        texts: of the pages.
    """
    if partial is None:
        return el("p", texts("live.begun.no_bike"), class_="remark")
    head = [texts("chart.figure"), texts("live.figures.now"), texts("live.begun.takes")]
    table = el(
        "table",
        el("caption", texts("live.panel.figures"), class_="unseen"),
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *(_row(f, partial, texts) for f in FIGURES if f not in partial.beyond)),
        class_="chart begun",
    )
    beyond = ", ".join(texts(f"figure.{figure}.title") for figure in partial.beyond)
    return together(
        el("p", texts("live.begun.says", count=partial.missing), class_="remark"),
        table,
        el("p", texts("live.begun.beyond", figures=beyond), class_="remark") if beyond else None,
    )


def _row(figure: str, partial: PartialChart, texts: Texts) -> Markup:
    title = texts(f"figure.{figure}.title")
    means = f"{texts(f'figure.{figure}.is')} {texts(f'figure.{figure}.ride')}"
    takes: Markup | str = ""
    if figure in partial.open:
        way = partial.open[figure]
        values = [texts.quantity(value, unit(figure)) for value in way.between]
        left = f" {texts('live.begun.or')} ".join(values) if values else texts("live.begun.open")
        cell, takes = el("td", left), _ways(way, texts)
    elif figure in partial.assumed:
        value, by = partial.assumed[figure]
        why = [texts(_ASSUMED[path]) for path in by]
        cell = value_cell(value, unit(figure), texts)
        takes = texts("live.begun.as_long", what=f" {texts('live.begun.and')} ".join(why))
    else:
        cell = value_cell(partial.settled[figure], unit(figure), texts)
    return el(
        "tr",
        el("th", el("span", title, title=means, class_="means"), scope="row"),
        cell,
        el("td", takes, class_="takes"),
        data_figure=figure,
        class_="open" if figure in partial.open else None,
    )


def _ways(way: OpenFigure, texts: Texts) -> Markup | str:
    """Return what would settle a figure, but for itself."""
    if way.alone:
        return _listed(way.alone, texts("live.begun.or"))
    if way.needs == 0:
        return texts("live.begun.itself")
    if way.needs > FEW:
        return texts("live.begun.more", count=FEW)
    example = _listed(way.together, texts("live.begun.and"))
    return together(texts("live.begun.several", count=way.needs), " ", example)


def _listed(variables: Sequence[str], last: str) -> Markup:
    """Return variables as a file names them, in a sentence."""
    paths = [path.removeprefix("geometry.") for name in variables if (path := key(name))]
    names = [el("code", path) for path in paths]
    between = [*[", "] * (len(names) - 2), *[f" {last} "] * (len(names) > 1), ""]
    return together(*(part for pair in zip(names, between, strict=True) for part in pair))
