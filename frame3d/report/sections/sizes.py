"""The tables of sizes and settings: a row a figure, a column a bike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from frame3d.family.cockpit_ranges import CockpitRange
from frame3d.family.of_file import Offered
from frame3d.family.size_table import Row, SizeTable
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts


def sizes(data: ReportData, texts: Texts) -> Markup | None:
    """Return which size and settings the page shows, and the tables of those that the file has.

    None where the file has none.
    """
    offered, variants = data.offered, data.bike.spec.variants
    if offered is None or (offered.sizes is None and offered.settings is None):
        return None
    return together(
        *(
            together(
                el("p", _shown(one, key, texts), class_="lead"),
                size_tables(one.table if key == "size" else _differing(one.table), texts, one.own),
                _cockpits(one, texts) if key == "size" else None,
                _missing(one, texts),
            )
            for key, one in (("size", offered.sizes), ("setting", offered.settings))
            if one is not None
        ),
        el("p", texts("sizes.parts"), class_="remark") if variants.exchanged else None,
    )


def _differing(table: SizeTable) -> SizeTable:
    """Return the table without the figures that are the same in every column."""
    static, sagged = (
        tuple(row for row in rows if len(set(map(_said, row.values))) > 1)
        for rows in (table.static, table.sagged)
    )
    return replace(table, static=static, sagged=sagged)


def _said(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _shown(one: Offered, key: str, texts: Texts) -> str:
    if key == "size":
        return texts("sizes.size", name=one.own)
    return texts("sizes.setting", name=one.own)


def _cockpits(one: Offered, texts: Texts) -> Markup | None:
    """Return with which cockpit each size has the hands of this one; None without a stem."""
    if not any(one.cockpits):
        return None
    keys = ("set", "reach", "stack", "range", "reached")
    cells = [_cockpit(cockpit, texts) for cockpit in one.cockpits]
    rows = [
        el("tr", el("th", texts(f"fit.sizes.{key}"), scope="row"), *(el("td", c[i]) for c in cells))
        for i, key in enumerate(keys)
    ]
    label = texts("fit.sizes.title", name=one.own)
    place = one.table.columns.index(one.own) if one.own in one.table.columns else None
    heads = [texts("fit.sizes.head"), *_heads(one.table.columns, place, texts)]
    assumed = sorted({c.assumed for c in one.cockpits if c is not None and c.assumed is not None})
    return el(
        "div",
        el("h3", label),
        scrolled_table(heads, rows, "chart size-table", label),
        el("p", texts("fit.assumed", list="; ".join(assumed)), class_="remark")
        if assumed
        else None,
        class_="hands",
    )


def _cockpit(one: CockpitRange | None, texts: Texts) -> tuple[str, ...]:
    if one is None:
        return ("–",) * 5
    found, least, most = one.nearest, one.least_reach, one.most_reach
    between = "–"
    if least is not None and most is not None:
        between = texts("fit.sizes.between", least=f"{least:.0f}", most=f"{most:.0f}")
    return (
        f"{found.cockpit.stem:g} | {found.cockpit.spacers:g} | {found.cockpit.rise:g}",
        texts.number(found.reach_miss, 1, sign=True),
        texts.number(found.stack_miss, 1, sign=True),
        between,
        texts("fit.sizes.yes" if one.reached else "fit.sizes.no"),
    )


def _missing(one: Offered, texts: Texts) -> Markup | None:
    if not one.missing:
        return None
    return el("p", texts("sizes.missing", names=", ".join(one.missing)), class_="remark")


def size_tables(table: SizeTable, texts: Texts, own: str = "") -> Markup:
    """Return the charts, as drawn and at sag: a row a figure, a column a bike.

    Args:
        table: of the bikes.
        texts: of the page.
        own: column of the bike that the page is about; none is marked where it is empty.
    """
    drawn = {row.figure: row.values for row in table.static}
    place = table.columns.index(own) if own in table.columns else None
    static = [_figure(row, texts, place) for row in table.static]
    sagged = [
        _figure(row, texts, place, same=row.values == drawn.get(row.figure)) for row in table.sagged
    ]
    return el(
        "div",
        _stand(texts("chart.static"), table.columns, place, static, texts),
        _stand(texts("chart.sagged"), table.columns, place, sagged, texts) if sagged else None,
        class_="sizes",
    )


def _stand(
    stand: str, columns: Sequence[str], own: int | None, rows: Sequence[Markup], texts: Texts
) -> Markup:
    label = f"{texts('comparing.sizes.title')}: {stand}"
    heads = [stand, *_heads(columns, own, texts)]
    return scrolled_table(heads, rows, "chart size-table", label)


def _heads(columns: Sequence[str], own: int | None, texts: Texts) -> Iterator[Markup | str]:
    for i, column in enumerate(columns):
        if i == own:
            yield together(column, el("span", texts("sizes.this"), class_="unseen"))
        else:
            yield column


def _figure(row: Row, texts: Texts, own: int | None, *, same: bool = False) -> Markup:
    """Return a row; one at sag that says the `same` as the static one is left out on paper."""
    named = el("th", row.title, el("span", texts.unit(row.unit), class_="unit"), scope="row")
    cells = (
        el("td", texts.number(value), class_="own" if i == own else None)
        for i, value in enumerate(row.values)
    )
    return el("tr", named, *cells, class_="same" if same else None)


def scrolled_table(
    head: Sequence[Markup | str],
    rows: Sequence[Markup],
    class_: str,
    label: str,
    *,
    has_caption: bool = False,
) -> Markup:
    """Return a table that is moved sideways, by keys too, where it is too wide for the screen.

    With `has_caption` its label stands above it too.
    """
    table = el(
        "table",
        el("caption", label) if has_caption else None,
        el("thead", el("tr", *(el("th", cell, scope="col") for cell in head))),
        el("tbody", *rows),
        class_=class_,
    )
    return el("div", table, class_="scroll", tabindex=0, role="group", aria_label=label)
