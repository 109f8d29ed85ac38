"""Tables and sentences of a comparison: charts, what differs, clearances, suspension and mass."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from frame3d.clearance.result import Result
from frame3d.fabrication.lists import csv_bytes
from frame3d.family.differences import (
    CONTACTS,
    SLOPES,
    STEERING,
    SUSPENSION,
    Change,
    contact_figures,
    steering_figures,
    suspension_figures,
)
from frame3d.family.size_table import SizeTable
from frame3d.report.comparing.data import Comparison
from frame3d.report.comparing.sentences import sentence, thresholds, worth_a_word
from frame3d.report.markup import Markup, el, together
from frame3d.report.scene import check_title
from frame3d.report.sections.clearances import state_of
from frame3d.report.sections.heading import mark
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.texts import Texts


def told(comparison: Comparison, texts: Texts) -> Markup:
    """Return what differs from the first bike in plain sentences, a list each other bike.

    Clearances have a table of their own, see `gaps`.
    """
    first = comparison.labels[0]
    lists = []
    for i, label in enumerate(comparison.labels[1:], 1):
        changes = [c for c in worth_a_word(comparison.changes[i]) if c.kind != "gap"]
        heading = texts("comparing.against", name=label, first=first)
        said = [_item(change, texts) for change in changes]
        lists.append(
            el(
                "div",
                el("h3", heading),
                el("ul", *said, class_="sentences")
                if said
                else el("p", texts("comparing.same"), class_="remark"),
                class_=f"told d{i}" + ("" if i == 1 else " aside"),
                data_bike=i,
            )
        )
    return together(*lists, el("p", thresholds(texts), class_="remark limits"))


def _item(change: Change, texts: Texts) -> Markup:
    """Return a sentence; that of a figure in the drawing chooses its dimension there."""
    said = sentence(change, texts)
    if change.kind != "figure":
        return el("li", said)
    return el(
        "li",
        el("button", said, type="button", class_="tell", data_figure=change.name),
    )


def size_csv(table: SizeTable) -> bytes:
    """Return the size table as CSV: a row a figure and stance, a column a bike, to 0.01."""
    rows = [
        [row.figure, row.unit, stand, *("" if v is None else f"{v:.2f}" for v in row.values)]
        for stand, rows in (("static", table.static), ("at sag", table.sagged))
        for row in rows
    ]
    return csv_bytes(["figure", "unit", "stance", *table.columns], rows)


def gaps(comparison: Comparison, texts: Texts) -> Markup:
    """Return the clearances that differ between any two bikes, or that fall short on one."""
    known = [one.gaps for one in comparison.measured]
    differ = {c.name for own in comparison.changes for c in own if c.kind == "gap"}
    short = {result.name for own in known for result in own.values() if not result.ok}
    names = [
        name for name in dict.fromkeys(n for own in known for n in own) if name in differ | short
    ]
    if not names:
        return el("p", texts("comparing.no_gap_differs"))
    rows = []
    for name in sorted(names, key=lambda name: min(o[name].margin for o in known if name in o)):
        results = [own.get(name) for own in known]
        there = next(result for result in results if result is not None)
        required = {result.required for result in results if result is not None}
        wanted = texts.quantity(there.required, there.unit) if len(required) == 1 else "–"
        title = check_title(name, there.title, texts)
        cells = [_gap(result, texts) for result in results]
        rows.append(el("tr", el("th", title, scope="row"), el("td", wanted), *cells))
    head = [texts("checks.check"), texts("checks.required"), *comparison.labels]
    return scrolled_table(head, rows, "chart compared gaps", texts("comparing.gaps.title"))


def _gap(result: Result | None, texts: Texts) -> Markup:
    if result is None:
        return el("td", "–")
    shown = texts.quantity(result.least, result.unit, result.decimals(1))
    state = state_of(result)
    if state == "holds":
        return el("td", shown)
    word = el("span", texts(f"status.{state}"), class_="unseen")
    return el("td", mark(state, texts), word, " ", shown, class_=state)


def contacts(comparison: Comparison, texts: Texts) -> Markup | None:
    """Return the distances of the contact points of every bike; None where no bike has any."""
    own = [contact_figures(member.bike) for member in comparison.members]
    rows = []
    for name in CONTACTS:
        values = [figures.get(name) for figures in own]
        if any(value is not None for value in values):
            cells = (el("td", texts.quantity(value, "mm", 1)) for value in values)
            rows.append(el("tr", el("th", texts(f"fit.figure.{name}"), scope="row"), *cells))
    if not rows:
        return None
    head = [texts("fit.contacts"), *comparison.labels]
    return scrolled_table(head, rows, "chart compared contacts", texts("fit.contacts"))


def suspension_and_mass(comparison: Comparison, texts: Texts) -> Markup | None:
    """Return figures of suspension, slopes, steering, and masses of frames; None without any."""
    rows = [
        *_suspension(comparison, texts),
        *_slopes(comparison, texts),
        *_steering(comparison, texts),
    ]
    grams = [one.grams for one in comparison.measured]
    if any(one is not None for one in grams):
        cells = (el("td", texts.quantity(one, "g", 0)) for one in grams)
        rows.append(el("tr", el("th", texts("difference.mass.title"), scope="row"), *cells))
    if not rows:
        return None
    head = [texts("chart.figure"), *comparison.labels]
    return scrolled_table(head, rows, "chart compared", texts("comparing.masses.title"))


def _suspension(comparison: Comparison, texts: Texts) -> Iterator[Markup]:
    own = [
        {} if one.travel is None else suspension_figures(one.travel) for one in comparison.measured
    ]
    for name, unit in SUSPENSION.items():
        title = texts(f"difference.suspension.{name}.title")
        yield from _row(title, Change("suspension", name, unit, None, None), own, texts)


def _slopes(comparison: Comparison, texts: Texts) -> Iterator[Markup]:
    own = [one.slopes.figures for one in comparison.measured]
    for name, unit in SLOPES.items():
        title = texts(f"difference.slopes.{name}.title")
        yield from _row(title, Change("slopes", name, unit, None, None), own, texts)


def _steering(comparison: Comparison, texts: Texts) -> Iterator[Markup]:
    own = [steering_figures(one.steering) for one in comparison.measured]
    for name, unit in STEERING.items():
        title = texts(f"difference.steering.{name}.title")
        yield from _row(title, Change("steering", name, unit, None, None), own, texts)


def _row(
    title: str, change: Change, own: Sequence[Mapping[str, float]], texts: Texts
) -> Iterator[Markup]:
    """Yield a row with a figure of every bike; none where no bike has it."""
    values = [figures.get(change.name) for figures in own]
    if any(value is not None for value in values):
        cells = (el("td", texts.quantity(value, change.unit, change.decimals)) for value in values)
        yield el("tr", el("th", title, scope="row"), *cells)
