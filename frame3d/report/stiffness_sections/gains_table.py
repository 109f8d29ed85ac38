"""What a little more of a tube does: where a gram does most in each load case, and all of it."""

from __future__ import annotations

from collections.abc import Sequence

from frame3d.report.markup import Markup, el
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.stiffness_sections.case_words import NAMED
from frame3d.report.texts import Texts
from frame3d.stiffness.gains import Gain
from frame3d.stiffness.of_bike import Stiffness


def gains_table(stiffness: Stiffness, gains: Sequence[Gain], texts: Texts) -> Markup:
    """Return the sizes of which a little more does most for its mass in each load case."""
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


def every_gain(stiffness: Stiffness, gains: Sequence[Gain], texts: Texts) -> Markup:
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
