"""How far an exploration came: how many designs, at which rate, what stops most, what would help."""

from __future__ import annotations

from typing import Final

from frame3d.explore.search.bearing import SLIGHT
from frame3d.report.exploring.axes import stop_title
from frame3d.report.exploring.sections import Page
from frame3d.report.markup import Markup, el, together
from frame3d.report.sections.sizes import scrolled_table

BLOCKING: Final = 8
"""How many of the wishes and checks that stop designs are listed."""
HELPFUL: Final = 3
"""How many values are named that bear on one of them."""


def progress(page: Page) -> Markup:
    """Return how many designs were evaluated, at which rate, and what stops most of them."""
    found, texts = page.exploration, page.texts
    count = len(found.evaluations)
    rate = found.rate
    cells = [
        ("designs", f"{count:,}", ""),
        ("feasible", f"{found.feasible:,}", _share(found.feasible, count)),
        ("kept", str(len(found.best)), ""),
        (
            "rate",
            "–" if rate is None else f"{rate:,.0f}" if rate >= 10 else f"{rate:.2g}",
            "" if rate is None else texts("exploring.far.now", count=f"{found.evaluated:,}"),
        ),
    ]
    glance = el(
        "dl",
        *(
            el(
                "div",
                el("dt", texts(f"exploring.far.{key}")),
                el("dd", said),
                el("dd", under, class_="under"),
            )
            for key, said, under in cells
        ),
        class_="glance progress",
    )
    blocking = sorted(found.blocking.items(), key=lambda one: (-one[1], one[0]))
    rows = [
        el(
            "tr",
            el("th", stop_title(label, found.study, texts), scope="row"),
            el("td", f"{number:,}"),
            el("td", _share(number, count)),
        )
        for label, number in blocking[:BLOCKING]
    ]
    ended = texts.get(f"exploring.ended.{found.ended.replace(' ', '_')}") or found.ended
    told = together(
        glance,
        el("p", texts("exploring.far.ended", why=ended), class_="ended") if ended else None,
    )
    if not rows:
        return told
    heads = [texts(f"exploring.far.{key}") for key in ("stopped_by", "stopped", "share")]
    label = texts("exploring.far.blocking")
    table = scrolled_table(heads, rows, "chart blocking", label)
    return together(told, el("h3", label), table, _bearing(page), _unvaried(page))


def _share(part: int, whole: int) -> str:
    return "" if whole == 0 else f"{100 * part / whole:.{0 if part in (0, whole) else 1}f} %"


def _bearing(page: Page) -> Markup | None:
    """Return which values bear on what stops most designs, and for what something else must vary."""
    found, texts = page.exploration, page.texts
    titles = {axis.key: axis.short for axis in page.axes}
    items = []
    for label in dict.fromkeys(one.label for one in found.bearings):
        own = [b for b in found.bearings if b.label == label and abs(b.coefficient) >= SLIGHT]
        ways = [
            texts(
                "exploring.far.more" if one.coefficient > 0 else "exploring.far.less",
                what=titles.get(one.name, one.name),
            )
            for one in own[:HELPFUL]
        ]
        what = stop_title(label, found.study, texts)
        if ways:
            items.append(texts("exploring.far.helps", what=what, ways=", ".join(ways)))
    for label in found.unmoved:
        what = stop_title(label, found.study, texts)
        items.append(texts("exploring.far.unmoved", what=what))
    if not items:
        return None
    return together(
        el("h3", texts("exploring.far.bearing")),
        el("ul", *(el("li", item) for item in items), class_="plain bearing"),
    )


def _unvaried(page: Page) -> Markup | None:
    """Return which values that do not vary would mend a part of what the nearest design misses."""
    found, texts = page.exploration, page.texts
    items = []
    for label in dict.fromkeys(one.label for one in found.unvaried):
        what = stop_title(label, found.study, texts)
        for one in (g for g in found.unvaried if g.label == label):
            part = (
                texts("exploring.far.all")
                if one.share >= 1
                else texts("exploring.far.part", percent=f"{100 * one.share:.2g}")
            )
            change = f"{one.change:+.3g}".replace("-", "\u2212")
            items.append(
                texts("exploring.far.step", what=what, path=one.name, change=change, part=part)
            )
    if not items:
        return None
    return together(
        el("h3", texts("exploring.far.unvaried")),
        el("ul", *(el("li", item) for item in items), class_="plain bearing"),
    )
