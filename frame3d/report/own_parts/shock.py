"""The shock: its stroke and sag, how the linkage drives it, its spring and damper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.linkage import Linkage
from frame3d.linkage.curves.leverage import progression
from frame3d.report.data import ReportData
from frame3d.report.own_parts.own_part import Lit, OwnPart, plain, told
from frame3d.report.own_parts.springs_and_dampers import damper_as_given, spring_of
from frame3d.report.texts import Texts

EVEN: Final = 0.02
"""Change of the leverage from start to end below which it is called even, as a share; common practice,
no source."""


def shock(data: ReportData, texts: Texts) -> OwnPart | None:
    """Return what the shock does and its figures; None for a bike without rear suspension."""
    linkage = data.bike.linkage
    if linkage is None:
        return None
    said = told(
        (
            texts(
                "own_parts.shock.is",
                length=plain(linkage.eye_to_eye, "mm", texts),
                stroke=plain(linkage.full_stroke, "mm", texts),
                travel=plain(linkage.full_travel, "mm", texts),
            ),
            _leverage(linkage, texts),
            _sag(data, texts),
        )
    )
    names = [o.name for o in data.side.outlines if o.family == "shock"]
    other = [name for name in names if name in ("shock_shaft", "shock_coil")]
    solids = [data.side.solids(group) for group in (set(names) - set(other), other)]
    areas = tuple(area for area in solids if area)
    ends = tuple(linkage.drawn[name] for name in linkage.shock)
    lit = Lit(areas) if areas else Lit(lines=(ends,))
    lighter = None
    if "shock_coil" in other:
        lighter = texts("own_parts.shock.coil")
    elif other:
        lighter = texts("own_parts.shock.shaft")
    return OwnPart("shock", said, lit, lighter, tuple(_inside(data, texts)))


def _leverage(linkage: Linkage, texts: Texts) -> str:
    """Return the leverage at start and end, and what its change does."""
    values = {
        "first": texts.number(float(linkage.leverage[0]), 2),
        "last": texts.number(float(linkage.leverage[-1]), 2),
    }
    falls = progression(linkage.leverage)
    if abs(falls) < EVEN:
        return texts("own_parts.shock.even", **values)
    share = texts.quantity(100 * abs(falls), "%", 0)
    if falls > 0:
        return texts("own_parts.shock.falls", share=share, **values)
    return texts("own_parts.shock.rises", share=share, **values)


def _sag(data: ReportData, texts: Texts) -> str | None:
    sag = None if data.travelled is None else data.travelled.sag
    if sag is None or sag.stroke <= 0:
        return None
    return texts(
        "own_parts.shock.sag",
        sag=plain(sag.stroke, "mm", texts),
        share=texts.quantity(100 * sag.stroke_share, "%", 0),
    )


def _inside(data: ReportData, texts: Texts) -> Iterator[tuple[str, str]]:
    suspension, springs = data.bike.spec.suspension, data.ride.springs
    if suspension is None:
        return
    end = None if springs is None else springs.rear
    if end is not None and suspension.spring is not None:
        yield texts("own_parts.spring.title"), spring_of(end, suspension.spring, texts)
    if suspension.shock.damper is not None:
        yield texts("own_parts.damper.title"), damper_as_given(suspension.shock.damper, texts)
