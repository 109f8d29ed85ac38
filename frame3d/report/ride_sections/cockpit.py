"""The table of cockpits: which stems, spacers and bars keep the grips where they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from frame3d.bike.steerer import Steerer
from frame3d.report.audience import Audience
from frame3d.report.markup import Markup, el, together
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.texts import Texts
from frame3d.ride.fit.cockpit import Cockpit, Sold
from frame3d.ride.fit.offers import KEEPS, Answer, Offers

FEW: Final = 6
"""Most sets that the page lists as the nearest."""


def cockpit(offers: Offers, texts: Texts, audience: Audience) -> Markup:
    """Return what keeps the grips in their place, for the builder with backsweeps and other bars."""
    now = set_of(offers.present, texts)
    parts: list[Markup | None] = [
        el("h3", texts("fit.cockpit.title")),
        el("p", texts("fit.cockpit.lead", set=now, keeps=texts.quantity(KEEPS, "mm", 0))),
        _bars(offers, texts),
    ]
    if audience == "builder":
        parts += [_sweeps(offers, texts), _nearest(offers.nearest[:FEW], texts)]
    return together(*parts)


def set_of(cockpit: Cockpit, texts: Texts) -> str:
    """Return a cockpit in words."""
    angle = cockpit.stem_angle
    shown = {
        "stem": f"{cockpit.stem:g}" if not angle else f"{cockpit.stem:g} ({angle:g}°)",
        "spacers": f"{cockpit.spacers:g}",
        "rise": f"{cockpit.rise:g}",
        "forward": f"{abs(cockpit.forward):g}",
    }
    if cockpit.forward > 0:
        return texts("fit.cockpit.ahead", **shown)
    return texts("fit.cockpit.behind", **shown)


def _bars(offers: Offers, texts: Texts) -> Markup:
    keys = ("rise", "exact", "sold", "reach", "stack", "verdict")
    rows = [
        el(
            "tr",
            el("th", _bar(answer, offers, texts), scope="row"),
            el("td", _stem_and_spacers(answer.exact, texts, 1)),
            el("td", _stem_and_spacers(answer.sold.cockpit, texts, 0)),
            *_misses(answer.sold, texts),
            el("td", _verdict(answer, texts)),
        )
        for answer in offers.bars
    ]
    head = [texts(f"fit.cockpit.head.{key}") for key in keys]
    return scrolled_table(head, rows, "chart", texts("fit.cockpit.title"))


def _bar(answer: Answer, offers: Offers, texts: Texts) -> str:
    rise = texts.quantity(answer.exact.rise, "mm", 0)
    if answer.exact.stem_angle == offers.present.stem_angle:
        return rise
    return texts("fit.cockpit.turned", rise=rise)


def _stem_and_spacers(cockpit: Cockpit, texts: Texts, decimals: int) -> str:
    spacers = texts.number(cockpit.spacers, 1)
    return f"{texts.number(cockpit.stem, decimals)} | {spacers}"


def _misses(sold: Sold, texts: Texts) -> Iterator[Markup]:
    for miss in (sold.reach_miss, sold.stack_miss):
        yield el("td", texts.number(miss, 1, sign=True))


def _verdict(answer: Answer, texts: Texts) -> str:
    """Return whether sold sizes keep the grips in place, or what stands against it."""
    if answer.sold.miss <= KEEPS:
        return texts("fit.cockpit.keeps")
    if answer.exact.spacers < 0:
        return texts("fit.cockpit.too_high", by=texts.quantity(-answer.exact.spacers, "mm", 0))
    if answer.cannot is not None and answer.sold.stack_miss < 0:
        return texts("fit.cockpit.too_low")
    return texts("fit.cockpit.not_sold")


def _sweeps(offers: Offers, texts: Texts) -> Markup | None:
    """Return the table of backsweeps, a row a rise and a column a stem; None where there are none."""
    if not offers.sweeps:
        return None
    stems = sorted({one.exact.stem for one in offers.sweeps})
    known = {(one.exact.rise, one.exact.stem): one for one in offers.sweeps}
    rows = []
    for rise in sorted({one.exact.rise for one in offers.sweeps}):
        cells = (el("td", _sweep(known.get((rise, stem)), texts)) for stem in stems)
        rows.append(el("tr", el("th", texts.quantity(rise, "mm", 0), scope="row"), *cells))
    head = [texts("fit.cockpit.head.rise")]
    head += [texts("fit.cockpit.stem", length=f"{stem:g}") for stem in stems]
    return together(
        el("h3", texts("fit.cockpit.sweeps.title")),
        el("p", texts("fit.cockpit.sweeps.lead"), class_="remark"),
        scrolled_table(head, rows, "chart", texts("fit.cockpit.sweeps.title")),
    )


def _sweep(answer: Answer | None, texts: Texts) -> str:
    if answer is None:
        return ""
    behind = texts.number(-answer.exact.forward, 0)
    return f"{behind} | {texts.number(answer.sold.cockpit.spacers, 1)}"


def _nearest(nearest: Sequence[Sold], texts: Texts) -> Markup | None:
    if not nearest:
        return None
    rows = [
        el("tr", el("th", set_of(one.cockpit, texts), scope="row"), *_misses(one, texts))
        for one in nearest
    ]
    head = [texts(f"fit.cockpit.head.{key}") for key in ("set", "reach", "stack")]
    return together(
        el("h3", texts("fit.cockpit.nearest")),
        scrolled_table(head, rows, "chart", texts("fit.cockpit.nearest")),
    )


def steerer(found: Steerer, texts: Texts) -> Markup:
    """Return what the steerer must be, and what it allows, in one sentence."""
    if found.least is None:
        return el("p", texts("fit.steerer.headset", top=_mm(found.headset_top, texts)))
    least = _mm(found.least, texts)
    if found.length is None or found.over_the_stem is None:
        return el("p", texts("fit.steerer.asked", least=least))
    shown = {"length": _mm(found.length, texts), "least": least}
    if found.over_the_stem < 0:
        return el("p", texts("fit.steerer.short", by=_mm(-found.over_the_stem, texts), **shown))
    most = _mm(found.most_spacers or 0.0, texts)
    over = _mm(found.over_the_stem, texts)
    return el("p", texts("fit.steerer.long", over=over, most=most, **shown))


def _mm(value: float, texts: Texts) -> str:
    return texts.quantity(value, "mm", 0)
