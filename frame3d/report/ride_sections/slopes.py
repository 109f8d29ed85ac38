"""The section: weight on the wheels on slopes and under brakes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.drawing.plots import figure
from frame3d.report.markup import Markup, el
from frame3d.report.ride_sections.band_text import band_text
from frame3d.report.ride_sections.slope_picture import picture
from frame3d.report.ride_sections.slope_plots import slope_plots
from frame3d.report.sections.sizes import scrolled_table
from frame3d.report.texts import Texts
from frame3d.ride.slopes.of_bike import CLIMB, DESCENT, PostureOnSlopes, Slopes


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None without a rider."""
    part = data.ride.slopes
    if part is None or not part.postures:
        return None
    first = part.postures[0]
    climb = texts.quantity(CLIMB, "%", 0)
    return el(
        "div",
        el(
            "div",
            el(
                "figure",
                picture(data, first, CLIMB, texts),
                el("figcaption", texts("slopes.picture.caption", gradient=climb)),
            ),
            el("div", *(el("p", said) for said in _said(part, texts)), class_="said"),
            class_="slope",
        ),
        el(
            "div",
            *(figure(plot, texts) for plot in slope_plots(part, texts)),
            _climbs(part, texts),
            class_="halves",
        ),
        _limits(part, texts),
        *(_remarks(part, texts) if audience == "builder" else ()),
        class_="slopes",
    )


def _said(part: Slopes, texts: Texts) -> Iterator[str]:
    """Yield what the figures mean for the rider, a sentence or two a paragraph."""
    seated = part.posture("seated")
    forward, low = part.posture("forward"), part.posture("descending")
    if seated is None:
        return
    lines = [
        texts(
            "slopes.says.climb",
            light=band_text(seated.light_percent, "%", 0, texts),
            lifts=band_text(seated.lifts_percent, "%", 0, texts),
        ),
        texts(
            "slopes.says.push",
            pushing=texts.quantity(seated.lifts_pushing_percent.low, "%", 0),
        ),
    ]
    if forward is not None:
        lifts = band_text(forward.lifts_percent, "%", 0, texts)
        lines.append(texts("slopes.says.forward", lifts=lifts))
    yield " ".join(lines)
    if part.saddle:
        saddle = part.saddle_on(CLIMB)
        yield texts(
            "slopes.says.saddle",
            gradient=texts.quantity(CLIMB, "%", 0),
            behind=texts.quantity(saddle.behind, "mm", 0),
            angle=texts.quantity(saddle.seat_degrees, "degrees", 0),
        )
    squat = seated.on(CLIMB).anti_squat_percent
    if squat is not None:
        yield texts(
            "slopes.says.chain",
            ring=part.chainring,
            cog=part.cog,
            squat=texts.quantity(squat, "%", 0),
            does=texts(f"slopes.says.{_does(squat)}"),
        )
    yield " ".join(_stops(seated, low, texts))


def _does(squat: float) -> Literal["sinks", "stays", "rises"]:
    """Return what the rear end does under an anti-squat [%]; within a tenth of 100 it stays."""
    return "sinks" if squat < 90 else "rises" if squat > 110 else "stays"


def _stops(seated: PostureOnSlopes, low: PostureOnSlopes | None, texts: Texts) -> Iterator[str]:
    """Yield what is said of stops."""
    level = seated.stop_on(0)
    yield texts(
        "slopes.says.stop",
        level=band_text(level.hardest_g, "gravity", 2, texts),
        gradient=texts.quantity(-DESCENT, "%", 0),
        there=band_text(seated.stop_on(DESCENT).hardest_g, "gravity", 2, texts),
    )
    if low is not None:
        there = band_text(low.stop_on(DESCENT).hardest_g, "gravity", 2, texts)
        yield texts("slopes.says.behind", there=there)
    if level.with_dive_g is not None:
        still = band_text(level.without_dive_g, "gravity", 2, texts)
        yield texts("slopes.says.dive", still=still)


def _limits(part: Slopes, texts: Texts) -> Markup:
    """Return the limits by posture as a table."""
    down = texts.quantity(DESCENT, "%", 0)
    head = [
        texts("slopes.limits.posture"),
        texts("slopes.limits.light"),
        texts("slopes.limits.lifts"),
        texts("slopes.limits.pushing"),
        texts("slopes.limits.stop"),
        texts("slopes.limits.stop_down", gradient=down),
    ]
    rows = [
        [
            texts(f"slopes.{one.name}"),
            band_text(one.light_percent, "%", 0, texts),
            band_text(one.lifts_percent, "%", 0, texts),
            band_text(one.lifts_pushing_percent, "%", 0, texts),
            band_text(one.stop_on(0).hardest_g, "gravity", 2, texts),
            band_text(one.stop_on(DESCENT).hardest_g, "gravity", 2, texts),
        ]
        for one in part.postures
    ]
    return _table(texts("slopes.limits.caption"), head, rows)


def _climbs(part: Slopes, texts: Texts) -> Markup | None:
    """Return how the bike stands on climbs with its rider seated, as a table."""
    seated = part.posture("seated")
    if seated is None or not part.saddle:
        return None
    rear = any(one.rear_travel > 0 for one in seated.gradients)
    head = [texts(f"slopes.climbs.{key}") for key in ("gradient", "angle", "behind")]
    head += [texts("slopes.climbs.rear")] if rear else []
    head += [texts("slopes.climbs.fork"), texts("slopes.climbs.pitch")] if part.sprung else []
    rows = []
    for saddle in part.saddle:
        at = seated.on(saddle.gradient_percent)
        row = [
            texts.quantity(saddle.gradient_percent, "%", 0),
            texts.quantity(saddle.seat_degrees, "degrees", 1),
            texts.quantity(saddle.behind, "mm", 0),
        ]
        row += [texts.quantity(at.rear_travel, "mm", 0)] if rear else []
        if part.sprung:
            row += [
                texts.quantity(at.fork_travel, "mm", 0),
                texts.quantity(at.pitch_degrees, "degrees", 1),
            ]
        rows.append(row)
    return _table(texts("slopes.climbs.caption"), head, rows)


def _table(caption: str, head: list[str], rows: list[list[str]]) -> Markup:
    shown = [
        el("tr", el("th", row[0], scope="row"), *(el("td", cell) for cell in row[1:]))
        for row in rows
    ]
    return scrolled_table(head, shown, "masses", caption, has_caption=True)


def _remarks(part: Slopes, texts: Texts) -> Iterator[Markup]:
    """Yield what is not known, and what is assumed."""
    if part.left_out:
        yield el("p", texts("slopes.left_out", list="; ".join(part.left_out)), class_="remark")
    yield el("p", texts("slopes.assumed", list="; ".join(part.assumptions)), class_="remark")
