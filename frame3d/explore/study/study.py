"""A study as read: what varies, what must hold, what is better; see `frame3d.explore.study.read`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Final, Literal

from frame3d.errors import SourceLocation

Stage = Literal["chart", "linkage", "placement", "stiffness", "figures", "pairs", "ride"]
"""How far a bike must be worked out before a quantity of it is known."""

STAGES: Final[tuple[Stage, ...]] = (
    "chart", "linkage", "placement", "stiffness", "figures", "pairs", "ride",
)  # fmt: skip
"""All stages, cheapest first: the chart, the rear suspension, tubes in place with their mass, the
frame's stiffness, checks of a single figure, checks of gaps, figures of the ride."""

Stance = Literal["static", "sag"]
"""How a chart figure is taken: with both wheels at full extension, or pressed to their sag."""

Value = float | str
"""A value of a number of the file, or a name (a tyre, a gauge)."""

Design = tuple[Value, ...]
"""One value for each of `Study.varied`, in its order."""

ALL: Final = "all"
"""Every check that the bike has."""


@dataclass(frozen=True, slots=True)
class Varied:
    """A value of the bike's file that may vary: within a range, or among a list of values."""

    path: str
    """Dotted path in the bike's file, as ``--set`` takes it."""
    low: float | None = None
    """Least value of a range; None for a list."""
    high: float | None = None
    """Greatest value of a range; None for a list."""
    step: float | None = None
    """Of a range only ``low``, ``low + step``, … up to `high`; None for all between."""
    values: tuple[Value, ...] = ()
    """The values of a list; empty for a range."""
    start: Value | None = None
    """The file's own value, from which a search begins."""
    percent: bool = False
    """Whether the numbers are percentages, ``30%`` in the file."""
    place: SourceLocation | None = field(default=None, compare=False)
    """Where the study says so."""

    @property
    def is_range(self) -> bool:
        """Whether it is a range, not a list."""
        return not self.values

    def text(self, value: Value) -> str:
        """Return a value as it stands in the file; reads back as the same value."""
        return f"{written(value)}%" if self.percent else written(value)


@dataclass(frozen=True, slots=True)
class Quantity:
    """Something measured of a bike, and when it is known."""

    stage: Stage
    """The stage after which it is known."""
    name: str
    """``trail``, ``leverage``, ``mass``, a check's name, a load case, a dotted name of the ride's
    results."""
    at: str | float | None = None
    """Where on a curve: ``start``, ``end``, ``sag``, or the wheel's travel [mm]; None where it is one
    figure for the bike."""
    gear: tuple[int, int] | None = None
    """Teeth of chainring and cog, for what depends on the gear."""
    stance: Stance = "static"
    """For chart figures: with the wheels at full extension or at sag."""
    unit: str = ""
    """``mm``, ``degrees``, ``%``, ``g``; empty for a plain number."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What must hold: a quantity within limits.

    Its shortfall at a value v is ``max(low - v, v - high, 0) / scale``.
    """

    label: str
    """Unique in the study: ``trail``, ``leverage.start``, ``gap.rear_tyre_to_frame``."""
    quantity: Quantity
    low: float | None
    """Least value; None for no limit."""
    high: float | None
    """Greatest value; None for no limit."""
    scale: float
    """The miss that counts as 1, in the quantity's unit: 1 mm, 0.1 degrees, 1 %, 10 g."""
    place: SourceLocation | None = field(default=None, compare=False)
    """Where the study says so."""

    def shortfall(self, value: float) -> float:
        """Return how far a value misses the limits, scaled; 0 where it meets them."""
        below = 0.0 if self.low is None else self.low - value
        above = 0.0 if self.high is None else value - self.high
        return max(below, above, 0.0) / self.scale


@dataclass(frozen=True, slots=True)
class Preference:
    """What is better: as little or as much as can be of a quantity, where all wishes are met."""

    label: str
    quantity: Quantity
    least: bool
    """Less is better; otherwise more is."""
    place: SourceLocation | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Sample:
    """The designs of a sweep."""

    kind: Literal["grid", "sobol", "latin_hypercube"]
    count: int
    """How many designs; for a grid, how many values on each range that has no step."""
    seed: int = 1


@dataclass(frozen=True)
class Study:
    """What a study says of a bike's file."""

    source: str
    """Name of the study's file."""
    text: str
    bike_source: str
    """Name of the bike's file."""
    bike_text: str
    varied: tuple[Varied, ...]
    wishes: tuple[Wish, ...] = ()
    preferences: tuple[Preference, ...] = ()
    checks: tuple[str, ...] | Literal["all"] = ()
    """Checks that must pass, by name; ``all`` for every one that the bike has."""
    checks_place: SourceLocation | None = field(default=None, compare=False)
    sample: Sample | None = None
    """The designs of a sweep; None for a search."""
    sizes: tuple[str | None, ...] = (None,)
    """Sizes that one set of values must serve; (None,) for a file without sizes, or its default."""
    settings: tuple[str, ...] = ()
    """Settings of the file that are made, in order."""

    @cached_property
    def start(self) -> Design | None:
        """The file's own values; None where it has not all of them."""
        values = tuple(v.start for v in self.varied if v.start is not None)
        return values if len(values) == len(self.varied) else None

    @cached_property
    def by_label(self) -> Mapping[str, Wish | Preference]:
        """Wishes and preferences by their labels."""
        both: tuple[Wish | Preference, ...] = (*self.wishes, *self.preferences)
        return {one.label: one for one in both}

    def sets(self, design: Design) -> tuple[str, ...]:
        """Return a design as changes of the file, as ``--set`` takes them, e.g. ``geometry.reach=455``.

        Numbers are written so that they read back as the same number.
        """
        return tuple(
            f"{varied.path}={varied.text(value)}"
            for varied, value in zip(self.varied, design, strict=True)
        )


def written(value: Value) -> str:
    """Return a value as YAML, without an exponent; reads back as the same value."""
    if isinstance(value, str):
        return value
    return f"{Decimal(repr(float(value))).normalize():f}"
