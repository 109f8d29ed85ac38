"""Read what a study varies: ranges and lists of values, held against the bike's file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final

from frame3d.errors import Fault, SpecError
from frame3d.explore.study.bike_file import BikeFile, leaves
from frame3d.explore.study.collector import Collector
from frame3d.explore.study.models import VariedSpec
from frame3d.explore.study.study import Value, Varied, written
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.measures import shown
from frame3d.parameters.reading.tree import join
from frame3d.parameters.reading.variant_tree import SETTINGS

SECTION: Final = "vary"
_OF_VALUE: Final = frozenset(
    (
        *("unknown-key", "wrong-type", "wrong-unit", "not-finite", "out-of-range", "not-allowed"),
        *("unknown-size", "bad-name", "override", "yaml-trap", "yaml-syntax"),
    )
)
"""Codes of faults that are those of a value by itself, whatever the others are."""
_MANY: Final = 6
"""Most paths that a hint lists."""


def varied_of(
    section: Mapping[str, Any], bike: BikeFile, sizes: Sequence[str | None], said: Collector
) -> tuple[Varied, ...]:
    """Return what varies, in the order of the study; faults are added to `said`.

    Args:
        section: of the study, as plain data.
        bike: the bike's file, which has no faults of its own.
        sizes: those that one set of values must serve.
        said: where faults go.
    """
    found = (_one(path, data, bike, sizes, said) for path, data in section.items())
    return tuple(varied for varied in found if varied is not None)


def _one(
    path: str, data: Any, bike: BikeFile, sizes: Sequence[str | None], said: Collector
) -> Varied | None:
    """Return one value that varies; None where it is at fault."""
    here = join(SECTION, path)
    if isinstance(data, tuple):
        _alias(said, here, len(data))
        data = {"values": data}
    spec = said.model(VariedSpec, data, here)
    if spec is None:
        return None
    if path.split(".", maxsplit=1)[0].strip() == SETTINGS:
        hint = "vary a number of the bike itself, and name settings under setting"
        said.add("not-allowed", here, "a setting is put onto the finished frame", hint, at_key=True)
        return None
    values = None if spec.values is None else _list(spec.values, here, said)
    limits = _range(spec, here, said) if spec.values is None else None
    if values is None and limits is None:
        return None
    is_percent = limits is not None and limits.percent
    begun = _start(path, spec, bike, sizes, said)
    if begun is None:
        return None
    if limits is None:
        assert values is not None
        own = begun.text if isinstance(values[0], str) else begun.value
        varied = Varied(path, values=values, start=own, place=said.place(here))
    else:
        if isinstance(begun.value, str):
            message = f"{path} is {shown(begun.text)} in the bike's file, which is no number"
            said.add("wrong-type", here, message, "vary a number, or give a list of names")
            return None
        if begun.percent != is_percent:
            _mixed_percent(begun.text, is_percent, here, said)
            return None
        varied = Varied(
            path,
            limits.low,
            limits.high,
            limits.step,
            (),
            begun.value,
            is_percent,
            said.place(here),
        )
    return varied if _can_stand(varied, bike, sizes, said) else None


def _alias(said: Collector, here: str, count: int) -> None:
    """Let the places of a bare list's values be found as those of ``values``."""
    for places in (said.reading.values, said.reading.keys):
        for i in range(count):
            places[f"{here}.values.{i}"] = places[f"{here}.{i}"]


# -- ranges and lists -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Range:
    """A range of numbers, all of them percentages or none."""

    low: float
    high: float
    step: float | None
    percent: bool


def _number(value: Value) -> tuple[float, bool]:
    """Return a number and whether it is a percentage."""
    if isinstance(value, str):
        return float(value.removesuffix("%")), True
    return value, False


def _range(spec: Any, here: str, said: Collector) -> _Range | None:
    """Return a range; None where it is none."""
    low, first = _number(spec.low)
    high, second = _number(spec.to)
    step, third = (None, first) if spec.step is None else _number(spec.step)
    if not first == second == third:
        way = "write all of them as percentages, or none: {from: 25%, to: 35%}"
        said.add("inconsistent", here, "percentages and plain numbers are mixed", way)
        return None
    if low >= high:
        message = f"the range from {low:g} to {high:g} is empty"
        way = f"the lesser one first, {{from: {high:g}, to: {low:g}}}"
        if low == high:
            way = f"a greater to, or leave it out and write {low:g} into the bike's file"
        said.add("inconsistent", here, message, way)
        return None
    if step is not None and not 0 < step <= high - low:
        message = f"steps of {step:g} are none between {low:g} and {high:g}"
        way = f"a step above 0, up to {high - low:g}"
        said.add("out-of-range", join(here, "step"), message, way)
        return None
    return _Range(low, high, step, first)


def _list(values: Iterable[Value], here: str, said: Collector) -> tuple[Value, ...] | None:
    """Return a list of values; None where it mixes kinds, or holds one twice."""
    given = tuple(values)
    numbers = [not isinstance(value, str) for value in given]
    if any(numbers) and not all(numbers):
        names = ", ".join(shown(v) for v in given if isinstance(v, str))
        message = f"numbers stand beside names: {names}"
        said.add("wrong-type", here, message, "a list of numbers, or a list of names")
        return None
    for i, value in enumerate(given):
        if value in given[:i]:
            path = f"{here}.values.{i}"
            said.add("duplicate-key", path, f"{shown(value)} stands here twice", "take one out")
            return None
    return given


# -- the file's own value ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Start:
    """The value from which a search begins."""

    text: str
    """As the file has it."""

    @property
    def percent(self) -> bool:
        """Whether it is a percentage."""
        return self.text.endswith("%") and isinstance(self.value, float)

    @property
    def value(self) -> Value:
        """The number, of a percentage too; else the text."""
        plain = scalars.value(self.text.removesuffix("%"))
        is_number = isinstance(plain, int | float) and not isinstance(plain, bool)
        return float(plain) if isinstance(plain, int | float) and is_number else self.text


def _start(
    path: str, spec: Any, bike: BikeFile, sizes: Sequence[str | None], said: Collector
) -> _Start | None:
    """Return the value from which a search begins; None where there is none, which is told."""
    here = join(SECTION, path)
    if spec.start is not None:
        return _Start(spec.start if isinstance(spec.start, str) else written(spec.start))
    texts: dict[str, None] = {}
    for size in sizes:
        nodes = bike.nodes_at(path, size)
        if not nodes:
            _missing(path, spec, bike, size, said)
            return None
        if not isinstance(nodes[0], tree.Scalar):
            below = [join(path, p) for p, _ in leaves(nodes[0]) if p]
            numbers = [p for p in below if p in bike.numbers]
            way = f"vary {' or '.join(numbers[:_MANY])}" if numbers else "vary a number"
            what = "a list" if isinstance(nodes[0], tree.Sequence) else "a block of keys"
            message = f"{path} is {what} in the bike's file, not one value"
            said.add("wrong-type", here, message, way, at_key=True)
            return None
        texts.setdefault(nodes[0].text)
    if len(texts) > 1:
        by_size = [p for p in bike.numbers if p.startswith(f"{path}.")]
        way = f"vary {' or '.join(by_size[:_MANY])}, " if by_size else ""
        said.add(
            "inconsistent",
            here,
            f"differs by size in the bike's file ({', '.join(texts)}); varied, it would be the same "
            "in every size",
            f"{way or 'vary what each size gives, '}or say with start that one value is meant for all",
        )
        return None
    return _Start(next(iter(texts)))


def _missing(path: str, spec: Any, bike: BikeFile, size: str | None, said: Collector) -> None:
    """Add the fault of a path at which the file has nothing: mistyped, or to be put in."""
    here = join(SECTION, path)
    value = spec.values[0] if spec.values else spec.low
    faults = _trial(bike, path, value if isinstance(value, str) else written(value), size)
    unknown = [fault for fault in faults if fault.code in ("unknown-key", "override", "bad-name")]
    if unknown:
        said.add(
            "unknown-key",
            here,
            f"the bike's file has no {path}, nor can it: {unknown[0].message}",
            _near(path, bike) or unknown[0].hint,
            at_key=True,
        )
        return
    near = _near(path, bike)
    said.add(
        "missing-key",
        here,
        f"the bike's file has nothing at {path}",
        f"{near + ' Or ' if near else ''}say with start from which value a search begins, and it is "
        "put in",
        at_key=True,
    )


def _near(path: str, bike: BikeFile) -> str:
    """Return a question that names the most similar paths of numbers; empty where none is similar."""
    last = path.rpartition(".")[2]
    found = get_close_matches(path, bike.numbers, n=3, cutoff=0.75)
    found += [p for p in bike.numbers if p.rpartition(".")[2] == last][: _MANY - 3]
    names = list(dict.fromkeys(found))[:3]
    return f"did you mean {' or '.join(names)}?" if names else ""


def _mixed_percent(own: str, percent: bool, here: str, said: Collector) -> None:
    """Add the fault of percentages for a plain number, or the other way round."""
    kind, way = ("percentages", "write the range with %, e.g. {from: 25%, to: 35%}")
    if percent:
        kind, way = ("plain numbers", "write the range without %")
    message = f"the file's own value is {own}, so {kind} are wanted"
    said.add("wrong-type", here, message, way)


# -- whether the values can stand in the file -------------------------------------------------------


def _can_stand(
    varied: Varied, bike: BikeFile, sizes: Sequence[str | None], said: Collector
) -> bool:
    """Return whether the file takes the values by themselves; faults are added where it does not."""
    here = join(SECTION, varied.path)
    tried: list[tuple[str, Value]] = [("start", varied.start)] if varied.start is not None else []
    if varied.is_range:
        assert varied.low is not None
        assert varied.high is not None
        tried += [("from", varied.low), ("to", varied.high)]
    else:
        tried += [(f"values.{i}", value) for i, value in enumerate(varied.values)]
    fine = True
    for key, value in tried:
        for fault in _trial(bike, varied.path, varied.text(value), sizes[0])[:1]:
            path = join(here, key)
            at = path if path in said.reading.values else here
            message = f"{varied.text(value)} cannot stand at {varied.path}: {fault.message}"
            said.add(fault.code, at, message, fault.hint)
            fine = False
    return fine and _takes_fractions(varied, bike, sizes[0], said)


def _takes_fractions(varied: Varied, bike: BikeFile, size: str | None, said: Collector) -> bool:
    """Return whether the numbers between the ends can stand too: not for numbers of teeth, say."""
    if not varied.is_range:
        return True
    assert varied.low is not None
    assert varied.high is not None
    between = varied.low + (varied.high - varied.low) / 3 if varied.step is None else None
    if between is None:
        assert varied.step is not None
        between = varied.low + varied.step
    faults = _trial(bike, varied.path, varied.text(round(between, 9)), size)
    if not faults:
        return True
    way = "give step: 1" if varied.step is None else "a whole number as step, from a whole number"
    said.add(
        faults[0].code,
        join(SECTION, varied.path),
        f"{between:g} cannot stand at {varied.path}: {faults[0].message}",
        way if "whole number" in faults[0].message else faults[0].hint,
    )
    return False


def _trial(bike: BikeFile, path: str, text: str, size: str | None) -> list[Fault]:
    """Return the faults of a value by itself at a path of the file."""
    typed = f"{path}={text}"
    try:
        bike.spec([typed], size)
    except SpecError as error:
        source = f"--set {typed}"
        return [
            fault
            for fault in error.faults
            if fault.code in _OF_VALUE
            and (fault.path == path or (fault.place is not None and fault.place.source == source))
        ]
    return []
