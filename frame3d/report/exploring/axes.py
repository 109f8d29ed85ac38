"""The axes of an exploration: its values, wishes and preferences, with their names and digits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.quantities import KINDS
from frame3d.explore.study.study import Quantity, Study, Value, Varied, written
from frame3d.parameters.models.figures import FIGURES, title, unit
from frame3d.report.texts import Texts
from frame3d.stiffness.load_cases import CASES

Role = Literal["varied", "wish", "preference"]

STIFFNESS_TITLES: Final = {case.key: case.title for case in CASES}
STEPS: Final = 100
"""Digits are so many that a range has at least this many values."""
MOST_DIGITS: Final = 4
"""Decimals at most."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A value that varies, or a quantity that is wished for or preferred."""

    key: str
    """Path of the value, or label of the wish or preference."""
    title: str
    short: str
    """The title where there is little room; unique among the axes."""
    unit: str
    role: Role
    low: float | None
    """Least value that is asked for; None for no limit."""
    high: float | None
    names: tuple[str, ...] = ()
    """The values of a list with names in it, whose places stand for them on the axis."""
    start: Value | None = None
    """The file's own value."""
    decimals: int = 1

    def shown(self, value: float | None, texts: Texts) -> str:
        """Return a value as text, without its unit."""
        if value is None:
            return "–"
        if self.names:
            return self.names[round(value)]
        return texts.number(value, self.decimals)

    def with_unit(self, value: float | None, texts: Texts) -> str:
        """Return a value as text."""
        if value is None or self.names:
            return self.shown(value, texts)
        return texts.quantity(value, self.unit, self.decimals)

    def number(self, value: Value | None) -> float | None:
        """Return a value as a number: the place of a name; None where it is not in the list."""
        if self.names:
            said = str(value) if isinstance(value, str) or value is None else f"{value:g}"
            return float(self.names.index(said)) if said in self.names else None
        return None if value is None or isinstance(value, str) else float(value)


def axes_of(study: Study, evaluations: Iterable[Evaluation], texts: Texts) -> tuple[Axis, ...]:
    """Return the axes of a study: values first, then preferences, then wishes.

    Args:
        study: what was asked.
        evaluations: by whose values digits are chosen.
        texts: of the page.
    """
    axes = [_varied(one) for one in study.varied]
    wished = {wish.label: wish for wish in study.wishes}
    for preference in study.preferences:
        wish = wished.pop(preference.label, None)
        low, high = (None, None) if wish is None else (wish.low, wish.high)
        axes.append(
            _measured(preference.label, preference.quantity, "preference", low, high, texts)
        )
    for wish in wished.values():
        axes.append(_measured(wish.label, wish.quantity, "wish", wish.low, wish.high, texts))
    columns = columns_of(axes, tuple(evaluations))
    digits = [
        replace(axis, decimals=_digits(axis, column, study))
        for axis, column in zip(axes, columns, strict=True)
    ]
    return tuple(_told_apart(digits))


def columns_of(
    axes: Sequence[Axis], evaluations: Sequence[Evaluation]
) -> tuple[tuple[float | None, ...], ...]:
    """Return the values on each axis of each design; None where one is not known."""
    out: list[tuple[float | None, ...]] = []
    for i, axis in enumerate(axes):
        if axis.role == "varied":
            out.append(tuple(axis.number(one.design[i]) for one in evaluations))
        else:
            out.append(tuple(_finite(one.values.get(axis.key)) for one in evaluations))
    return tuple(out)


def quantity_title(wanted: Quantity, texts: Texts) -> str:
    """Return a quantity in words: ``Anti-squat, at sag, in 32/24``."""
    if wanted.stage == "ride":
        return _sentence(wanted.name.replace(".", ", ").replace("_", " "))
    if wanted.stage == "stiffness":
        return texts("exploring.stiffness", case=STIFFNESS_TITLES[wanted.name])
    kind = KINDS.get(wanted.name)
    if kind is None:
        return texts.get(f"check.{wanted.name}") or _sentence(wanted.name.replace("_", " "))
    said = [kind.title]
    if wanted.stance == "sag":
        said.append(texts("exploring.at.sag"))
    if isinstance(wanted.at, str):
        said.append(texts(f"exploring.at.{wanted.at}"))
    elif wanted.at is not None:
        said.append(texts("exploring.at.travel", travel=f"{wanted.at:g}"))
    if wanted.gear is not None:
        said.append(texts("exploring.at.gear", front=wanted.gear[0], rear=wanted.gear[1]))
    return ", ".join(said)


def stop_title(label: str, study: Study, texts: Texts) -> str:
    """Return what stops a design in words: a wish, a check, or the code of a fault."""
    asked = study.by_label.get(label)
    if asked is not None:
        return quantity_title(asked.quantity, texts)
    name = label.partition(".")[2] if label.startswith(("checks.", "gap.")) else label
    return texts.get(f"check.{name}") or _sentence(name.replace("_", " ").replace("-", " "))


def _varied(one: Varied) -> Axis:
    figure = one.path.removeprefix("geometry.")
    known = figure if one.path != figure and figure in FIGURES else None
    named = any(isinstance(value, str) for value in one.values)
    names = tuple(v if isinstance(v, str) else f"{v:g}" for v in one.values) if named else ()
    numbers = [float(v) for v in one.values if not isinstance(v, str)]
    low = min(numbers, default=None) if one.values else one.low
    high = max(numbers, default=None) if one.values else one.high
    words = [word.replace("_", " ") for word in one.path.split(".")]
    return Axis(
        key=one.path,
        title=title(known) if known else _sentence(", ".join(words)),
        short=title(known) if known else _sentence(", ".join(words[-2:])),
        unit=unit(known) if known else "",
        role="varied",
        low=None if names else low,
        high=None if names else high,
        names=names,
        start=one.start,
    )


def _measured(
    label: str, wanted: Quantity, role: Role, low: float | None, high: float | None, texts: Texts
) -> Axis:
    said = quantity_title(wanted, texts)
    short = said
    brief = texts.get(f"exploring.short.{wanted.name}")
    if brief is not None:
        short = brief + said.removeprefix(KINDS[wanted.name].title)
    return Axis(label, said, short, wanted.unit, role, low, high)


def _told_apart(axes: Sequence[Axis]) -> list[Axis]:
    """Return the axes with unique short titles."""
    seen = [axis.short for axis in axes]
    return [replace(axis, short=axis.key) if seen.count(axis.short) > 1 else axis for axis in axes]


def _digits(axis: Axis, column: Sequence[float | None], study: Study) -> int:
    """Return how many decimals an axis needs: as written where only some values are allowed."""
    varied = next((one for one in study.varied if one.path == axis.key), None)
    if axis.role == "varied" and varied is not None and (varied.values or varied.step is not None):
        numbers = [*varied.values, varied.low, varied.step]
        written_ = [written(one) for one in numbers if one is not None and not isinstance(one, str)]
        return max((len(one.partition(".")[2]) for one in written_), default=0)
    return _decimals([*column, axis.low, axis.high])


def _decimals(values: Sequence[float | None]) -> int:
    known = [value for value in values if value is not None]
    span = max(known) - min(known) if known else 0.0
    if span <= 0:
        return 1
    return min(max(math.ceil(math.log10(STEPS / span)), 0), MOST_DIGITS)


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
