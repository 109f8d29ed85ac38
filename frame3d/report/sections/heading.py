"""Heading: what bike this is, whether its checks hold, and its figures at a glance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from frame3d.report.data import Bike
from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts
from frame3d.spec.figures import unit
from frame3d.spec.models import FrameSpec
from frame3d.spec.parts import TyreSpec, WheelSpec

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
"""What a rider asks for first."""


def heading(bike: Bike, texts: Texts) -> Markup:
    """Name, summary, state of the checks."""
    return el(
        "div",
        el("p", texts("page.kind"), class_="kind"),
        el("h1", bike.layout.spec.name),
        el("p", *_joined(summary(bike, texts)), class_="summary"),
        verdict(bike, texts),
        class_="heading",
    )


def verdict(bike: Bike, texts: Texts) -> Markup:
    """Whether the checks hold, by sign and words as well as by colour."""
    results, missing = bike.report.results, len(bike.report.unchecked)
    short = sum(not r.ok for r in results)
    if not results:
        state, said = "close", texts("status.none")
    elif short == 0:
        state, said = "holds", texts("status.all", count=len(results))
    else:
        key = "status.short_one" if short == 1 else "status.short_many"
        state, said = "short", texts(key, short=short, count=len(results))
    more = f"; {texts('status.not_made', count=missing)}" if missing else ""
    return el(
        "p", mark(state, texts), el("a", said + more, href="#clearances"), class_=f"verdict {state}"
    )


def mark(state: str, texts: Texts) -> Markup:
    """The sign of a state: tick, diamond or triangle."""
    return el("span", texts(f"status.{state}_mark"), class_=f"mark {state}", aria_hidden="true")


def glance(bike: Bike, texts: Texts) -> Markup:
    """The figures that a rider asks for first, with what they become under the rider."""
    sagged = bike.layout.sagged
    tiles = []
    for figure in GLANCE:
        value = bike.layout.chart[figure]
        under = None
        if sagged is not None:
            shown = texts.quantity(sagged.chart[figure], unit(figure))
            under = el("dd", texts("chart.at_sag", value=shown), class_="under")
        tiles.append(
            el(
                "div",
                el("dt", texts(f"figure.{figure}.title")),
                el("dd", texts.number(value), el("span", texts.unit(unit(figure)), class_="unit")),
                under,
            )
        )
    return el("dl", *tiles, class_="glance")


def _suspension(bike: Bike, texts: Texts) -> str:
    """What is sprung; the fork is called rigid only where the file says that it has no travel."""
    fork, linkage = bike.layout.spec.build.fork, bike.layout.linkage
    travel = 0.0 if fork is None else fork.travel
    front = "rigid" if fork is not None and fork.rigid else "sprung" if travel else "unknown"
    return texts(
        f"summary.{'hard' if linkage is None else 'rear'}.{front}",
        rear=texts.number(0.0 if linkage is None else linkage.full_travel, 0),
        fork=texts.number(travel, 0),
    )


def summary(bike: Bike, texts: Texts) -> Iterator[str]:
    """The bike in a few words."""
    spec = bike.layout.spec
    yield _suspension(bike, texts)
    front, rear = _tyre(spec.build.front_wheel), _tyre(spec.build.rear_wheel)
    if front is not None and front == rear:
        yield texts("summary.wheels", tyre=front)
    elif front is not None or rear is not None:
        yield texts("summary.wheels_mixed", front=front or "–", rear=rear or "–")
    grams = sum(bike.meshes.grams.values())
    if grams:
        material = _material(spec)
        yield texts("summary.frame", material=material, grams=texts.number(grams, 0))
    if spec.build.rider is not None:
        yield texts("summary.rider", mass=f"{spec.build.rider.mass_kg:g}")


def _joined(words: Iterator[str]) -> Iterator[Markup]:
    for word in words:
        yield el("span", word)


def _tyre(wheel: WheelSpec | None) -> str | None:
    if wheel is None or wheel.tyre is None:
        return None
    tyre = wheel.tyre
    return f"{tyre.width:g} × {tyre.diameter:g}" if isinstance(tyre, TyreSpec) else tyre


def _material(spec: FrameSpec) -> str:
    return spec.material if isinstance(spec.material, str) else spec.material.name
