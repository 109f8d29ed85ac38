"""Suspension: the rear suspension's figures and curves, or the bike's figures as the fork moves."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.geometry.travel import Travelled
from frame3d.linkage import Coil
from frame3d.linkage.springs import LB_IN, Air
from frame3d.report.data import Bike, plots_of
from frame3d.report.markup import Markup, el, together
from frame3d.report.plots import gathered
from frame3d.report.texts import Texts


def suspension(bike: Bike, texts: Texts) -> Markup | None:
    """Figures and plots; None on a bike without suspension."""
    plots = plots_of(bike, texts)
    if not plots:
        return None
    moving = bike.travelled
    return together(
        None if moving is None else _facts(bike, moving, texts),
        gathered(plots, texts),
        None
        if moving is None
        else el("p", texts("curve.assumed", list="; ".join(moving.assumptions)), class_="remark"),
    )


def _facts(bike: Bike, moving: Travelled, texts: Texts) -> Markup:
    rows = [
        el("div", el("dt", texts(f"curve.fact.{key}")), el("dd", value))
        for key, value in _known(bike, moving, texts)
    ]
    return el("dl", *rows, class_="glance small")


def _known(bike: Bike, moving: Travelled, texts: Texts) -> Iterator[tuple[str, str]]:
    linkage, curves = bike.layout.linkage, moving.curves
    assert linkage is not None
    yield "travel", texts.quantity(linkage.full_travel, "mm")
    yield "stroke", texts.quantity(linkage.full_stroke, "mm")
    yield "eye_to_eye", texts.quantity(linkage.eye_to_eye, "mm")
    yield "mean_leverage", texts.number(curves.mean_leverage, 2)
    yield "progression", texts.quantity(100 * curves.progression, "%", 0)
    sag = moving.asked if moving.asked is not None else moving.found
    if sag is not None:
        share = texts.quantity(100 * sag.travel_share, "%", 0)
        yield "sag", f"{texts.quantity(sag.travel, 'mm')} ({share})"
        yield "sag_stroke", texts.quantity(sag.stroke, "mm")
    spring = moving.spring
    if isinstance(spring, Coil):
        rate = texts.number(spring.k, 1)
        yield "spring", texts("curve.coil", rate=rate, pounds=texts.number(spring.k / LB_IN, 0))
    elif isinstance(spring, Air):
        yield "spring", texts("curve.air", bar=texts.number(spring.pressure_bar, 1))
    if curves.forces is not None:
        yield "bottom_out", texts.quantity(curves.forces.bottom_out_wheel, "N", 0)
