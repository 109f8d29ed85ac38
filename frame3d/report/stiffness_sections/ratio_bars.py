r"""Ratios of one load case as bars from 1, each with its band.

::

      L              1.08 not told apart      label, ratio, words
      |      1===#===-|                       bar from 1 to the ratio; a thin line along the band
      0.8    1.0    1.25                      one logarithmic scale for all load cases
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from frame3d.report.markup import Markup, el
from frame3d.stiffness.comparison import Ratio, SideBySide

WIDE = 290.0
"""Width of the picture, in its own units, which are about a pixel."""
EDGE = 10.0
"""Room left and right of the scale."""
ROW, BAR = 34.0, 9.0
"""Height of a bike's row, and of its bar."""
FOOT = 18.0
"""Height of the scale's figures."""
LEAST_SPAN = 1.25
"""The scale reaches at least from 1 over this to this."""
TICKS = (0.33, 0.5, 0.67, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0, 3.0)
"""Ratios that the scale names where they are on it."""
APART = 34.0
"""Least distance of two named ratios."""
FARTHEST = 3.0
"""The scale goes no farther than from 1 over this to this; bars beyond it run out of the picture."""


def span_of(shown: SideBySide) -> tuple[float, float]:
    """Return the ends of the scale that all bands are within, but for those far away."""
    ratios = [r for one in shown.comparisons if one is not None for r in one.ratios]
    low = min((r.low for r in ratios), default=1.0)
    high = max((r.high for r in ratios), default=1.0)
    return (
        max(min(1 / LEAST_SPAN, low), 1 / FARTHEST),
        min(max(LEAST_SPAN, high), FARTHEST),
    )


def bars(
    rows: Sequence[tuple[int, str, Ratio, str]], span: tuple[float, float], label: str
) -> Markup:
    """Return the picture of one load case.

    Args:
        rows: for each bike the number of its colour, its label, its ratio, and what is said of that.
        span: ends of the scale.
        label: what a screen reader says.
    """
    high = ROW * len(rows) + FOOT
    marks = [*_scale(span, high)]
    for i, (look, name, ratio, said) in enumerate(rows):
        marks += _row(i * ROW, look, name, ratio, said, span)
    return el(
        "svg",
        *marks,
        viewbox=f"0 0 {WIDE:g} {high:g}",
        role="img",
        aria_label=label,
        class_="ratio-bars",
    )


def place(ratio: float, span: tuple[float, float]) -> float:
    """Return where a ratio is on the scale, in units of the picture; at its edge where it is beyond."""
    if not span[0] <= ratio <= span[1]:
        return 0.0 if ratio < span[0] else WIDE
    low, high = math.log(span[0]), math.log(span[1])
    return EDGE + (WIDE - 2 * EDGE) * (math.log(ratio) - low) / (high - low)


def _scale(span: tuple[float, float], high: float) -> Iterator[Markup]:
    """Yield lines and figures of the scale; 1 is there whatever else has room."""
    taken = [place(1.0, span)]
    for tick in sorted(TICKS, key=lambda tick: abs(math.log(tick))):
        x = place(tick, span) if span[0] <= tick <= span[1] else -1.0
        if x < 0 or (tick != 1.0 and min(abs(x - other) for other in taken) < APART):
            continue
        taken.append(x)
        class_ = "one" if tick == 1.0 else "tick"
        yield el("line", x1=f"{x:.1f}", y1=0, x2=f"{x:.1f}", y2=f"{high - FOOT:g}", class_=class_)
        at = min(max(x, EDGE), WIDE - EDGE)
        yield el("text", f"{tick:g}", x=f"{at:.1f}", y=f"{high - 5:g}", class_="figure")


def _row(
    top: float, look: int, name: str, ratio: Ratio, said: str, span: tuple[float, float]
) -> Iterator[Markup]:
    """Yield a bike's label, bar and band."""
    y = top + 17
    one, at = place(1.0, span), place(ratio.value, span)
    low, high = place(ratio.low, span), place(ratio.high, span)
    yield el("text", name, x=0, y=f"{top + 12:g}", class_="name")
    yield el("text", said, x=f"{WIDE:g}", y=f"{top + 12:g}", class_="said")
    yield el(
        "rect",
        x=f"{min(one, at):.1f}",
        y=f"{y:g}",
        width=f"{max(abs(at - one), 1.0):.1f}",
        height=f"{BAR:g}",
        class_=f"bike-{look}",
    )
    middle = f"{y + BAR / 2:g}"
    yield el("line", x1=f"{low:.1f}", y1=middle, x2=f"{high:.1f}", y2=middle, class_="limits")
    for end in (low, high):
        if end in (0.0, WIDE):
            continue
        yield el(
            "line",
            x1=f"{end:.1f}",
            y1=f"{y:g}",
            x2=f"{end:.1f}",
            y2=f"{y + BAR:g}",
            class_="limits",
        )
