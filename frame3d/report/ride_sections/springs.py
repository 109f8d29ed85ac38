"""The section: springs of fork and shock: sag, set-up for riders of other mass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.linkage import Sag
from frame3d.report.audience import Audience, without_keys
from frame3d.report.data import ReportData
from frame3d.report.drawing.plots import gathered
from frame3d.report.markup import Markup, el, together
from frame3d.report.ride_sections.spring_plots import spring_plots
from frame3d.report.texts import Texts
from frame3d.ride.springs import gauge
from frame3d.ride.springs.of_bike import Springs
from frame3d.ride.springs.set_up import EndSetUp, RiderRow, SoldRate

STEPS = ("free", "sit", "ring", "again")
"""Keys of the steps in which sag is measured."""


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None where the file gives no spring."""
    part = data.ride.springs
    if part is None or not part.ends:
        return None
    return together(
        _glance(part, texts),
        el("div", _what(texts), _how(texts), class_="halves spring-words"),
        *(_measured(end, texts) for end in part.ends),
        el("div", *(_riders(end, texts) for end in part.ends if end.rows), class_="halves set-up"),
        _reducers(part, texts),
        gathered(spring_plots(part, texts), texts),
        el("p", texts("springs.sheet"), class_="remark") if _has_rows(part) else None,
        *_remarks(part, texts, audience),
    )


def _has_rows(part: Springs) -> bool:
    return any(end.rows for end in part.ends)


def end_name(end: EndSetUp, texts: Texts) -> str:
    """Return what the spring of an end is called."""
    return texts(f"springs.{end.end}.title")


def share(sag: Sag, texts: Texts) -> str:
    """Return a sag as a share of the stroke, in whole percent."""
    return texts.quantity(100 * sag.stroke_share, "%", 0)


def length(end: EndSetUp, stroke: float, texts: Texts) -> str:
    """Return a sag along the spring as a rule shows it: to half a millimetre on a shock's shaft."""
    shown = gauge.rule(stroke, end.end)
    return texts.quantity(shown, "mm", 0 if shown.is_integer() else 1)


def _glance(part: Springs, texts: Texts) -> Markup:
    rows = [
        el("div", el("dt", title), el("dd", value), el("dd", under, class_="under"))
        for end in part.ends
        for title, value, under in _facts(end, part, texts)
    ]
    return el("dl", *rows, class_="glance spring-facts")


def _facts(end: EndSetUp, part: Springs, texts: Texts) -> Iterator[tuple[str, str, str]]:
    """Yield the figures of one spring: title, value, what stands below."""
    name = end_name(end, texts)
    if end.sag is not None:
        yield (
            texts("springs.fact.sag", end=name),
            length(end, end.sag.stroke, texts),
            texts(
                "springs.fact.sag_under" if end.wanted else "springs.fact.sag_found",
                share=share(end.sag, texts),
                full=texts.quantity(end.full_stroke, "mm", 1 if end.full_stroke % 1 else 0),
                travel=texts.quantity(end.sag.travel, "mm", 0),
            ),
        )
    rider = "–" if part.rider_kg is None else f"{part.rider_kg:g}"
    if end.pressure_bar is not None:
        under = texts("springs.fact.air_under", psi=end.pressure_psi, rider=rider)
        limit = end.highest_pressure_bar
        if limit is not None and end.pressure_bar > limit:
            under = texts("springs.fact.above", limit=f"{limit:g}")
        value = texts("springs.fact.air_value", bar=texts.number(end.pressure_bar, 1))
        yield texts("springs.fact.air", end=name), value, under
    elif end.rate_n_mm is not None:
        yield (
            texts("springs.fact.coil", end=name),
            texts("springs.fact.coil_value", pounds=end.rate_lb_in),
            texts("springs.fact.coil_under", rate=texts.number(end.rate_n_mm, 1), rider=rider),
        )


def _what(texts: Texts) -> Markup:
    return el(
        "div",
        el("h3", texts("springs.what.title")),
        el("p", texts("springs.what.is")),
        el("p", texts("springs.what.counts")),
    )


def _how(texts: Texts) -> Markup:
    steps = (el("li", texts(f"springs.how.{step}")) for step in STEPS)
    return el("div", el("h3", texts("springs.how.title")), el("ol", *steps))


def _measured(end: EndSetUp, texts: Texts) -> Markup | None:
    """Return what a measurement made of the spring."""
    said = measured_said(end, texts)
    return None if said is None else el("p", said, class_="remark")


def measured_said(end: EndSetUp, texts: Texts) -> str | None:
    """Return in words what a measured pressure and sag made of the model; None without one."""
    found = end.measured
    if found is None:
        return None
    return texts(
        "springs.measured.none" if found.modelled_bar is None else "springs.measured.said",
        end=end_name(end, texts),
        bar=texts.number(found.pressure_bar, 1),
        share=texts.quantity(100 * found.stroke_share, "%", 0),
        rider=f"{found.rider_kg:g}",
        alone=texts.number(found.modelled_bar, 1),
        factor=texts.number(found.force_factor, 2),
    )


def riders_title(end: EndSetUp, texts: Texts) -> str:
    """Return the title of the table over riders' masses."""
    name = end_name(end, texts)
    if end.sag is None or not end.wanted or end.kind == "table":
        return texts("springs.riders.title_given", end=name)
    return texts("springs.riders.title", end=name, share=share(end.sag, texts))


def riders_head(end: EndSetUp, texts: Texts) -> tuple[str, ...]:
    """Return the heads of that table's columns behind the rider's mass."""
    if any(row.sag is not None for row in end.rows) or end.kind == "table":
        return (texts("springs.riders.sag"),)
    if end.kind == "air":
        return (texts("springs.riders.bar"), texts("springs.riders.psi"))
    return (texts("springs.riders.rate"), texts("springs.riders.sold"))


def riders_cells(end: EndSetUp, row: RiderRow, texts: Texts) -> tuple[str, ...]:
    """Return the cells of a row behind the rider's mass."""
    head = riders_head(end, texts)
    if len(head) == 1:
        if row.sag is None:
            return (texts("springs.riders.bottoms"),)
        return (f"{length(end, row.sag.stroke, texts)} ({share(row.sag, texts)})",)
    if end.kind == "air":
        return (texts.number(row.pressure_bar, 1), texts.number(row.pressure_psi, 0))
    pounds = "–" if row.rate_lb_in is None else texts.quantity(row.rate_lb_in, "lb/in", 0)
    return (pounds, "; ".join(_sold(coil, texts) for coil in row.sold) or "–")


def _sold(coil: SoldRate, texts: Texts) -> str:
    if coil.sag is None:
        return texts("springs.riders.sold_none", pounds=coil.rate_lb_in)
    return texts("springs.riders.sold_one", pounds=coil.rate_lb_in, share=share(coil.sag, texts))


def _riders(end: EndSetUp, texts: Texts) -> Markup:
    """Return the table over riders' masses."""
    limit = end.highest_pressure_bar
    rows = [
        el(
            "tr",
            el("th", f"{row.rider_kg:g} kg", *_marks(row, texts), scope="row"),
            *(el("td", cell) for cell in riders_cells(end, row, texts)),
            class_="own" if row.own else None,
        )
        for row in end.rows
    ]
    said = [texts("springs.riders.kept")]
    if limit is not None:
        said.append(texts("springs.riders.limit", limit=f"{limit:g}"))
    return el(
        "div",
        el("h3", riders_title(end, texts)),
        _table([texts("springs.riders.rider"), *riders_head(end, texts)], rows),
        el("p", " ".join(said), class_="remark"),
    )


def _marks(row: RiderRow, texts: Texts) -> Iterator[Markup]:
    """Yield what is said of a row beside the rider's mass."""
    if row.own:
        yield el("span", texts("springs.riders.own"), class_="unit")
    if row.above_limit:
        yield el("span", texts("springs.riders.above"), class_="unit")


def _table(head: Sequence[str], rows: Sequence[Markup]) -> Markup:
    return el(
        "table",
        el("thead", el("tr", *(el("th", cell, scope="col") for cell in head))),
        el("tbody", *rows),
        class_="chart",
    )


def _reducers(part: Springs, texts: Texts) -> Markup | None:
    """Return the tables over volume reducers, with what they do; None where no spring takes any."""
    ends = [end for end in part.ends if end.reducers]
    if not ends:
        return None
    return together(
        el("p", texts("springs.reducers.says"), class_="spring-words"),
        el("div", *(_reducer_table(end, texts) for end in ends), class_="halves set-up"),
        el("p", texts("springs.reducers.means"), class_="remark"),
    )


def _reducer_table(end: EndSetUp, texts: Texts) -> Markup:
    rows = []
    for row in end.reducers:
        marks = [texts("springs.reducers.fitted")] if row.fitted else []
        marks += [texts("springs.riders.above")] if row.above_limit else []
        cells = (
            texts.number(row.pressure_bar, 1),
            texts.number(row.pressure_psi, 0),
            times(row.deep_load_multiple, texts),
            times(row.end_load_multiple, texts),
        )
        named = (el("span", mark, class_="unit") for mark in marks)
        rows.append(
            el(
                "tr",
                el("th", row.reducer_count, *named, scope="row"),
                *(el("td", cell) for cell in cells),
                class_="own" if row.fitted else None,
            )
        )
    return el(
        "div",
        el("h3", texts("springs.reducers.title", end=end_name(end, texts))),
        _table(reducers_head(texts), rows),
    )


def reducers_head(texts: Texts) -> tuple[str, ...]:
    """Return the heads of the columns of a table over volume reducers."""
    return (
        texts("springs.reducers.count"),
        texts("springs.riders.bar"),
        texts("springs.riders.psi"),
        texts("springs.reducers.deep"),
        texts("springs.reducers.end"),
    )


def times(multiple: float | None, texts: Texts) -> str:
    """Return a multiple of the load at rest; a dash where there is none."""
    if multiple is None:
        return texts.number(None)
    return texts("springs.reducers.times", times=texts.number(multiple, 1))


def _remarks(part: Springs, texts: Texts, audience: Audience) -> Iterator[Markup]:
    """Yield what is assumed, and for the builder what to look at and what is left out."""
    if audience == "builder":
        for line in part.warnings:
            yield el("p", texts("curve.note", note=line), class_="remark")
    if part.assumptions:
        said = part.assumptions
        if audience == "rider":
            said = tuple(without_keys(line) for line in said)
        lines = (el("li", line) for line in said)
        yield el("details", el("summary", texts("springs.assumed")), el("ul", *lines))
    if part.left_out and audience == "builder":
        yield el("p", texts("springs.left_out", list="; ".join(part.left_out)), class_="remark")
