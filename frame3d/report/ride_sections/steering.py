"""The section: how the bike steers: torques at the bar, and the front that drops."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.report.audience import Audience, without_keys
from frame3d.report.data import ReportData
from frame3d.report.drawing.plots import gathered
from frame3d.report.markup import Markup, el, together
from frame3d.report.ride_sections.steering_pictures import from_above, lever
from frame3d.report.ride_sections.steering_plots import steering_plots
from frame3d.report.texts import Texts
from frame3d.ride.steering.of_bike import Steered, SteeringFigures

TOLD: Final = 30.0
"""Bar angle that is told in words [degrees]."""
RADIUS: Final = 4000.0
"""Turn that is told in words [mm]."""


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return pictures, sentences, plots and a table; None where the file gives nothing for it."""
    figures = data.ride.steering
    if figures is None:
        return None
    rider = audience == "rider"
    above = from_above(data, figures, texts)
    shown = ["side"] if above is None else ["side", "axis"]
    told = [el("li", said) for said in sentences(figures, texts)]
    assumed = [without_keys(a) if rider else a for a in figures.assumptions]
    return together(
        el(
            "div",
            el(
                "div",
                el(
                    "div",
                    lever(data.side, figures, texts),
                    above,
                    class_="pictures",
                ),
                el(
                    "p", " ".join(texts(f"steers.pictures.{key}") for key in shown), class_="remark"
                ),
            ),
            el(
                "div",
                el("ul", *told, class_="sentences"),
                _table(figures, texts),
                None
                if figures.sagged is None
                else el("p", texts("steers.under_rider"), class_="remark"),
            ),
            class_="halves steers",
        ),
        gathered(steering_plots(figures, texts), texts),
        el(
            "details",
            el("summary", texts("steers.assumed")),
            el("p", f"{'; '.join(assumed)}.", class_="remark"),
        ),
        None
        if rider or not figures.left_out
        else el("p", texts("steers.left_out", list="; ".join(figures.left_out)), class_="remark"),
    )


def sentences(figures: SteeringFigures, texts: Texts) -> Iterator[str]:
    """Yield what the figures mean, a plain sentence each."""
    own = figures.ridden
    push = texts.quantity(figures.push_n, "N", 0)
    trail, torque = own.mechanical_trail, own.push_torque_nm
    if abs(trail) < 0.5:
        yield texts("steers.says.no_trail")
    else:
        way = "trails" if trail > 0 else "leads"
        yield texts(f"steers.says.{way}", trail=texts.quantity(abs(trail), "mm", 0))
        said = texts("steers.says.push", push=push, torque=texts.quantity(abs(torque), "N·m", 0))
        if own.grip_force_n is not None:
            force = texts.quantity(own.grip_force_n, "N", 0)
            said = f"{said} {texts('steers.says.grip', force=force)}"
        yield said
    turned = own.at(min(TOLD, figures.stop_angle))
    yield _turned_by(turned.bar_angle, turned.drop, turned.falling_in_nm, texts)
    if own.lowest_angle is not None and own.lowest_drop is not None and own.lowest_drop > 0.05:
        yield texts(
            "steers.says.lowest",
            angle=texts.quantity(own.lowest_angle, "degrees", 0),
            drop=texts.quantity(own.lowest_drop, "mm", 0),
        )
    turn = own.turn_of(RADIUS)
    radius = texts.quantity(turn.radius / 1000, "m", 0)
    angle = texts.quantity(turn.bar_angle, "degrees", 0)
    key = "turn" if turn.within_stop else "turn_past_stop"
    yield texts(f"steers.says.{key}", radius=radius, angle=angle)


def _turned_by(angle: float, drop: float, falls: float | None, texts: Texts) -> str:
    """Return what happens as the bars are turned, standing still."""
    moved = "stays" if abs(drop) < 0.05 else "down" if drop > 0 else "up"
    said = texts(
        f"steers.says.front_{moved}",
        angle=texts.quantity(angle, "degrees", 0),
        drop=texts.quantity(abs(drop), "mm", 1 if abs(drop) < 1 else 0),
    )
    if falls is None:
        return f"{said}."
    way = "falls_in" if falls > 0 else "turns_back"
    if abs(falls) < 0.05:
        return texts("steers.says.rests", front=said)
    digits = 1 if abs(falls) < 1 else 0
    return texts(f"steers.says.{way}", front=said, torque=texts.quantity(abs(falls), "N·m", digits))


def _table(figures: SteeringFigures, texts: Texts) -> Markup:
    """Return the figures as drawn and at sag."""
    stood = {"drawn": figures.drawn}
    if figures.sagged is not None:
        stood["sag"] = figures.sagged
    rows = [
        el(
            "tr",
            el("th", name, scope="row"),
            *(el("td", value) for value in values),
        )
        for name, values in _rows(figures, list(stood.values()), texts)
    ]
    head = [texts("steers.table.figure"), *(texts(f"steers.table.{key}") for key in stood)]
    return el(
        "table",
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *rows),
        class_="chart",
    )


def _rows(
    figures: SteeringFigures, stood: list[Steered], texts: Texts
) -> Iterator[tuple[str, list[str]]]:
    """Yield name and values of each figure that is known."""
    push = texts.quantity(figures.push_n, "N", 0)
    yield (
        texts("steers.table.trail"),
        [texts.quantity(s.mechanical_trail, "mm", 0) for s in stood],
    )
    yield (
        texts("steers.table.push", push=push),
        [texts.quantity(s.push_torque_nm, "N·m", 1) for s in stood],
    )
    if figures.grip_lever is not None:
        yield texts("steers.table.grip"), [texts.quantity(s.grip_force_n, "N", 0) for s in stood]
    if stood[0].falling_in_nm_per_degree is not None:
        yield (
            texts("steers.table.falls_in"),
            [texts.quantity(s.falling_in_nm_per_degree, "N·m/°", 2) for s in stood],
        )
    told = min(TOLD, figures.stop_angle)
    yield (
        texts("steers.table.drop", angle=texts.quantity(told, "degrees", 0)),
        [texts.quantity(s.at(told).drop, "mm", 1) for s in stood],
    )
    for turn in stood[0].turns:
        radius = texts.quantity(turn.radius / 1000, "m", 1 if turn.radius % 1000 else 0)
        yield (
            texts("steers.table.turn", radius=radius),
            [texts.quantity(s.turn_of(turn.radius).bar_angle, "degrees", 0) for s in stood],
        )
