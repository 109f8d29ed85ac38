"""What every parameter model shares: frozen, no unknown keys, numbers that are numbers."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

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
"""Nodes of the layout, in the order in which results list them."""


class Model(BaseModel):
    """Base of all parameter models."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        str_strip_whitespace=False,
        validate_default=False,
        defer_build=True,
    )


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
    """A numeric field with its title, unit, range and example.

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


def _share(value: object) -> object:
    """Turn ``25%`` into 0.25; leave the rest to the field's own check."""
    if isinstance(value, str):
        text = value.strip()
        if text.endswith("%"):
            try:
                share = float(text[:-1])
            except ValueError:
                share = float("nan")
            if 0 <= share <= 100:
                return share / 100
        raise PydanticCustomError(
            "share", "not a share of the travel; write a percentage from 0% to 100%, e.g. 25%"
        )
    raise PydanticCustomError("share", "a share of the travel is written with its sign, e.g. 25%")


Share = Annotated[
    float,
    BeforeValidator(
        _share, json_schema_input_type=Annotated[str, Field(pattern=r"^\s*\d+(\.\d+)?\s*%$")]
    ),
]
"""A percentage, written ``25%``, held as a fraction from 0 to 1."""
