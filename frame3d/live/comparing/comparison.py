"""The table of two bikes as markup: results first, what their files say last."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.family.differences import Change
from frame3d.live.cells import SMALL, change_cell, value_cell
from frame3d.live.comparing.sides import Side
from frame3d.live.solved_text import Difference, SolvedText
from frame3d.report.comparing import sentences
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

GRAM: Final = 0.5
"""Changes of masses below this are not shown [g]."""


@dataclass(frozen=True, slots=True)
class Gap:
    """The smallest gap of a check."""

    title: str
    least: float
    required: float
    unit: str


@dataclass(frozen=True, slots=True)
class Measured:
    """What is measured of a bike for a comparison."""

    gaps: Mapping[str, Gap]
    """By the name of the check."""
    grams: float | None
    """Of tubes, shell and housings; None where that is not known."""


def comparison(
    sides: tuple[Side | None, Side | None],
    change: Difference | None,
    measured: Callable[[SolvedText], Measured | None],
    texts: Texts,
) -> Markup:
    """Return what differs between two bikes: chart, at sag, smallest gaps, mass, the file's values."""
    before, after = sides
    if before is None or after is None or change is None:
        return el("p", texts("live.compare.nothing"), class_="remark")
    heads = [before.name, after.name, texts("chart.change")]
    both = measured(before.solved), measured(after.solved)
    tables = [
        _table(texts("live.compare.figures"), heads, _figures(change.figures, texts), "chart"),
        _table(texts("live.compare.sagged"), heads, _figures(change.sagged, texts), "chart"),
        _table(texts("fit.contacts"), heads, _figures(change.contacts, texts), "chart"),
        _table(texts("live.compare.gaps"), heads, _gaps(*both, texts), "chart gaps"),
        _table(texts("live.compare.masses"), heads, _masses(*both, texts), "chart masses"),
        _table(texts("live.compare.inputs"), heads, _inputs(change, texts), "inputs"),
    ]
    if all(table is None for table in tables):
        return el("p", texts("live.compare.same", name=before.name), class_="remark")
    return together(*tables)


def _figures(changes: Sequence[Change], texts: Texts) -> list[Markup]:
    return [
        _row(
            sentences.title(c, texts),
            value_cell(c.before, c.unit, texts),
            value_cell(c.after, c.unit, texts),
            change_cell(c.before, c.after, texts),
        )
        for c in changes
    ]


def _gaps(before: Measured | None, after: Measured | None, texts: Texts) -> list[Markup]:
    old = {} if before is None else before.gaps
    new = {} if after is None else after.gaps
    if before is None or after is None:
        return []
    rows = []
    for name in (*new, *(name for name in old if name not in new)):
        a, b = old.get(name), new.get(name)
        if a is not None and b is not None and abs(a.least - b.least) < SMALL:
            continue
        named = texts.get(f"check.{name}") or (b or a or Gap(name, 0, 0, "")).title
        values = (None if a is None else a.least, None if b is None else b.least)
        rows.append(_row(named, _gap(a, texts), _gap(b, texts), change_cell(*values, texts)))
    return rows


def _gap(gap: Gap | None, texts: Texts) -> Markup:
    if gap is None:
        return el("td", "–")
    shown = texts.quantity(gap.least, gap.unit, 2)
    if gap.least >= gap.required:
        return el("td", shown)
    wanted = texts("live.compare.short", required=texts.quantity(gap.required, gap.unit, 2))
    return el("td", shown, " ", el("span", wanted, class_="short"))


def _masses(before: Measured | None, after: Measured | None, texts: Texts) -> list[Markup]:
    a = None if before is None else before.grams
    b = None if after is None else after.grams
    if a is None or b is None or abs(a - b) < GRAM:
        return []
    cells = (el("td", texts.quantity(grams, "g", 0)) for grams in (a, b))
    return [_row(texts("live.compare.mass"), *cells, change_cell(a, b, texts, decimals=0))]


def _inputs(change: Difference, texts: Texts) -> list[Markup]:
    return [
        _row(
            c.path,
            el("td", "–" if c.before is None else c.before),
            el("td", "–" if c.after is None else c.after),
            change_cell(_number(c.before), _number(c.after), texts),
        )
        for c in change.inputs
    ]


def _row(title: str, *cells: Markup) -> Markup:
    return el("tr", el("th", title, scope="row"), *cells)


def _number(text: str | None) -> float | None:
    try:
        return None if text is None else float(text.removesuffix("%"))
    except ValueError:
        return None


def _table(title: str, heads: Sequence[str], rows: list[Markup], kind: str) -> Markup | None:
    if not rows:
        return None
    head = [el("th", title, scope="col"), *(el("th", c, scope="col") for c in heads)]
    return el("table", el("thead", el("tr", *head)), el("tbody", *rows), class_=f"compared {kind}")
