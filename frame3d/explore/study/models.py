"""Models of a study's YAML: frozen, without unknown keys, with problems that say what to do.

::

    format: 1
    bike: trail_full_140.yaml          # beside the study
    vary:
      suspension.points.main_pivot.from_start: {from: 55, to: 95}
      build.rear_wheel.tyre: [58-622, 61-622]
    wishes:
      leverage: {start: 3.0, end: 2.4, within: 0.05}
      trail: {from: 118, to: 128}
      checks: all
    prefer: {least: kickback}
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Final, Literal, cast

from pydantic import BeforeValidator, Field, create_model

from frame3d.parameters.models.base import Model, Problem, refusal
from frame3d.parameters.reading.measures import no_number, shown

PERCENT: Final = r"^[-+]?([0-9]+(\.[0-9]*)?|\.[0-9]+)\s*%$"
GEAR: Final = r"^([1-9][0-9]{0,2})\s*[x×]\s*([1-9][0-9]{0,2})$"
ALL_SIZES: Final = "all sizes"


def _amount(value: object) -> object:
    """Return a number as it is, and a percentage as text without spaces.

    Raises:
        PydanticCustomError: it is neither.
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if isinstance(value, str) and re.match(PERCENT, value.strip()):
        return value.replace(" ", "")
    raise refusal([no_number(value, "mm or degrees", "a number, or a percentage such as 25%")])


def _value(value: object) -> object:
    """Return a number, a percentage or a name as it is.

    Raises:
        PydanticCustomError: it is none of them.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str) or value == "":
        message = f"{shown(value)} is neither a number nor a name"
        raise refusal([Problem("wrong-type", "", message, "e.g. [58-622, 61-622], or [30, 32]")])
    return value if isinstance(value, str) else float(value)


Amount = Annotated[
    Any,
    BeforeValidator(_amount, json_schema_input_type=float | Annotated[str, Field(pattern=PERCENT)]),
]
"""A number in the unit of the file's, or a percentage as text."""
AnyValue = Annotated[Any, BeforeValidator(_value, json_schema_input_type=float | str)]
"""A number, or a name."""


def _listed(value: object) -> object:
    """Return a single name as a list of one."""
    return (value,) if isinstance(value, str) else value


Names = Annotated[
    tuple[str, ...],
    BeforeValidator(_listed, json_schema_input_type=str | tuple[str, ...]),
    Field(min_length=1, max_length=24),
]
"""A name, or a list of names."""


class _Varied(Model):
    """A value that may vary: from one number to another, maybe in steps, or a list of values."""

    to: Amount | None = Field(None, title="To", description="Greatest value", examples=[95])
    step: Amount | None = Field(
        None, title="Step", description="Only from, from + step, … up to to", examples=[2.5]
    )
    values: tuple[AnyValue, ...] | None = Field(
        None,
        title="Values",
        description="The only values, in place of from and to",
        max_length=200,
        json_schema_extra={"minItems": 1},
        strict=False,
        examples=[["58-622", "61-622"]],
    )
    start: AnyValue | None = Field(
        None,
        title="Start",
        description="Where a search begins; the file's own value if left out",
        examples=[73],
    )

    @property
    def low(self) -> float | str | None:
        """The least value."""
        return cast("float | str | None", getattr(self, "from"))

    def problems(self) -> Iterator[Problem]:
        """Yield problems of a range that is none."""
        way = "give from and to, e.g. {from: 55, to: 95}, or a list of values in brackets"
        if self.values is not None:
            if not self.values:
                yield Problem("wrong-type", "values", "the list is empty", way)
            for key in ("from", "to", "step"):
                if getattr(self, key) is not None:
                    yield Problem("inconsistent", key, "stands beside a list of values", way)
            return
        for key, value in (("from", self.low), ("to", self.to)):
            if value is None:
                yield Problem("missing-key", key, "missing", way)

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return a bare value as a list of it, and a number as the middle of a range."""
        if isinstance(given, int | float) and not isinstance(given, bool):
            return f"a range about it, e.g. {{from: {given - 10:g}, to: {given + 10:g}}}"
        return f"a list: [{given}]" if isinstance(given, str) else None


VariedSpec: type[_Varied] = create_model(
    "VariedSpec",
    __doc__="A value that may vary.",
    __base__=_Varied,
    **cast(
        "dict[str, Any]",
        {
            "from": (
                Amount | None,
                Field(None, title="From", description="Least value", examples=[55]),
            ),
        },
    ),
)


class Limits(Model):
    """Least and greatest value of a quantity; see `LimitsSpec`."""

    to: float | None = Field(None, title="To", description="Greatest value", examples=[128])

    @property
    def low(self) -> float | None:
        """The least value."""
        return cast("float | None", getattr(self, "from"))

    def problems(self) -> Iterator[Problem]:
        """Yield problems of limits that nothing meets, or that are none."""
        if self.low is None and self.to is None:
            yield Problem("missing-key", "", "no limit stands here", "give from, to, or both")
        elif self.low is not None and self.to is not None and self.low > self.to:
            yield Problem(
                "contradictory",
                "",
                f"nothing is at least {self.low:g} and at most {self.to:g}",
                f"the lesser one first: {{from: {self.to:g}, to: {self.low:g}}}",
            )

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return a bare number as a range about it."""
        if isinstance(given, int | float) and not isinstance(given, bool):
            return f"a range, e.g. {{from: {given:g}, to: {given:g}}}"
        return None


_FROM_TO: Final = cast(
    "dict[str, Any]",
    {
        "from": (
            float | None,
            Field(None, title="From", description="Least value", examples=[118]),
        ),
    },
)
LimitsSpec: type[Limits] = create_model(
    "LimitsSpec", __doc__="Least and greatest value of a quantity.", __base__=Limits, **_FROM_TO
)


class _ChartLimits(Limits):
    """Limits of a chart figure."""

    at: Literal["sag"] | None = Field(
        None,
        title="At",
        description="sag: under the rider's weight; left out, with the wheels at full extension",
    )


ChartLimitsSpec: type[_ChartLimits] = create_model(
    "ChartLimitsSpec",
    __doc__="Limits of a chart figure, at full extension or at sag.",
    __base__=_ChartLimits,
    **_FROM_TO,
)

_AT_WORDS: Final = ("start", "sag", "end")


def _at(value: object) -> object:
    """Return a place on a curve: a word, or a wheel travel in mm.

    Raises:
        PydanticCustomError: it is neither.
    """
    if value in _AT_WORDS:
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        if value < 0:
            message = f"{value:g} is no wheel travel"
            raise refusal(
                [Problem("out-of-range", "", message, "from 0 to the full travel, in mm")]
            )
        return float(value)
    way = "start, sag, end, or the rear wheel's travel in mm"
    raise refusal([Problem("not-allowed", "", f"{shown(value)} is no place on a curve", way)])


At = Annotated[
    Any,
    BeforeValidator(
        _at,
        json_schema_input_type=Literal["start", "sag", "end"]
        | Annotated[float, Field(ge=0, json_schema_extra={"unit": "mm"})],
    ),
]
"""Where on a curve."""


def _gear(value: object) -> object:
    """Return ``32x24`` as numbers of teeth.

    Raises:
        PydanticCustomError: it is no gear.
    """
    match = re.match(GEAR, value.strip()) if isinstance(value, str) else None
    if match is None:
        way = "teeth of chainring and cog: 32x24"
        raise refusal([Problem("wrong-type", "", f"{shown(value)} is no gear", way)])
    return (int(match[1]), int(match[2]))


Gear = Annotated[
    Any, BeforeValidator(_gear, json_schema_input_type=Annotated[str, Field(pattern=GEAR)])
]
"""Teeth of chainring and cog."""


class CurveLimits(Limits):
    """Limits of a curve at one place, or values at several within a tolerance."""

    at: At | None = Field(
        None,
        title="At",
        description="start, sag, end, or the rear wheel's travel in mm",
        examples=["sag"],
    )
    start: float | None = Field(None, title="Start", description="Value at full extension")
    sag: float | None = Field(None, title="Sag", description="Value at sag")
    end: float | None = Field(None, title="End", description="Value at full travel")
    within: float | None = Field(
        None, title="Within", description="How far the values may be off, up and down", ge=0
    )
    gear: Gear | None = Field(
        None, title="Gear", description="Teeth of chainring and cog", examples=["32x24"]
    )

    @property
    def points(self) -> Mapping[str, float]:
        """The wished values by their places; empty where limits stand."""
        named = {name: getattr(self, name) for name in _AT_WORDS}
        return {name: value for name, value in named.items() if value is not None}

    def problems(self) -> Iterator[Problem]:
        """Yield problems of values without a tolerance, or beside limits."""
        if not self.points:
            if self.within is not None:
                yield Problem(
                    "inconsistent",
                    "within",
                    "belongs to values at start, sag or end",
                    "e.g. {start: 3.0, end: 2.4, within: 0.05}, or from and to",
                )
            yield from super().problems()
            return
        for key in ("from", "to", "at"):
            if getattr(self, key) is not None:
                yield Problem(
                    "inconsistent",
                    key,
                    "stands beside values at start, sag or end",
                    "either {at: sag, from: 97, to: 113}, or {start: 3.0, end: 2.4, within: 0.05}",
                )
        if self.within is None:
            yield Problem(
                "missing-key", "within", "missing", "how far they may be off: within: 0.05"
            )


CurveLimitsSpec: type[CurveLimits] = create_model(
    "CurveLimitsSpec",
    __base__=CurveLimits,
    __doc__="Limits of a curve at one place, or values at several within a tolerance.",
    **_FROM_TO,
)


class PreferenceSpec(Model):
    """What is better: as little or as much as can be of a quantity."""

    least: str | None = Field(
        None, title="Least", description="The less of it the better", examples=["mass"]
    )
    most: str | None = Field(
        None, title="Most", description="The more of it the better", examples=["progression"]
    )
    at: At | None = Field(None, title="At", description="Where on a curve", examples=["sag"])
    gear: Gear | None = Field(
        None, title="Gear", description="Teeth of chainring and cog", examples=["32x24"]
    )

    @property
    def wanted(self) -> str:
        """The quantity's name."""
        return self.least or self.most or ""

    def problems(self) -> Iterator[Problem]:
        """Yield the problem of none or both."""
        if (self.least is None) == (self.most is None):
            yield Problem(
                "inconsistent",
                "",
                "neither least nor most" if self.least is None else "both least and most",
                "one of them: {least: kickback}, or {most: progression}",
            )

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return a bare name as the one to be least."""
        return f"{{least: {given}}}" if isinstance(given, str) and given.isidentifier() else None


_KINDS: Final = ("grid", "sobol", "latin_hypercube")


def _count(title: str, description: str, example: int) -> Any:
    """Return the field of a number of designs."""
    return Field(
        None, title=title, description=description, ge=1, le=10_000_000, examples=[example]
    )


class SampleSpec(Model):
    """The designs of a sweep; exactly one of `grid`, `sobol` and `latin_hypercube`."""

    grid: int | None = _count(
        "Grid", "Every combination: so many values on each range without a step", 5
    )
    sobol: int | None = _count("Sobol", "So many points of a scrambled Sobol sequence", 4096)
    latin_hypercube: int | None = _count(
        "Latin hypercube", "So many points of a Latin hypercube", 500
    )
    seed: int = Field(
        1, title="Seed", description="Same seed, same points", ge=0, le=2**31 - 1, examples=[1]
    )

    @property
    def kind(self) -> Literal["grid", "sobol", "latin_hypercube"]:
        """Which of the three."""
        if self.grid is not None:
            return "grid"
        return "sobol" if self.sobol is not None else "latin_hypercube"

    @property
    def count(self) -> int:
        """Its number."""
        return int(getattr(self, self.kind))

    def problems(self) -> Iterator[Problem]:
        """Yield the problem of none or several ways."""
        said = [key for key in _KINDS if getattr(self, key) is not None]
        if len(said) != 1:
            message = f"{' and '.join(said)} together" if said else "no way of sampling"
            yield Problem("inconsistent", "", message, "one of them, e.g. {sobol: 4096, seed: 1}")

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return a bare number as that of a Sobol sequence."""
        is_whole = isinstance(given, int) and not isinstance(given, bool)
        return f"{{sobol: {given}, seed: 1}}" if is_whole else None


def _no_boolean(value: object) -> object:
    """Refuse ``true``, which Python counts as 1."""
    if isinstance(value, bool):
        raise refusal([Problem("not-allowed", "", "true is no format", "write format: 1")])
    return value


def _sizes(value: object) -> object:
    """Return ``all sizes`` as it is, and names of sizes as a list.

    Raises:
        PydanticCustomError: it is neither.
    """
    if value == ALL_SIZES:
        return value
    if isinstance(value, tuple) and value and all(isinstance(v, str | int) for v in value):
        return tuple(str(name) for name in value)
    way = f"write {ALL_SIZES}, or a list such as [S, M, L]"
    raise refusal([Problem("not-allowed", "", f"{shown(value)} names no sizes", way)])


class Whole(Model):
    """A study; see `StudySpec`. What stands under `vary`, `wishes` and `prefer` is read by itself."""

    format: Annotated[Literal[1], BeforeValidator(_no_boolean)] = Field(
        ..., title="Format", description="Version of this file format: 1"
    )
    bike: str = Field(
        ...,
        title="Bike",
        description="The bike's parameter file, beside the study",
        min_length=1,
        examples=["trail_full_140.yaml"],
    )
    size: str | int | None = Field(
        None, title="Size", description="One of the file's sizes; its default if left out"
    )
    setting: Names | None = Field(
        None, title="Setting", description="Settings of the file that are made", strict=False
    )
    vary: dict[str, Any] = Field(
        ...,
        title="Vary",
        description="Values of the bike's file that may vary, by dotted path",
        min_length=1,
        max_length=200,
    )
    wishes: dict[str, Any] = Field(
        default_factory=dict, title="Wishes", description="What must hold", max_length=500
    )
    prefer: Any = Field(
        None, title="Prefer", description="What is better where all wishes are met: one or several"
    )
    sample: SampleSpec | None = Field(
        None, title="Sample", description="The designs of a sweep; left out, a search"
    )

    @property
    def sizes(self) -> tuple[str, ...] | Literal["all sizes"] | None:
        """Sizes that one set of values must serve; None for a single one."""
        return cast("tuple[str, ...] | Literal['all sizes'] | None", getattr(self, "for"))

    def problems(self) -> Iterator[Problem]:
        """Yield problems of a study that asks for nothing, or for one size and several."""
        if self.size is not None and self.sizes is not None:
            yield Problem(
                "inconsistent", "size", "stands beside for", "name one size, or the sizes in for"
            )
        if not self.wishes and not self.prefer and self.sample is None:
            yield Problem(
                "missing-key",
                "wishes",
                "nothing is wished, preferred or sampled",
                "e.g. wishes: {checks: all}, prefer: {least: mass}, or sample: {sobol: 4096}",
            )


StudySpec: type[Whole] = create_model(
    "StudySpec",
    __doc__="A study: what may vary, what must hold, what is better.",
    __base__=Whole,
    **cast(
        "dict[str, Any]",
        {
            "for": (
                Annotated[
                    Any,
                    BeforeValidator(
                        _sizes,
                        json_schema_input_type=Literal["all sizes"]
                        | Annotated[tuple[str | int, ...], Field(min_length=1)],
                    ),
                ]
                | None,
                Field(
                    None,
                    title="For",
                    description="all sizes, or a list of them, which one set of values must serve",
                    examples=[ALL_SIZES],
                ),
            )
        },
    ),
)
