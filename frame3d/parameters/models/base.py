"""The base of all parameter models: frozen, no unknown keys, strict numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    model_validator,
)
from pydantic_core import PydanticCustomError

from frame3d.parameters.sizes.materials import MATERIALS, material
from frame3d.parameters.sizes.unknown import UnknownSize

NODE_NAMES = (
    "bottom_bracket",
    "rear_axle",
    "front_axle",
    "head_tube_top",
    "head_tube_bottom",
    "crown_race",
    "seat_tube_top",
    "rear_contact",
    "front_contact",
    "saddle",
)
"""Nodes of a bike, in the order in which results list them."""


@dataclass(frozen=True, slots=True)
class Problem:
    """An inconsistency between values: code (of `errors.CODES`), key, message and hint."""

    code: str
    key: str
    """Dotted key below the model or value that was checked; empty for that itself."""
    message: str
    hint: str = ""


def unknown(key: str, what: str, name: str, names: Iterable[str]) -> Problem:
    """Return the problem of an unknown name, with the most similar name and all names."""
    known_names = tuple(names)
    near = get_close_matches(name, known_names, n=1)
    way = f"did you mean {near[0]}? " if near else ""
    return Problem(
        "not-allowed",
        key,
        f"there is no {what} {name}",
        f"{way}known here: {', '.join(known_names) or 'none'}",
    )


def refusal(problems: Iterable[Problem]) -> PydanticCustomError:
    """Return problems as an error for a pydantic validator to raise; `explain` reads them back."""
    found = tuple(problems)
    text = "; ".join(f"{p.key}: {p.message}" if p.key else p.message for p in found)
    return PydanticCustomError("problems", "{text}", {"text": text, "problems": found})


class Model(BaseModel):
    """Base of all parameter models.

    A key with nothing (null) as its value counts as absent. A model says in `problems` which of its
    values do not go together; that is asked only once each value by itself is sound.
    """

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        str_strip_whitespace=False,
        validate_default=False,
        defer_build=True,
    )

    @model_validator(mode="before")
    @classmethod
    def _without_nulls(cls, data: Any) -> Any:
        if isinstance(data, Mapping):
            known = cls.model_fields
            return {k: v for k, v in data.items() if v is not None or k not in known}
        return data

    @model_validator(mode="after")
    def _sound(self) -> Self:
        found = tuple(self.problems())
        if found:
            raise refusal(found)
        return self

    def problems(self) -> Iterator[Problem]:
        """Yield inconsistencies between the values of this model."""
        yield from ()

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return how a bare value in place of the model's keys was probably meant, as valid YAML.

        None where that is not clear.
        """
        return None


def number(
    title: str,
    description: str,
    *,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    example: float | None = None,
    unit: str = "mm",
    default: Any = None,
) -> Any:
    """Return a numeric field with its title, unit, range and example.

    `low` and `high` are inclusive bounds, `above` an exclusive lower one. The unit is stored in the
    field's JSON Schema under ``unit`` and closes its description.
    """
    extra: dict[str, Any] = {"unit": unit}
    return Field(
        default,
        title=title,
        description=f"{description} [{unit}]",
        ge=low,
        le=high,
        gt=above,
        examples=None if example is None else [example],
        json_schema_extra=extra,
    )


def part(title: str, description: str) -> Any:
    """Return an optional field of a part."""
    return Field(None, title=title, description=description)


def known(lookup: Callable[[str], object]) -> AfterValidator:
    """Return a validator that `lookup` finds the name; it raises `UnknownSize` otherwise."""

    def check(name: str) -> str:
        try:
            lookup(name)
        except UnknownSize as error:
            raise refusal([Problem("unknown-size", "", str(error), error.hint)]) from None
        return name

    return AfterValidator(check)


def kind(value: object) -> str | None:
    """Return the tag of the union's branch against which a value is checked, by its type.

    ``<number>``, ``<text>``, ``<mapping>``, or a model's name in angle brackets; None for the rest.
    Tags cannot be keys of a file, so they are recognisable in error paths.
    """
    if isinstance(value, BaseModel):
        return f"<{type(value).__name__}>"
    if isinstance(value, str):
        return "<text>"
    if isinstance(value, Mapping):
        return "<mapping>"
    if isinstance(value, bool):
        return None
    return "<number>" if isinstance(value, int | float) else None


def named(what: str) -> Discriminator:
    """Return a discriminator of a standard name, tag ``<text>``, from plain sizes, tag ``<mapping>``."""

    def branch(value: object) -> str | None:
        shape = kind(value)
        if isinstance(value, Mapping | BaseModel):
            return "<mapping>"
        return "<text>" if shape in ("<text>", "<number>") else None

    return Discriminator(branch, custom_error_type="shape", custom_error_message=what)


Colour = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]
"""A colour, ``#rrggbb``; in YAML always in quotes, since # starts a comment."""


def _number_as_name(value: object) -> object:
    """Return ``4130`` without quotes as text, since it is a name; other values unchanged."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


MaterialName = Annotated[
    str,
    BeforeValidator(_number_as_name, json_schema_input_type=Literal[(4130, *MATERIALS)]),
    known(material),
]
"""A material of the tables."""

_SHARE = r"^\s*(100(\.0+)?|\d{1,2}(\.\d+)?)\s*%\s*$"


def _share(value: object) -> object:
    """Return ``25%`` as 0.25.

    Raises:
        PydanticCustomError: the value is not written as a percentage.
    """
    if isinstance(value, str) and re.match(_SHARE, value):
        return float(value.strip()[:-1]) / 100
    hint = "write a percentage from 0% to 100%, e.g. 25%"
    if isinstance(value, int | float) and not isinstance(value, bool) and 0 < value <= 100:
        hint = f"write {value:g}%" if value > 1 else hint
        hint = f"write {value * 100:g}%" if value < 1 else hint
    raise refusal([Problem("wrong-type", "", "not a share of the travel in percent", hint)])


Share = Annotated[
    float,
    BeforeValidator(_share, json_schema_input_type=Annotated[str, Field(pattern=_SHARE)]),
]
"""A percentage, written ``25%``, stored as a fraction from 0 to 1."""


def examples_of(pattern: str = "", names: Any = ()) -> Any:
    """Return a field of a name with a pattern or all names, which only the JSON Schema uses."""
    return Field(json_schema_extra={"pattern": pattern} if pattern else {"enum": list(names)})
