"""The section of the chart, as drawn and at sag, with each figure's definition."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.drawing.side_view import definition
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

Chart = Mapping[str, float | None]


def figures(data: ReportData, texts: Texts, audience: Audience = "builder") -> Markup:
    """Return the effect of exchanged parts, then the chart with its definitions."""
    shown = [figure for figure in FIGURES if data.bike.chart[figure] is not None]
    return together(
        _exchanged(data, texts, audience),
        el(
            "div",
            el(
                "div",
                _chart(data, shown, texts, audience),
                *_remarks(data, texts, audience),
                class_="beside",
            ),
            _definitions(data, shown, texts),
            class_="figures",
        ),
    )


def _chart(data: ReportData, shown: list[str], texts: Texts, audience: Audience) -> Markup:
    spec, sagged = data.bike.spec, data.bike.sagged
    head = [texts("chart.figure"), texts("chart.static")]
    if sagged is not None:
        head.append(texts("chart.sagged"))
    rows = []
    for figure in shown:
        value = data.bike.chart[figure]
        given = audience == "builder" and getattr(spec.geometry, figure) is not None
        cells = [_cell(value, figure, texts)]
        if sagged is not None:
            under = sagged.chart[figure]
            change = None if value is None or under is None else under - value
            moved = change is not None and abs(change) >= 0.05
            shown_change = texts.number(change, 1, sign=True) if moved else ""
            cells += [_cell(under, figure, texts), el("td", shown_change, class_="change")]
        rows.append(
            el(
                "tr",
                el(
                    "th",
                    el(
                        "button",
                        texts(f"figure.{figure}.title"),
                        el("span", "•", class_="given", title=texts("chart.given"))
                        if given
                        else None,
                        type="button",
                        class_="term",
                        aria_describedby=f"means-{figure}",
                    ),
                    el("span", texts(f"figure.{figure}.ride"), class_="printed"),
                    scope="row",
                ),
                *cells,
                data_figure=figure,
            )
        )
    return el(
        "table",
        el(
            "thead",
            el(
                "tr",
                *(el("th", h, scope="col") for h in head),
                None
                if sagged is None
                else el("th", texts("chart.change"), scope="col", class_="change"),
            ),
        ),
        el("tbody", *rows),
        class_="chart",
    )


def _cell(value: float | None, figure: str, texts: Texts) -> Markup:
    kind = f"unit unit-{unit(figure)}"
    mark = None if value is None else el("span", texts.unit(unit(figure)), class_=kind)
    return el("td", texts.number(value), mark)


def _remarks(data: ReportData, texts: Texts, audience: Audience) -> Iterator[Markup]:
    if audience == "builder":
        yield el("p", texts("chart.given_means"), class_="remark")
    if data.bike.sagged is not None and data.sags:
        said = {name: texts.quantity(value, "mm", 1) for name, value in data.sags.items()}
        key = "chart.sag_means" + ("" if len(said) == 2 else f"_{next(iter(said))}")
        yield el("p", texts(key, **said), class_="remark")


def _definitions(data: ReportData, shown: list[str], texts: Texts) -> Markup:
    cards = [
        el(
            "article",
            el("h3", texts(f"figure.{figure}.title")),
            definition(data.side, figure, texts),
            el("p", texts(f"figure.{figure}.is"), class_="is"),
            el("p", texts(f"figure.{figure}.ride"), class_="ride", id=f"means-{figure}"),
            id=f"definition-{figure}",
            class_="definition-card",
        )
        for figure in shown
    ]
    close = el("button", texts("panel.close"), type="button", class_="shut", hidden=True)
    label = texts("chart.meaning")
    return el("aside", close, *cards, class_="definitions", aria_label=label)


def _exchanged(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return figures before and after the exchange of parts, and their change."""
    built = data.built
    if built is None:
        return None
    head = [texts(f"chart.{key}") for key in ("figure", "before", "after", "change")]
    rows = []
    for figure in FIGURES:
        change = built.change[figure]
        if change is None or abs(change) < 0.005:
            continue
        rows.append(
            el(
                "tr",
                el("th", texts(f"figure.{figure}.title"), scope="row"),
                _cell(built.before.chart[figure], figure, texts),
                _cell(built.after.chart[figure], figure, texts),
                el("td", texts.number(change, 2, sign=True), class_="change"),
            )
        )
    pitch = texts.quantity(built.after.pitch, "degrees", 2)
    parts = data.swaps if audience == "builder" else _plain_parts(data.swaps, texts)
    said = texts("chart.exchanged", parts=", ".join(parts), pitch=pitch)
    return el(
        "div",
        el("p", said, class_="lead"),
        el(
            "table",
            el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
            el("tbody", *rows),
            class_="chart exchanged",
        ),
        class_="exchange",
    )


def _plain_parts(swaps: Sequence[str], texts: Texts) -> list[str]:
    """Return the titles of the exchanged parts, each once."""
    parts = (swap.partition("=")[0].strip().split(".") for swap in swaps)
    titles = (texts.get(f"equipment.{path[1]}.title") if len(path) > 1 else None for path in parts)
    return list(dict.fromkeys((t or texts("chart.exchanged_other")).lower() for t in titles))
