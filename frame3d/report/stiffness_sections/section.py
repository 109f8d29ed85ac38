"""The section: how stiff the frame is in each load case, which tubes give way, what a gram would do."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.errors import FrameError
from frame3d.family.of_file import FileTables
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.stiffness_sections.beside import beside
from frame3d.report.stiffness_sections.case_picture import picture, share_step
from frame3d.report.stiffness_sections.case_words import headline, how, share, work
from frame3d.report.stiffness_sections.gains_table import every_gain, gains_table
from frame3d.report.texts import Texts
from frame3d.stiffness.comparison import side_by_side
from frame3d.stiffness.gains import gains_of
from frame3d.stiffness.of_bike import CaseResult, Stiffness, stiffness_if_any

LEAST = 0.02
"""Shares of the strain energy below this have no bar of their own."""
WIDE, TALL = 300.0, 16.0
"""Size of a bar of shares, in its own units."""


def section(data: ReportData, texts: Texts) -> Markup | None:
    """Return the section; None where the file has no tubes. What stands against it is told."""
    try:
        stiffness = data.stiffness
    except FrameError as error:
        return el("div", *(el("p", fault.render(), class_="remark own") for fault in error.faults))
    if stiffness is None:
        return None
    gains = gains_of(stiffness)
    return el(
        "div",
        el("p", texts("stiffness.says"), class_="remark"),
        _legend(texts),
        el("div", *(_case(stiffness, one, texts) for one in stiffness.cases), class_="cases"),
        _figures(stiffness, texts),
        gains_table(stiffness, gains, texts),
        every_gain(stiffness, gains, texts),
        *_variants(data.offered, texts),
        *_remarks(stiffness, texts),
        class_="stiffness",
    )


def _case(stiffness: Stiffness, one: CaseResult, texts: Texts) -> Markup:
    """Return a load case: picture, bar of shares, words."""
    drawn, times = picture(stiffness, one, texts)
    return el(
        "figure",
        drawn,
        _bar(one, texts),
        el(
            "figcaption",
            el("strong", headline(one, texts)),
            el("span", how(one, texts)),
            el("span", work(one, times, texts)),
        ),
    )


def _bar(one: CaseResult, texts: Texts) -> Markup:
    """Return the shares of the strain energy as one bar, the largest first."""
    pieces = []
    at = 0.0
    for key, value in sorted(one.energy.items(), key=lambda item: -item[1]):
        if value < LEAST:
            continue
        wide = WIDE * value
        rect = el(
            "rect",
            el("title", share(key, value, texts)),
            x=f"{at:.1f}",
            y=0,
            width=f"{wide:.1f}",
            height=f"{TALL:g}",
            class_=f"fill-{share_step(value)}",
        )
        pieces.append(rect)
        at += wide
    label = texts("stiffness.bar", title=one.case.title)
    return el(
        "svg",
        *pieces,
        viewbox=f"0 0 {WIDE:g} {TALL:g}",
        role="img",
        aria_label=label,
        class_="shares",
    )


def _legend(texts: Texts) -> Markup:
    """Return what the colours of tubes mean."""
    names = ("least", "little", "some", "much", "most")
    return el(
        "p",
        *(
            el("span", texts(f"stiffness.legend.{name}"), class_=f"key key-{step}")
            for step, name in enumerate(names)
        ),
        class_="legend",
    )


def _figures(stiffness: Stiffness, texts: Texts) -> Markup:
    """Return the figures alone, and over the weighed metal, as a table."""
    rows = [
        el(
            "tr",
            el("th", one.case.title, scope="row"),
            el("td", texts.quantity(one.stiffness, one.case.unit, 1)),
            el("td", texts.number(1000 * one.stiffness / stiffness.frame_mass, 1)),
        )
        for one in stiffness.cases
    ]
    head = [texts(f"stiffness.figures.{key}") for key in ("case", "value", "per_kg")]
    mass = texts.quantity(stiffness.frame_mass, "g", 0)
    caption = texts("stiffness.figures.caption", mass=mass)
    return scrolled_table(head, rows, "masses", caption, has_caption=True)


def _variants(offered: FileTables | None, texts: Texts) -> Iterator[Markup]:
    """Yield the other sizes, and settings, of the file beside the bike at hand."""
    tables = () if offered is None else (("sizes", offered.sizes), ("settings", offered.settings))
    for key, one in tables:
        if one is None or one.own not in one.table.columns:
            continue
        labels = one.table.columns
        results = [stiffness_if_any(bike)[0] for bike in one.bikes]
        shown = side_by_side(labels, results, labels.index(one.own))
        if shown is not None:
            yield el("h3", texts(f"stiffness.beside.{key}", name=one.own))
            yield beside(shown, texts, explained=False)


def _remarks(stiffness: Stiffness, texts: Texts) -> Iterator[Markup]:
    """Yield what marks mean, what is assumed and what is left out."""
    if stiffness.model.bridges:
        yield el("p", texts("stiffness.bridges"), class_="remark")
    lines = (
        texts("stiffness.assumed", list="; ".join(stiffness.assumptions)),
        texts("stiffness.left_out", list="; ".join(stiffness.left_out)),
        texts("stiffness.stronger"),
    )
    for line in lines:
        yield el("p", line, class_="remark")
