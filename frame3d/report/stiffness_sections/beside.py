"""Stiffness of several bikes beside one of them: ratio bars with bands, and the figures as a table."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.report.markup import Markup, el, together
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.stiffness_sections.ratio_bars import bars, span_of
from frame3d.report.texts import Texts
from frame3d.stiffness.comparison import Ratio, SideBySide, Verdict
from frame3d.stiffness.load_cases import LoadCase
from frame3d.stiffness.of_bike import Stiffness

WORDS: dict[Verdict, str] = {
    "same": "same",
    "not told apart": "not_told_apart",
    "stiffer": "stiffer",
    "less stiff": "less_stiff",
}
"""Verdict -> key of its words."""


def beside(shown: SideBySide, texts: Texts, *, explained: bool = True) -> Markup:
    """Return bars of ratios to the reference, a picture each load case, and a table of all figures.

    With `explained`, each picture says how the frame is held and loaded.
    """
    return el(
        "div",
        el("p", texts("stiffness.beside.says", first=shown.labels[shown.reference]), class_="says"),
        _key(shown, texts),
        el("div", *_pictures(shown, texts, explained=explained), class_="cases"),
        _table(shown, texts),
        class_="stiffness",
    )


def remarks(shown: SideBySide, texts: Texts) -> Markup:
    """Return what was assumed and left out for any of the frames, and what the figures cannot say."""
    known = [one for one in shown.results if one is not None]
    assumed = dict.fromkeys(line for one in known for line in one.assumptions)
    left_out = dict.fromkeys(line for one in known for line in one.left_out)
    lines = (
        texts("stiffness.assumed", list="; ".join(assumed)),
        texts("stiffness.left_out", list="; ".join(left_out)),
        texts("stiffness.stronger"),
    )
    return together(*(el("p", line, class_="remark") for line in lines))


def verdict(one: Ratio, texts: Texts) -> str:
    """Return what a ratio says, in words."""
    return texts(f"stiffness.verdict.{WORDS[one.verdict]}")


def _key(shown: SideBySide, texts: Texts) -> Markup:
    """Return the bikes with the colours of their bars."""
    names = [
        el("span", label, class_=f"key bike-{i % 8}")
        for i, label in enumerate(shown.labels)
        if shown.comparisons[i] is not None
    ]
    reference = texts("stiffness.beside.reference", name=shown.labels[shown.reference])
    return el("p", *names, el("span", reference), class_="legend")


def _pictures(shown: SideBySide, texts: Texts, *, explained: bool) -> Iterator[Markup]:
    """Yield the bars of each load case that the reference has, all to one scale."""
    span = span_of(shown)
    for one in shown.first.cases:
        ratios = list(_ratios(shown, one.case))
        if not ratios:
            continue
        spoken = "; ".join(f"{shown.labels[i]} {_said(r, texts)}" for i, r in ratios)
        label = texts("stiffness.beside.label", title=one.case.title, ratios=spoken)
        rows = [
            (i % 8, shown.labels[i], r, f"{r.value:.2f} {verdict(r, texts)}") for i, r in ratios
        ]
        held = texts(
            "stiffness.held", held=one.case.held, loaded=one.case.loaded, read=one.case.read
        )
        yield el(
            "figure",
            bars(rows, span, label),
            el(
                "figcaption",
                el("strong", one.case.title),
                el("span", held) if explained else None,
            ),
        )


def _ratios(shown: SideBySide, case: LoadCase) -> Iterator[tuple[int, Ratio]]:
    """Yield the place and ratio of each bike that has a load case."""
    for i, comparison in enumerate(shown.comparisons):
        for ratio in () if comparison is None else comparison.ratios:
            if ratio.case.key == case.key:
                yield i, ratio


def _said(one: Ratio, texts: Texts) -> str:
    """Return a ratio with its band and words."""
    return texts(
        "stiffness.beside.ratio",
        ratio=texts.number(one.value, 2),
        low=texts.number(one.low, 2),
        high=texts.number(one.high, 2),
        verdict=verdict(one, texts),
    )


def _table(shown: SideBySide, texts: Texts) -> Markup:
    """Return figures, stiffness over mass, and ratios: a row a load case, a column a bike."""
    rows = []
    for one in shown.first.cases:
        found = dict(_ratios(shown, one.case))
        cells = (
            _cell(result, one.case, found.get(i), texts) for i, result in enumerate(shown.results)
        )
        unit = el("span", texts.unit(one.case.unit), class_="unit")
        rows.append(el("tr", el("th", one.case.title, unit, scope="row"), *cells))
    grams = (
        el("td", "–" if one is None else texts.quantity(one.frame_mass, "g", 0))
        for one in shown.results
    )
    rows.append(el("tr", el("th", texts("stiffness.beside.mass"), scope="row"), *grams))
    head = [texts("stiffness.gain.case"), *shown.labels]
    caption = texts("stiffness.beside.table")
    return scrolled_table(head, rows, "chart compared ratios", caption, has_caption=True)


def _cell(result: Stiffness | None, case: LoadCase, ratio: Ratio | None, texts: Texts) -> Markup:
    value = None if result is None else result.value(case.key)
    if result is None or value is None:
        return el("td", "–")
    per = texts("stiffness.beside.per_kg", value=texts.number(1000 * value / result.frame_mass, 1))
    return el(
        "td",
        el("span", texts.number(value, 1)),
        el("span", per, class_="where"),
        None if ratio is None else el("span", _said(ratio, texts), class_="where"),
    )
