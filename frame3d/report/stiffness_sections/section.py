"""The section: how stiff the frame is in each load case, which tubes give way, what a gram would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.errors import FrameError
from frame3d.family.of_file import FileTables
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.stiffness_sections.beside import beside
from frame3d.report.stiffness_sections.case_picture import picture, share_step
from frame3d.report.texts import Texts
from frame3d.stiffness.comparison import side_by_side
from frame3d.stiffness.gains import Gain, gains_of
from frame3d.stiffness.of_bike import (
    CaseResult,
    Stiffness,
    stiffness_if_any,
    stiffness_of,
)

NAMED = 3
"""Tubes named below each picture, and sizes in each row of gains."""
LEAST = 0.02
"""Shares of the strain energy below this have no bar of their own."""
WIDE, TALL = 300.0, 16.0
"""Size of a bar of shares, in its own units."""


def section(data: ReportData, texts: Texts) -> Markup | None:
    """Return the section; None where the file has no tubes. What stands against it is told."""
    if not data.bike.tubes:
        return None
    try:
        stiffness = stiffness_of(data.bike)
    except FrameError as error:
        return el("div", *(el("p", fault.render(), class_="remark own") for fault in error.faults))
    gains = gains_of(stiffness)
    return el(
        "div",
        el("p", texts("stiffness.says"), class_="remark"),
        _legend(texts),
        el("div", *(_case(stiffness, one, texts) for one in stiffness.cases), class_="cases"),
        _figures(stiffness, texts),
        _gains(stiffness, gains, texts),
        _every_gain(stiffness, gains, texts),
        *_variants(data.offered, texts),
        *_remarks(stiffness, texts),
        class_="stiffness",
    )


def _case(stiffness: Stiffness, one: CaseResult, texts: Texts) -> Markup:
    """Return a load case: picture, bar of shares, words."""
    case = one.case
    value = texts.quantity(one.stiffness, case.unit, 1)
    named = sorted(one.energy.items(), key=lambda item: -item[1])[:NAMED]
    shares = ", ".join(
        f"{texts.part(key).lower()} {texts.quantity(100 * share, '%', 0)}" for key, share in named
    )
    drawn, large = picture(stiffness, one, texts)
    times = texts.number(large, 0 if large >= 10 else 1)
    return el(
        "figure",
        drawn,
        _bar(one, texts),
        el(
            "figcaption",
            el("strong", f"{case.title}: {value}"),
            el("span", texts("stiffness.held", held=case.held, loaded=case.loaded, read=case.read)),
            el("span", texts("stiffness.shares", shares=shares, times=times)),
        ),
    )


def _bar(one: CaseResult, texts: Texts) -> Markup:
    """Return the shares of the strain energy as one bar, the largest first."""
    pieces = []
    at = 0.0
    for key, share in sorted(one.energy.items(), key=lambda item: -item[1]):
        if share < LEAST:
            continue
        wide = WIDE * share
        said = f"{texts.part(key)}: {texts.quantity(100 * share, '%', 0)}"
        rect = el(
            "rect",
            el("title", said),
            x=f"{at:.1f}",
            y=0,
            width=f"{wide:.1f}",
            height=f"{TALL:g}",
            class_=f"fill-{share_step(share)}",
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


def _gains(stiffness: Stiffness, gains: Sequence[Gain], texts: Texts) -> Markup:
    """Return where a gram does most in each load case, as a table."""
    head = [texts(f"stiffness.gain.{key}") for key in ("case", "first", "second", "third")]
    rows = []
    for one in stiffness.cases:
        best = sorted(gains, key=lambda gain: -gain.per_gram(one.case.key))[:NAMED]
        cells = [_gain(gain, one.case.key, stiffness, texts) for gain in best]
        rows.append(
            el(
                "tr",
                el("th", one.case.title, scope="row"),
                *(el("td", cell) for cell in cells),
            )
        )
    caption = texts("stiffness.gain.caption")
    return scrolled_table(head, rows, "masses", caption, has_caption=True)


def _every_gain(stiffness: Stiffness, gains: Sequence[Gain], texts: Texts) -> Markup:
    """Return what a little more of each size of each tube does, and weighs, as a folded table."""
    cases = [one.case for one in stiffness.cases]
    head = [
        texts("stiffness.gain.size"),
        texts("stiffness.gain.grams"),
        *(case.title for case in cases),
    ]
    rows = []
    for gain in gains:
        decimals = 1 if gain.size == "wall" else 0
        more = texts.quantity(gain.more, "mm", decimals)
        named = texts(f"stiffness.gain.more_{gain.size}", tube=texts.part(gain.tube), more=more)
        marked = f"{named} *" if gain.tube in stiffness.model.bridges else named
        values = (texts.number(gain.percent[case.key], 1, sign=True) for case in cases)
        grams = texts.number(gain.grams, 0, sign=True)
        cells = (el("td", value) for value in (grams, *values))
        rows.append(el("tr", el("th", marked, scope="row"), *cells))
    label = texts("stiffness.gain.every")
    return el("details", el("summary", label), scrolled_table(head, rows, "masses", label))


def _gain(gain: Gain, case: str, stiffness: Stiffness, texts: Texts) -> str:
    """Return one gain in words; bridges are marked."""
    shown = texts(
        f"stiffness.gain.{gain.size}",
        tube=texts.part(gain.tube),
        more=texts.quantity(gain.more, "mm", 1 if gain.size == "wall" else 0),
        percent=texts.number(gain.percent[case], 1, sign=True),
        grams=texts.number(gain.grams, 0, sign=True),
    )
    return f"{shown} *" if gain.tube in stiffness.model.bridges else shown


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
