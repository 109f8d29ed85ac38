"""The numbers of a file that a slider can change, with their fields and ranges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Final, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from frame3d.bike.choice import Choice
from frame3d.live.solved_text import AS_DRAWN
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.editing import EditableNumber, numbers
from frame3d.parameters.reading.facts import bounds, models, unit
from frame3d.parameters.reading.number_places import NumberPlace, number_places
from frame3d.report.texts import Texts

SHARE: Final = 0.2
"""Range of a slider to either side as a share of the value; at least that of `COUNTS` steps."""
STEPS: Final = 20
COUNTS: Final = 5
"""Least number of steps to either side."""
DECIMALS: Final = 4
"""Largest number of digits after the point that a slider's value has."""


@dataclass(frozen=True, slots=True)
class Input:
    """A number of a bike, and the slider for it."""

    path: str
    """In the bike; where it stands in the file is `place`."""
    title: str
    unit: str
    """``mm``, ``degrees``, ``%`` …; empty for a plain number."""
    value: float
    low: float
    high: float
    step: float
    place: NumberPlace

    def in_file(self, value: float) -> float:
        """Return what has to stand in the file for the bike to have a value, which is rounded."""
        return float(self.place.in_file(Decimal(repr(round(value, DECIMALS)))))

    def in_bike(self, number: float) -> float:
        """Return what the bike has where a number stands in the file."""
        return float(Decimal(repr(number)) + self.place.above)


@lru_cache(maxsize=4)
def inputs(text: str, choice: Choice = AS_DRAWN) -> Mapping[str, Input]:
    """Return the numbers of a bike for which the format has a numeric field, by path.

    Raises:
        SpecError: the text is no YAML that a parameter file may be, or has no such bike.
    """
    found = {}
    known = numbers(text)
    for path, place in number_places(text, choice.size, choice.settings).items():
        field = _field(path.split("."))
        if field is None or place.written not in known:
            continue
        scalar = replace(known[place.written], path=path, text=place.text)
        if scalar.number is not None and _is_number(field.annotation, scalar):
            found[path] = _input(path, scalar, field, place)
    return MappingProxyType(found)


def origin(place: NumberPlace, sizes: Sequence[str], texts: Texts) -> str:
    """Return whose number it is: of one size, several, all, or by rule; empty in a file without sizes.

    Args:
        place: of the number.
        sizes: all of the file.
        texts: of the page.
    """
    said = []
    if place.setting is not None:
        said.append(texts("live.try.of.setting", setting=place.setting))
    if place.by_rule:
        said.append(texts("live.try.of.rule"))
    if len(place.sizes) == 1 < len(sizes):
        said.append(texts("live.try.of.size", size=place.sizes[0]))
    elif len(place.sizes) < len(sizes):
        said.append(texts("live.try.of.some", sizes=", ".join(place.sizes)))
    elif len(sizes) > 1:
        said.append(texts("live.try.of.all"))
    return ", ".join(said)


def _input(path: str, scalar: EditableNumber, field: FieldInfo, place: NumberPlace) -> Input:
    value = scalar.number
    assert value is not None
    whole = not any(kind is float for kind in _kinds(field.annotation))
    in_unit = scalar.mark or unit(field)
    if in_unit == "1" or (whole and in_unit == "mm"):
        in_unit = ""  # a count
    step = 1.0 if whole or in_unit == "%" else _step(value, in_unit)
    half = max(COUNTS if whole else STEPS, math.ceil(SHARE * abs(value) / step)) * step
    limits = {"ge": 0.0, "le": 100.0} if scalar.mark else bounds(field)
    lowest = limits.get("ge", limits["gt"] + step if "gt" in limits else -math.inf)
    below = math.floor((value - max(lowest, value - half)) / step + 1e-9)
    above = math.floor((min(limits.get("le", math.inf), value + half) - value) / step + 1e-9)
    return Input(
        path=path,
        title=field.title or path.rpartition(".")[2].replace("_", " ").capitalize(),
        unit=in_unit,
        value=value,
        low=round(value - max(below, 0) * step, 4),
        high=round(value + max(above, 0) * step, 4),
        step=step,
        place=place,
    )


def _step(value: float, in_unit: str) -> float:
    """Return the step of a slider: about a hundredth of its range."""
    if in_unit == "degrees":
        return 0.1
    size = abs(value)
    return 1.0 if size >= 100 else 0.5 if size >= 15 else 0.1 if size >= 3 else 0.05


def _field(keys: list[str]) -> FieldInfo | None:
    """Return the model's field that the value at a path belongs to, or is an element of."""
    here: list[type[BaseModel]] = [FrameSpec]
    field: FieldInfo | None = None
    free = False  # the next step names something of the user's
    for key in keys:
        if free:
            free = False
            continue
        if field is not None and key.isdigit():
            continue
        field = next((m.model_fields[key] for m in here if key in m.model_fields), None)
        if field is None:
            return None
        here = list(models(field.annotation).values())
        free = _is_named(field.annotation)
    return None if free else field


def _is_named(annotation: Any) -> bool:
    """Return whether an annotation is a mapping whose keys the user chooses."""
    if get_origin(annotation) in (dict, Mapping):
        return True
    return any(_is_named(inner) for inner in get_args(annotation))


def _is_number(annotation: Any, scalar: EditableNumber) -> bool:
    """Return whether a field of this annotation takes the number as a number, not as a name."""
    kinds = set(_kinds(annotation))
    if scalar.mark:
        return float in kinds
    return bool(kinds & {int, float})


def _kinds(annotation: Any) -> Iterator[type]:
    """Yield the plain types and model classes within an annotation."""
    if isinstance(annotation, type) and not get_args(annotation):
        if not issubclass(annotation, BaseModel):
            yield annotation
        return
    for inner in get_args(annotation):
        if not isinstance(inner, str | int | float | FieldInfo):
            yield from _kinds(inner)
