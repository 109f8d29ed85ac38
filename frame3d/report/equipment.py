"""The parts that a frame carries, in plain words with units."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from frame3d.bike.bike import Bike
from frame3d.parameters.models.bottom_bracket import ShellSpec
from frame3d.parameters.models.parts import HubSpec, TyreSpec
from frame3d.parameters.sizes import standards
from frame3d.report.texts import Texts

Say = Callable[..., str]
"""A text of the part's by its key, with the values of its names."""

_PLAIN: Final = {
    "fork": ("axle_to_crown", "offset"),
    "crank": ("length", "q_factor"),
    "seatpost": ("diameter", "travel", "saddle_height"),
    "stem": ("length", "spacers"),
    "handlebar": ("width", "rise", "drop"),
    "saddle": ("length", "width"),
    "pedal": ("width", "length"),
    "rider": ("height", "inseam", "shoe_length"),
}
"""Lengths that are told of a part [mm], where the file gives them."""


def equipment(bike: Bike, texts: Texts) -> Iterator[tuple[str, str, str]]:
    """Yield (key, title, description) of each part that the file gives."""
    build = bike.spec.build
    for name in type(build).model_fields:
        title = texts.get(f"equipment.{name}.title")
        if title is None or name not in build.model_fields_set:
            continue
        part = getattr(build, name)
        if part is not None and part != ():
            told = (*_told(name, part, texts), *_lengths(name, part, texts))
            yield name, title, ", ".join(told) or texts("equipment.usual")
    if bike.linkage is not None:
        size = texts(
            "equipment.shock.size",
            length=_mm(bike.linkage.eye_to_eye, texts),
            stroke=_mm(bike.linkage.full_stroke, texts),
        )
        yield "shock", texts("equipment.shock.title"), size


def _told(name: str, part: Any, texts: Texts) -> Iterator[str]:
    def say(key: str, **values: str) -> str:
        return texts(f"equipment.{name}.{key}", **values)

    match name:
        case "front_wheel" | "rear_wheel":
            yield from _wheel(part, texts)
        case "fork":
            yield from _fork(part, say, texts)
        case "headset":
            for end in ("upper", "lower"):
                cup = getattr(part, end)
                if isinstance(cup, str):
                    yield say(end, value=cup)
        case "bottom_bracket":
            yield _shell(part.shell, say, texts)
            if part.eccentric is not None:
                yield say("eccentric", value=_mm(part.eccentric.offset, texts))
        case "chainring":
            rings = [n for n in (part.teeth, part.inner_teeth) if n is not None]
            yield say("teeth", value=" / ".join(str(n) for n in rings))
        case "cassette":
            yield say("cogs", count=str(len(part.cogs)), low=str(part.cogs[0]),
                      high=str(part.cogs[-1]))  # fmt: skip
        case "bottles":
            yield from (say("on", tube=texts.part(bottle.on).lower()) for bottle in part)
        case "rider" | "bike_mass_kg":
            yield f"{part.mass_kg if name == 'rider' else part:g} kg"
        case _:
            pass


def _lengths(name: str, part: Any, texts: Texts) -> Iterator[str]:
    for field in _PLAIN.get(name, ()):
        value = getattr(part, field)
        if value and field in part.model_fields_set:
            yield texts(f"equipment.{name}.{field}", value=_mm(value, texts))


def _fork(part: Any, say: Say, texts: Texts) -> Iterator[str]:
    if part.built is not None:
        yield say("built")
    elif part.rigid:
        yield say("rigid")
    elif part.travel:
        yield say("travel", value=_mm(part.travel, texts))


def _wheel(part: Any, texts: Texts) -> Iterator[str]:
    def say(key: str, **values: str) -> str:
        return texts(f"equipment.wheel.{key}", **values)

    tyre, hub = part.tyre, part.hub
    if isinstance(tyre, str):
        yield say("tyre", size=tyre, width=_mm(standards.tyre(tyre).width, texts))
    elif isinstance(tyre, TyreSpec):
        yield say("plain_tyre", width=_mm(tyre.width, texts), diameter=_mm(tyre.diameter, texts))
    if hub is not None:
        known = hub if isinstance(hub, HubSpec) else standards.hub(hub)
        yield say("hub", width=_mm(known.width, texts), axle=_mm(known.axle, texts))
    if part.rotor is not None:
        yield say("rotor", value=_mm(part.rotor, texts))


def _shell(shell: Any, say: Say, texts: Texts) -> str:
    known = shell if isinstance(shell, ShellSpec) else standards.shell(shell)
    threaded = not isinstance(known, ShellSpec) and bool(known.thread)
    return say("threaded" if threaded else "shell", width=_mm(known.width, texts))


def _mm(value: float, texts: Texts) -> str:
    """Return a length with its unit and no more decimals than it needs."""
    decimals = 0 if abs(value - round(value)) < 1e-6 else 1
    return texts.quantity(value, "mm", decimals)
