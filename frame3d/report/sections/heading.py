"""The heading: name, verdict of the checks, and main figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final

from frame3d.clearance.result import Result
from frame3d.formats.writer import stated_date
from frame3d.parameters.models.figures import unit
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import TyreSpec, WheelSpec
from frame3d.report.audience import RIDERS_CHECKS, Audience, riders_results
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

GLANCE: Final = (
    "reach",
    "stack",
    "head_tube_angle",
    "effective_seat_tube_angle",
    "chainstay_length",
    "wheelbase",
    "bb_height",
    "trail",
)
"""The main figures."""


def heading(data: ReportData, texts: Texts, audience: Audience = "builder") -> Markup:
    """Return name, summary and verdict."""
    return el(
        "div",
        el(
            "p",
            *_joined(_origin(data, texts, audience)),
            el("span", class_="on-paper", data_says=texts("page.printed"))
            if stated_date() is None
            else None,
            class_="kind",
        ),
        el("h1", data.bike.spec.title),
        el("p", *_joined(summary(data, texts)), class_="summary"),
        verdict(data, texts) if audience == "builder" else riders_verdict(data, texts),
        class_="heading",
    )


def _origin(data: ReportData, texts: Texts, audience: Audience) -> Iterator[str]:
    """Yield what this is, the shop's name, and the date; without one, scripts add that of printing."""
    yield texts("page.kind" if audience == "builder" else "page.kind_rider")
    if data.bike.spec.shop is not None:
        yield texts("page.from_shop", shop=data.bike.spec.shop)
    date = stated_date()
    if date is not None:
        yield texts("page.dated", date=f"{date:%Y-%m-%d}")


def verdict(data: ReportData, texts: Texts) -> Markup:
    """Return whether the checks hold, as symbol and words besides the colour."""
    results, missing = data.report.results, len(data.report.unchecked)
    state, said = judged(results, lambda key, **values: texts(f"status.{key}", **values))
    more = f"; {texts('status.not_made', count=missing)}" if missing else ""
    return el(
        "p", mark(state, texts), el("a", said + more, href="#clearances"), class_=f"verdict {state}"
    )


def riders_verdict(data: ReportData, texts: Texts) -> Markup:
    """Return whether the checks that concern the rider hold; the builder's own are counted if short."""
    shown = [result for _, result in riders_results(data.report)]
    builders = sum(not r.ok and r.name not in RIDERS_CHECKS for r in data.report.results)
    state, said = judged(shown, lambda key, **values: texts(f"status.rider.{key}", **values))
    if builders:
        state, said = "short", f"{said}; {texts('status.rider.builder', count=builders)}"
    link = el("a", said, href="#riding") if shown else said
    return el("p", mark(state, texts), link, class_=f"verdict {state}")


def judged(results: Sequence[Result], say: Callable[..., str]) -> tuple[str, str]:
    """Return the state of some checks together, and a sentence: `say` has it by key and values."""
    short = sum(not r.ok for r in results)
    if not results:
        return "close", say("none")
    if short == 0:
        return "holds", say("all", count=len(results))
    key = "short_one" if short == 1 else "short_many"
    return "short", say(key, short=short, count=len(results))


def mark(state: str, texts: Texts) -> Markup:
    """Return the symbol of a state: tick, diamond or triangle."""
    return el("span", texts(f"status.{state}_mark"), class_=f"mark {state}", aria_hidden="true")


def glance(data: ReportData, texts: Texts) -> Markup:
    """Return the main figures, as drawn and at sag."""
    sagged = data.bike.sagged
    tiles = []
    for figure in GLANCE:
        value = data.bike.chart[figure]
        under = None
        if sagged is not None:
            shown = texts.quantity(sagged.chart[figure], unit(figure))
            under = el("dd", texts("chart.at_sag", value=shown), class_="under")
        tiles.append(
            el(
                "div",
                el("dt", texts(f"figure.{figure}.title")),
                el(
                    "dd",
                    el("span", texts.number(value), data_live=figure),
                    el("span", texts.unit(unit(figure)), class_="unit"),
                ),
                under,
            )
        )
    now = el("p", class_="now", role="status", hidden=True, data_says=texts("chart.now"))
    return together(el("dl", *tiles, class_="glance"), now)


def _suspension(data: ReportData, texts: Texts) -> str:
    """Return in words what is sprung; a fork is called rigid only where the file gives it no travel."""
    fork, linkage = data.bike.spec.build.fork, data.bike.linkage
    travel = 0.0 if fork is None else fork.travel
    front = "rigid" if fork is not None and fork.rigid else "sprung" if travel else "unknown"
    return texts(
        f"summary.{'hard' if linkage is None else 'rear'}.{front}",
        rear=texts.number(0.0 if linkage is None else linkage.full_travel, 0),
        fork=texts.number(travel, 0),
    )


def summary(data: ReportData, texts: Texts) -> Iterator[str]:
    """Yield a short description of the bike."""
    spec = data.bike.spec
    yield _suspension(data, texts)
    front, rear = _tyre(spec.build.front_wheel), _tyre(spec.build.rear_wheel)
    if front is not None and front == rear:
        yield texts("summary.wheels", tyre=front)
    elif front is not None or rear is not None:
        yield texts("summary.wheels_mixed", front=front or "–", rear=rear or "–")
    grams = sum(data.meshes.grams.values())
    if grams:
        material = _material(spec)
        yield texts("summary.frame", material=material, grams=texts.number(grams, 0))
    if spec.build.rider is not None:
        yield texts("summary.rider", mass=f"{spec.build.rider.mass_kg:g}")


def _joined(words: Iterable[str]) -> Iterator[Markup]:
    for word in words:
        yield el("span", word)


def _tyre(wheel: WheelSpec | None) -> str | None:
    if wheel is None or wheel.tyre is None:
        return None
    tyre = wheel.tyre
    return f"{tyre.width:g} × {tyre.diameter:g}" if isinstance(tyre, TyreSpec) else tyre


def _material(spec: FrameSpec) -> str:
    return spec.material if isinstance(spec.material, str) else spec.material.name
