"""The section of clearances: every check by margin, remedies, and what was not checked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from frame3d.clearance.result import Result
from frame3d.report.audience import plain_source, riders_results
from frame3d.report.data import CLOSE, ReportData
from frame3d.report.markup import Markup, el, together
from frame3d.report.scene import check_id, check_title
from frame3d.report.sections.heading import mark
from frame3d.report.texts import Texts

FIRST, FIRST_WITH_CURVES = 16, 9
"""Rows that are shown before the others are asked for, and printed; fewer where a suspension's curves
share their page."""
WITH_MEND: Final = 2
"""Extra rows on paper for a check that falls short, for its remedies."""
BAR: Final = 96.0
"""Width of a gap's bar, in SVG units."""


def clearances(data: ReportData, texts: Texts) -> Markup:
    """Return the table of checks with its notes."""
    results = data.report.results
    if not results and not data.report.unchecked:
        return el("p", texts("status.none"))
    few = FIRST if data.travelled is None else FIRST_WITH_CURVES
    short = sum(not r.ok for r in results)
    first = max(few - WITH_MEND * short, short + 2)
    rows = [row for i, r in enumerate(results) for row in _rows(i, r, texts, later=i >= first)]
    return together(
        _table(rows, texts) if results else None,
        _more(results, first, texts),
        _close_means(results, texts),
        _steering(data, texts),
        _tension(data, texts),
        _unchecked(data, texts),
        _sources(results, texts),
    )


def riding(data: ReportData, texts: Texts) -> Markup | None:
    """Return the checks that concern the rider, each at its tightest; None where there is none."""
    shown = riders_results(data.report)
    if not shown:
        return None
    rows = [next(_rows(i, r, texts, later=False)) for i, r in shown]
    return together(
        _table(rows, texts),
        _close_means([r for _, r in shown], texts),
        _sources(tuple(replace(r, source=plain_source(r, texts)) for _, r in shown), texts),
    )


def _table(rows: Sequence[Markup], texts: Texts) -> Markup:
    head = [
        el("th", el("span", texts("checks.state"), class_="unseen"), scope="col"),
        *(
            el("th", texts(f"checks.{key}"), scope="col", class_=key)
            for key in ("check", "gap", "required", "margin", "at")
        ),
    ]
    table = el(
        "table",
        el("caption", texts("checks.caption"), class_="unseen"),
        el("thead", el("tr", *head)),
        el("tbody", *rows),
        class_="checks",
    )
    return el("div", table, class_="scroll")


def _close_means(results: Sequence[Result], texts: Texts) -> Markup | None:
    """Return what the mark of a close gap means; None where there is no such gap."""
    if not any(state_of(r) == "close" for r in results):
        return None
    said = texts("status.close_means", margin=texts.number(CLOSE, 0))
    return el("p", said, class_="remark")


def state_of(result: Result) -> str:
    """Return the state of a check: ``short``, ``close`` or ``holds``."""
    if not result.ok:
        return "short"
    return "close" if result.margin < CLOSE else "holds"


def _rows(place: int, result: Result, texts: Texts, *, later: bool) -> Iterator[Markup]:
    state = state_of(result)
    unit, decimals = result.unit, result.decimals(1)
    title = check_title(result.name, result.title, texts)
    named: str | Markup = title
    if result.points is not None:
        named = el("button", title, type="button", class_="term", data_check=check_id(place))
    between = None
    if result.between is not None:
        pair = " – ".join(texts.part(name) for name in result.between)
        between = el("span", pair, class_="between")
    gap = texts.quantity(result.least, unit, decimals)
    if result.is_wide:
        gap = texts("checks.between", least=gap, most=texts.quantity(result.gap, unit, decimals))
    kind = f"{state} later" if later else state
    yield el(
        "tr",
        el(
            "td",
            mark(state, texts),
            el("span", texts(f"status.{state}"), class_="unseen" if state == "holds" else "word"),
            class_="state",
        ),
        el("th", named, between, scope="row", class_="check"),
        el("td", gap, _bar(result), class_="gap"),
        el("td", texts.quantity(result.required, unit), class_="required"),
        el("td", texts.number(result.margin, decimals, sign=True), class_="margin"),
        el("td", _place(result, texts), class_="at"),
        class_=kind,
        id=check_id(place),
    )
    if not result.ok:
        ways = [el("li", way) for way in result.mend] or [el("li", texts("checks.no_mend"))]
        depth = el("p", texts("checks.depth")) if result.saturated else None
        yield el(
            "tr",
            el("td"),
            el("td", depth, el("strong", texts("checks.mend")), el("ul", *ways), colspan=5),
            class_=f"{kind} mend",
        )


def _place(result: Result, texts: Texts) -> str:
    """Return the pose of a result, and where the axle stands in sliding dropouts."""
    said = [] if result.slide is None else [texts("checks.slid", at=texts.number(result.slide, 1))]
    if result.insert is not None:
        said.append(texts("checks.turned", at=texts.quantity(result.insert, "degrees", 1)))
    pose = texts.pose(result.place)
    return ", ".join([*said, *([pose] if pose else [])]) or texts("checks.as_drawn")


def _bar(result: Result) -> Markup | None:
    """Return a bar of the gap with the required gap marked; the figures are beside it."""
    if result.required <= 0:
        return None
    scale = BAR / (2.5 * result.required)
    long = min(max(result.least, 0.0) * scale, BAR)
    need = result.required * scale
    return el(
        "svg",
        el("rect", x=0, y=2, width=f"{BAR:g}", height=4, rx=2, class_="whole"),
        el("rect", x=0, y=2, width=f"{long:.1f}", height=4, rx=2, class_="has"),
        el("path", d=f"M{need:.1f} 0V8", class_="needs"),
        viewbox=f"0 0 {BAR:g} 8",
        class_="bar",
        aria_hidden="true",
    )


def _more(results: tuple[Result, ...], first: int, texts: Texts) -> Markup | None:
    rest = results[first:]
    if not rest:
        return None
    spare = texts.number(min(r.margin for r in rest), 1)
    return together(
        el(
            "button",
            texts("checks.all", count=len(results)),
            type="button",
            class_="more",
            hidden=True,
        ),
        el("p", texts("checks.others", count=len(rest), margin=spare), class_="printed"),
    )


def _tension(data: ReportData, texts: Texts) -> Markup | None:
    """Return over what of the chain's tensioning was checked; None where nothing tensions it."""
    found = data.report.tensioned
    if found is None:
        return None
    unit = "mm" if found.by == "slide" else "degrees"
    checked = texts(
        f"checks.tension.{found.by}.checked",
        low=texts.quantity(found.low, unit, 1),
        high=texts.quantity(found.high, unit, 1),
        at=", ".join(texts.quantity(value, unit, 1) for value in found.at),
    )
    return el(
        "p",
        el("strong", texts(f"checks.tension.{found.by}.title")),
        f": {checked}",
        class_="remark",
    )


def _steering(data: ReportData, texts: Texts) -> Markup | None:
    """Return how far the bar turns, and the range that was checked."""
    steering = data.report.steering
    if steering is None:
        return None
    stop = texts(
        f"steering.{steering.by}",
        angle=texts.quantity(steering.turns, "degrees", 0),
        on=texts.part(steering.bumper_on).lower(),
    )
    how = "partly" if steering.partly else "whole" if steering.by == "nothing" else "to_stop"
    checked = texts(f"steering.{how}", angle=texts.quantity(steering.checked, "degrees", 0))
    return el("p", el("strong", texts("motion.steer.title")), f": {stop}; {checked}",
              class_="remark")  # fmt: skip


def _unchecked(data: ReportData, texts: Texts) -> Markup | None:
    left = data.report.unchecked
    if not left:
        return None
    rows = [together(el("dt", check_title(u.name, u.title, texts)), el("dd", u.why)) for u in left]
    return el(
        "div",
        el("h3", texts("checks.unchecked")),
        el("dl", *rows, class_="pairs"),
        class_="unchecked",
    )


def _sources(results: tuple[Result, ...], texts: Texts) -> Markup | None:
    found: dict[tuple[str, str, str], None] = {}
    for r in results:
        limit = texts.quantity(r.required, r.unit)
        found[check_title(r.name, r.title, texts), limit, r.source] = None
    if not found:
        return None
    rows = [
        together(el("dt", f"{title}, {limit}"), el("dd", source)) for title, limit, source in found
    ]
    return el(
        "details",
        el("summary", texts("checks.sources")),
        el("dl", *rows, class_="pairs"),
        class_="sources",
    )
