"""Side views of the kept bikes as plain data, equal shapes once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

from frame3d.explore.exploration import Kept
from frame3d.report.markup import Markup, el
from frame3d.report.side import Side

MARGIN = 30.0
"""Room around the bikes [mm]."""


@dataclass(frozen=True)
class Pictures:
    """Side views to one scale."""

    shapes: tuple[tuple[str, dict[str, str]], ...]
    """Tag and attributes of SVG elements; no two are equal."""
    bikes: tuple[tuple[int, ...], ...]
    """Places of each bike's shapes, far ones first."""
    window: str
    """What all bikes need of the drawing, for ``viewBox``."""

    def drawn(self, bike: int, label: str) -> Markup:
        """Return the drawing of a bike as SVG."""
        marks = [el(tag, **values) for tag, values in (self.shapes[i] for i in self.bikes[bike])]
        return el(
            "svg",
            *marks,
            class_="sheet side",
            viewbox=self.window,
            role="img",
            aria_label=label,
        )


def pictures(best: Sequence[Kept]) -> Pictures | None:
    """Return the side views of bikes; None without any."""
    if not best:
        return None
    sides = [Side(kept.bike, kept.parts) for kept in best]
    places: dict[tuple[str, tuple[tuple[str, str], ...]], int] = {}
    bikes = []
    for side in sides:
        root = ElementTree.fromstring(f"<g>{''.join(side.marks())}</g>")  # our own markup
        own = [(mark.tag, tuple(mark.attrib.items())) for mark in root]
        bikes.append(tuple(places.setdefault(mark, len(places)) for mark in own))
    lows, highs = zip(*(side.corners for side in sides), strict=True)
    left, bottom = min(x for x, _ in lows) - MARGIN, min(z for _, z in lows) - MARGIN
    right, top = max(x for x, _ in highs) + MARGIN, max(z for _, z in highs) + MARGIN
    return Pictures(
        tuple((tag, dict(values)) for tag, values in places),
        tuple(bikes),
        f"{left:.0f} {-top:.0f} {right - left:.0f} {top - bottom:.0f}",
    )
