"""Turn pydantic's errors into faults that say what is wrong, what is allowed, and where."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from frame3d.errors import Fault, SourceLocation
from frame3d.parameters.models.base import Model, Problem
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.facts import about, bounds, literals, models, unit
from frame3d.parameters.reading.measures import no_number, shown
from frame3d.parameters.reading.scalars import word_trap
from frame3d.parameters.reading.variant_tree import SETTINGS, SIZES

_BOUNDS = ("greater_than", "greater_than_equal", "less_than", "less_than_equal")
_NUMBERS = ("float_type", "int_type", "int_from_float", "float_parsing", "int_parsing")


def explain(
    error: ValidationError,
    values: Mapping[str, SourceLocation],
    keys: Mapping[str, SourceLocation],
    root: type[BaseModel] = FrameSpec,
    above: str = "",
) -> list[Fault]:
    """Return every fault in `error`.

    Args:
        error: of a model.
        values: dotted path in the file -> source of the value.
        keys: dotted path in the file -> source of the key.
        root: the model.
        above: dotted path in the file of what the model was made from.
    """
    faults: list[Fault] = []
    mistyped: set[str] = set()  # a key that is only mistyped is not missing as well
    for found in error.errors(include_url=False):
        spot = _spot(found["loc"], root, above)
        if found["type"] == "extra_forbidden":
            block, dot, _ = spot.path.rpartition(".")
            mistyped.update(block + dot + near for near in _near(spot)[:1])
        for problem in _problems(spot, found["type"], found["input"], found):
            path = ".".join(filter(None, (spot.path, problem.key)))
            places = keys if problem.code in ("unknown-key", "bad-name") else values
            place = places.get(path)
            around = path
            while place is None and around:
                around = around.rpartition(".")[0]
                place = values.get(around)
            faults.append(Fault(problem.code, path, problem.message, problem.hint, place))
    return [f for f in faults if f.code != "missing-key" or f.path not in mistyped]


@dataclass(slots=True)
class _Spot:
    """The place of an error in the models."""

    root: type[BaseModel]
    """The model of the whole."""
    path: str = ""
    """Dotted path in the file."""
    key: str = ""
    """Last step of the path."""
    model: type[BaseModel] | None = None
    """The model that holds the key; None where there is none."""
    field: FieldInfo | None = None
    """The field whose value, or an element of whose value, is wrong."""
    element: bool = False
    """Whether the value is an element of the field's list."""
    named: bool = False
    """Whether a key chosen by the user is wrong, not its value."""


def _spot(loc: tuple[int | str, ...], root: type[BaseModel], above: str) -> _Spot:
    """Return the place of an error, by its location; tags of union branches are not in the path."""
    spot = _Spot(root)
    here: type[BaseModel] | None = root
    parts = [above] if above else []
    spot.model = root
    free_keys = False  # the next step names something of the user's
    for step in loc:
        if step == "[key]":
            spot.named = True
        elif isinstance(step, str) and step.startswith("<") and step.endswith(">"):
            branches = models(spot.field.annotation) if spot.field is not None else {}
            here = branches.get(step[1:-1])
            if here is None and step == "<mapping>" and len(branches) == 1:
                here = next(iter(branches.values()))
        else:
            parts.append(str(step))
            spot.key, spot.element = str(step), isinstance(step, int)
            if spot.element:
                continue
            if free_keys:
                free_keys = False
                continue
            spot.model = here
            spot.field = None if here is None else here.model_fields.get(spot.key)
            if spot.field is not None:
                annotation = spot.field.annotation
                branches = models(annotation)
                here = next(iter(branches.values())) if len(branches) == 1 else None
                free_keys = get_origin(annotation) is dict
    spot.path = ".".join(parts)
    return spot


def _problems(spot: _Spot, kind: str, given: Any, found: Mapping[str, Any]) -> Iterator[Problem]:
    """Yield the problems in one of pydantic's errors."""
    ctx: Mapping[str, Any] = found.get("ctx", {})
    wanted = about(spot.field, spot.path if spot.element else spot.key)
    in_unit = unit(spot.field)
    if kind == "problems":
        yield from ctx["problems"]
    elif kind == "missing":
        if spot.element:
            yield Problem("wrong-type", "", "a value is missing at the end of the list", wanted)
        else:
            yield Problem("missing-key", "", "missing", wanted)
    elif kind == "extra_forbidden":
        yield _unknown(spot, given)
    elif kind == "finite_number":
        yield Problem("not-finite", "", "not a finite number", wanted)
    elif kind in _BOUNDS:
        yield _out_of_range(spot, given, ctx, in_unit)
    elif kind in _NUMBERS:
        if isinstance(given, float):
            yield Problem("wrong-type", "", f"{given:g} is no whole number", wanted)
        else:
            yield no_number(given, in_unit, wanted)
    elif kind == "literal_error":
        yield _not_allowed(spot, given)
    else:
        yield _malformed(spot, kind, given, found, wanted)


def _malformed(
    spot: _Spot, kind: str, given: Any, found: Mapping[str, Any], wanted: str
) -> Problem:
    """Return the problem of a value of another type, pattern or length, or of no value."""
    ctx: Mapping[str, Any] = found.get("ctx", {})
    if kind == "string_pattern_mismatch" and spot.named:
        return Problem(
            "bad-name",
            "",
            "not a name that can stand here",
            "small letters, digits and underscores, a letter first, at most 60: e.g. down_tube",
        )
    if kind == "string_pattern_mismatch":
        return Problem("not-allowed", "", f"{shown(given)} is none", wanted)
    if kind == "too_long" and given:
        most = ctx.get("max_length")
        return Problem("wrong-type", "", f"{len(given)} values, at most {most} fit", wanted)
    if kind == "too_short":
        least = ctx.get("min_length")
        return Problem("wrong-type", "", f"at least {least} values are wanted", wanted)
    if given is None:
        keys = ", ".join(_keys(spot))
        way = f"keys here: {keys}; or take the line out" if keys else wanted
        return Problem("wrong-type", "", "nothing stands here", way)
    return _wrong_type(spot, kind, given, str(found["msg"]), wanted)


def _wrong_type(spot: _Spot, kind: str, given: Any, message: str, wanted: str) -> Problem:
    """Return the problem of a value of the wrong type."""
    if kind == "shape":
        return Problem("wrong-type", "", f"{shown(given)} does not fit here", f"write {message}")
    if kind == "string_type":
        way = f'write "{shown(given)}" in quotes' if isinstance(given, int | float) else wanted
        return Problem("wrong-type", "", f"{shown(given)} is no text", way)
    if kind == "bool_type":
        word = word_trap(given) if isinstance(given, str) else None
        if word is not None:
            return Problem("yaml-trap", "", *word)
        return Problem("wrong-type", "", f"{shown(given)} is neither true nor false", wanted)
    if kind == "tuple_type":
        return Problem(
            "wrong-type", "", f"{shown(given)} is no list", f"write it in brackets; {wanted}"
        )
    if kind in ("model_type", "dict_type"):
        keys = _keys(spot)
        meant = _meant(spot, given)
        way = f"write {meant}" if meant else f"keys here: {', '.join(keys)}" if keys else wanted
        return Problem(
            "wrong-type", "", f"{shown(given)} stands where a mapping of keys is wanted", way
        )
    return Problem("wrong-type", "", message, wanted)


def _keys(spot: _Spot) -> list[str]:
    """Return the keys allowed below a spot."""
    model = _below(spot)
    return [] if model is None else list(model.model_fields)


def _meant(spot: _Spot, given: Any) -> str | None:
    """Return what a bare value probably means where keys are wanted; None where that is not clear."""
    model = _below(spot)
    return model.meant(given) if model is not None and issubclass(model, Model) else None


def _below(spot: _Spot) -> type[BaseModel] | None:
    """Return the model whose keys are allowed below a spot; None where there is none or several."""
    if spot.field is None and not spot.key:
        return spot.root
    branches = models(spot.field.annotation) if spot.field is not None else {}
    return next(iter(branches.values())) if len(branches) == 1 else None


def _out_of_range(spot: _Spot, given: Any, ctx: Mapping[str, Any], in_unit: str) -> Problem:
    """Return the problem of a number out of range."""
    for key, word in (("ge", "below"), ("gt", "not above"), ("le", "above"), ("lt", "not below")):
        if key in ctx:
            message = f"{shown(given)} is {word} {ctx[key]:g}{' ' + in_unit if in_unit else ''}"
            break
    hint = about(spot.field, spot.path if spot.element else spot.key)
    low = ctx.get("ge")
    high = bounds(spot.field).get("le", 0.0)
    if in_unit == "mm" and low is not None and low > 0 and low <= given * 10 <= high:
        hint += f"; if that is in centimetres, write {given * 10:g}"
    return Problem("out-of-range", "", message, hint)


def _not_allowed(spot: _Spot, given: Any) -> Problem:
    """Return the problem of a value that is not one of the allowed ones."""
    allowed = literals(spot.field.annotation if spot.field is not None else None)
    way = "write " + " or ".join(str(a) for a in allowed)
    if allowed == [1]:
        return Problem(
            "not-allowed",
            "",
            f"this version of frame3d reads format 1, not {shown(given)}",
            "write format: 1",
        )
    near = difflib.get_close_matches(str(given), [str(a) for a in allowed], n=1)
    if near:
        way = f"did you mean {near[0]}? {about(spot.field, spot.key)}"
    return Problem("not-allowed", "", f"{shown(given)} is not allowed here", way)


def _legal(spot: _Spot) -> list[str]:
    """Return the keys allowed in place of a spot's key."""
    if spot.model is None:
        return []
    sections = (SIZES, SETTINGS) if spot.model is FrameSpec else ()
    return [*spot.model.model_fields, *sections]


def _near(spot: _Spot) -> list[str]:
    """Return the allowed keys most similar to a spot's key, most similar first."""
    return difflib.get_close_matches(spot.key, _legal(spot), n=3, cutoff=0.6)


def _unknown(spot: _Spot, given: Any) -> Problem:
    """Return the problem of an unknown key."""
    legal = _legal(spot)
    near = _near(spot)
    homes = _homes(spot.root, spot.key)
    if given is None and spot.key.isdigit():
        way = "a decimal comma? Write numbers with a point, e.g. 2.5"
    elif near and difflib.SequenceMatcher(None, spot.key, near[0]).ratio() > 0.8:
        way = f"did you mean {' or '.join(near)}?"
    elif homes:
        above = dict.fromkeys(home.rpartition(".")[0] for home in homes)
        way = f"{spot.key} belongs under {' or '.join(above)}: "
        way += " or ".join(homes)
    elif near:
        way = f"did you mean {' or '.join(near)}?"
    else:
        way = f"known here: {', '.join(legal)}"
    if near and len(legal) <= 12:
        way += f" Known here: {', '.join(legal)}" if way.endswith("?") else ""
    return Problem("unknown-key", "", "unknown key", way)


def _homes(root: type[BaseModel], key: str) -> list[str]:
    """Return at most three dotted paths of a format that end in this key, the shortest first."""
    found: list[str] = []

    def look(model: type[BaseModel], path: tuple[str, ...]) -> None:
        for name, info in model.model_fields.items():
            here = (*path, name)
            if name == key and path:
                found.append(".".join(here))
            item = "<tube>" if name == "tubes" else "<name>"
            below = (*here, item) if get_origin(info.annotation) is dict else here
            for inner in models(info.annotation).values():
                look(inner, below)

    look(root, ())
    return sorted(dict.fromkeys(found), key=lambda path: path.count("."))[:3]
