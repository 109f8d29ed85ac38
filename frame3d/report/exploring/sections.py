"""The sections of an exploration's page, complete without scripts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from frame3d.explore.exploration import Exploration, Kept
from frame3d.explore.study.study import Value
from frame3d.report.exploring.axes import Axis, axes_of, columns_of, stop_title
from frame3d.report.exploring.designs import Shown, shown
from frame3d.report.exploring.pictures import Pictures, pictures
from frame3d.report.markup import Markup, el, together
from frame3d.report.sections.heading import mark
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.texts import Texts

FRONT: Final = 40
"""How many designs of the front the table has at most."""


@dataclass(frozen=True)
class Page:
    """What the page is made from."""

    exploration: Exploration
    texts: Texts

    @cached_property
    def axes(self) -> tuple[Axis, ...]:
        """Values, preferences and wishes."""
        return axes_of(self.exploration.study, self.shown.rows, self.texts)

    @cached_property
    def shown(self) -> Shown:
        """The designs that are on the page."""
        return shown(self.exploration)

    @cached_property
    def columns(self) -> tuple[tuple[float | None, ...], ...]:
        """Values on each axis of each design on the page."""
        return columns_of(self.axes, self.shown.rows)

    @cached_property
    def pictures(self) -> Pictures | None:
        """Side views of the kept bikes."""
        return pictures(self.exploration.best)

    def name(self, row: int) -> str:
        """Return what a design is called: its row, from 1."""
        return self.texts("exploring.design", number=row + 1)


def asked(page: Page) -> Markup:
    """Return what varies, what must hold, what is better."""
    texts, study = page.texts, page.exploration.study
    rows = [
        el("tr", el("th", axis.title, scope="row"), *(el("td", c) for c in _range(axis, page)))
        for axis in page.axes
        if axis.role == "varied"
    ]
    heads = [texts(f"exploring.asked.{key}") for key in ("varied", "range", "own")]
    wishes = [_wish(axis, texts) for axis in page.axes if _is_wished(axis)]
    if study.checks == "all":
        wishes.append(texts("exploring.asked.all_checks"))
    elif study.checks:
        names = ", ".join(stop_title(name, study, texts) for name in study.checks)
        wishes.append(texts("exploring.asked.checks", names=names))
    titles = {axis.key: axis.title for axis in page.axes}
    better = [
        texts("exploring.asked.least" if p.least else "exploring.asked.most", what=titles[p.label])
        for p in study.preferences
    ]
    sizes = [size for size in study.sizes if size is not None]
    if sizes:
        wishes.append(texts("exploring.asked.sizes", names=", ".join(sizes)))
    table = scrolled_table(heads, rows, "chart asked", texts("exploring.asked.varied"))
    lists = [_list(texts("exploring.asked.wishes"), wishes)] if wishes else []
    lists += [_list(texts("exploring.asked.better"), better)] if better else []
    stiff = any(one.quantity.stage == "stiffness" for one in study.by_label.values())
    remark = el("p", texts("exploring.stiffness_says"), class_="remark") if stiff else None
    return el("div", el("div", table), el("div", *lists, remark), class_="halves")


def _list(title: str, items: Iterable[str]) -> Markup:
    return together(el("h3", title), el("ul", *(el("li", item) for item in items), class_="plain"))


def _range(axis: Axis, page: Page) -> tuple[str, str]:
    """Return what a value varies between, and the file's own."""
    study, texts = page.exploration.study, page.texts
    varied = next(one for one in study.varied if one.path == axis.key)
    if varied.values:
        said = ", ".join(_value(value) for value in varied.values)
    else:
        said = texts("exploring.asked.between", low=_value(varied.low), high=_value(varied.high))
        if varied.step is not None:
            said = texts("exploring.asked.stepped", range=said, step=f"{varied.step:g}")
    mark_ = texts.unit(axis.unit)
    return (f"{said} {mark_}".strip() if mark_ != "°" else f"{said}°"), _value(varied.start)


def _value(value: Value | None) -> str:
    if value is None:
        return "–"
    return value if isinstance(value, str) else f"{value:g}".replace("-", "−")


def _is_wished(axis: Axis) -> bool:
    return axis.role != "varied" and (axis.low is not None or axis.high is not None)


def _wish(axis: Axis, texts: Texts) -> str:
    low, high = axis.with_unit(axis.low, texts), axis.with_unit(axis.high, texts)
    if axis.high is None:
        return texts("exploring.asked.at_least", what=axis.title, low=low)
    if axis.low is None:
        return texts("exploring.asked.at_most", what=axis.title, high=high)
    return texts("exploring.asked.within", what=axis.title, low=low, high=high)


def best(page: Page) -> Markup:
    """Return the kept designs: a row each, with its values."""
    texts, kept = page.texts, page.exploration.best
    if not kept:
        return el("p", texts("exploring.best.none"))
    rows = []
    for row, one in enumerate(kept):
        state, said = verdict(one, texts)
        cell = el("td", mark(state, texts), " ", said, class_=f"word {state}")
        rows.append(_row(page, row, (cell,)))
    heads = [
        texts("exploring.design_head"),
        texts("exploring.best.verdict"),
        *_heads(page.axes, texts),
    ]
    return scrolled_table(heads, rows, "chart designs", texts("exploring.best.title"))


def verdict(kept: Kept, texts: Texts) -> tuple[str, str]:
    """Return whether a bike holds, from its full check where there is one."""
    if not kept.evaluation.feasible:
        return "short", texts("exploring.best.misses")
    if kept.proved:
        return "holds", texts("exploring.best.proved")
    if kept.report is None and not kept.proofs:
        return "close", texts("exploring.best.meets")
    return "short", texts("exploring.best.check_fails")


def front(page: Page) -> Markup | None:
    """Return the designs of the trade-off; None where there are fewer than two of them."""
    rows, texts = page.shown.front, page.texts
    if len(rows) < 2:
        return None
    every = max(1, -(-len(rows) // FRONT))
    heads = [texts("exploring.design_head"), *_heads(page.axes, texts, "preference")]
    table = scrolled_table(
        heads,
        [_row(page, row, (), "preference") for row in rows[::every]],
        "chart designs",
        texts("exploring.front.title"),
    )
    told = texts("exploring.front.some", shown=len(rows[::every]), count=len(rows))
    return together(table, el("p", told, class_="remark") if every > 1 else None)


def _heads(axes: Sequence[Axis], texts: Texts, role: str | None = None) -> list[Markup | str]:
    """Return column heads: titles with their units."""
    return [
        together(axis.short, " ", el("span", texts.unit(axis.unit), class_="unit"))
        if axis.unit
        else axis.short
        for axis in axes
        if role in (None, axis.role)
    ]


def _row(page: Page, row: int, more: tuple[Markup, ...], role: str | None = None) -> Markup:
    """Return a design's row; its name is a button that shows it."""
    name = el("button", page.name(row), type="button", class_="tell", data_row=row)
    cells = [
        el("td", axis.shown(column[row], page.texts))
        for axis, column in zip(page.axes, page.columns, strict=True)
        if role in (None, axis.role)
    ]
    return el("tr", el("th", name, scope="row"), *more, *cells, data_row=row)


def pointed(page: Page, row: int = 0) -> Markup:
    """Return the panel of one design: its side view where it is kept, and its figures."""
    texts, drawn = page.texts, page.pictures
    kept = drawn is not None and row < len(drawn.bikes)
    label = texts("exploring.side", name=page.name(row))
    return el(
        "div",
        el("h3", page.name(row), class_="who", aria_live="polite"),
        el("p", standing(page, row), class_="stand"),
        el(
            "div",
            drawn.drawn(row, label) if kept and drawn is not None else None,
            class_="drawn",
            hidden=not kept,
        ),
        el("p", texts("exploring.no_side"), class_="remark undrawn", hidden=kept),
        figures(page, row),
        class_="pointed",
        id="pointed",
    )


def standing(page: Page, row: int) -> str:
    """Return in a sentence whether a design meets what is asked, and what stopped it."""
    one, texts = page.shown.rows[row], page.texts
    if one.feasible and row < len(page.exploration.best):
        return f"{verdict(page.exploration.best[row], texts)[1]}."
    if one.feasible:
        return texts("exploring.meets")
    if one.rejected_by is None:
        return texts("exploring.misses")
    what = stop_title(one.rejected_by, page.exploration.study, texts)
    return texts("exploring.stopped_by", what=what)


def figures(page: Page, row: int) -> Markup:
    """Return a design's values, with what was asked of each."""
    texts = page.texts
    rows = []
    for axis, column in zip(page.axes, page.columns, strict=True):
        rows.append(
            el(
                "tr",
                el("th", axis.title, scope="row"),
                el("td", axis.with_unit(column[row], texts), class_="value"),
                el("td", limits(axis, page), class_="asked"),
            )
        )
    heads = [texts(f"exploring.figures.{key}") for key in ("what", "value", "asked")]
    return scrolled_table(heads, rows, "chart values-of", texts("exploring.figures.title"))


def limits(axis: Axis, page: Page) -> str:
    """Return what is asked of an axis in short: a wish's limits, a value's own in the file."""
    texts = page.texts
    if axis.role == "varied":
        return texts("exploring.figures.own", value=_value(axis.start))
    if axis.low is None and axis.high is None:
        least = next(p.least for p in page.exploration.study.preferences if p.label == axis.key)
        return texts("exploring.figures.least" if least else "exploring.figures.most")
    low, high = axis.shown(axis.low, texts), axis.shown(axis.high, texts)
    if axis.high is None:
        return f"≥ {low}"
    return f"≤ {high}" if axis.low is None else f"{low} – {high}"


def sensitivities(page: Page) -> Markup | None:
    """Return what a small step of each value does at the best design; None where it is not known."""
    found, texts = page.exploration.sensitivities, page.texts
    if not found:
        return None
    effects = {(one.path, one.label): one for one in found}
    columns = [a for a in page.axes if any(one.label == a.key for one in found)]
    rows = []
    for axis in page.axes:
        steps = [one.step for one in found if one.path == axis.key]
        if not steps:
            continue
        step = f"{steps[0]:+.3g}".replace("-", "−")
        unit = texts.unit(axis.unit)
        cells = []
        for column in columns:
            one = effects.get((axis.key, column.key))
            effect = None if one is None else one.effect
            cells.append(el("td", _three_digits(effect, texts)))
        label = together(axis.title, el("span", f" {step} {unit}".rstrip(), class_="unit"))
        rows.append(el("tr", el("th", label, scope="row"), *cells))
    heads = [texts("exploring.sensitivities.step"), *_heads(columns, texts)]
    return scrolled_table(heads, rows, "chart steps", texts("exploring.sensitivities.title"))


def _three_digits(value: float | None, texts: Texts) -> str:
    if value is None:
        return "–"
    digits = len(f"{abs(value):.0f}") if abs(value) >= 1 else 1
    return texts.number(value, max(0, 3 - digits), sign=True)
