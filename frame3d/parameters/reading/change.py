"""Replace one value of a checked parameter file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import NoneType
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters.models.base import Model, Problem
from frame3d.parameters.models.frame import FrameSpec


def value_at(spec: FrameSpec, path: str) -> Any:
    """Return the value at a dotted path; None where it is not given."""
    here: Any = spec
    for key in path.split("."):
        if here is None:
            return None
        here = _step(here, key)
    return here


def exchanges(spec: FrameSpec) -> list[str]:
    """Return what settings and exchanges of parts replaced, each as ``KEY=VALUE``.

    A value of several parts is named by its key alone.
    """
    out = []
    for path in spec.variants.exchanged:
        value = value_at(spec, path)
        if isinstance(value, float):
            value = f"{value:g}"
        out.append(path if isinstance(value, BaseModel | dict | tuple) else f"{path}={value}")
    return out


def _step(here: Any, key: str) -> Any:
    if isinstance(here, BaseModel):
        return getattr(here, key, None)
    if isinstance(here, dict):
        return here.get(key)
    if isinstance(here, tuple) and key.isdigit() and int(key) < len(here):
        return here[int(key)]
    return None


def changed(spec: FrameSpec, path: str, value: Any) -> FrameSpec:
    """Return the spec with the value at a dotted path replaced; its parents must exist.

    Args:
        spec: the checked parameter file.
        path: of the value.
        value: as the file would give it, so a share of the travel as ``"25%"``; None takes the key out.

    Raises:
        KeyError: there is no such path.
        SpecError: a file with that value would be refused.
    """
    try:
        out: FrameSpec = _put(spec, path.split("."), value)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]["msg"]
        raise SpecError(spec.fault("not-allowed", path, f"cannot be {value}: {first}")) from None
    problems = list(_problems(out, path.split(".")))
    if problems:
        raise SpecError(spec.fault(p.code, p.key, p.message, p.hint) for p in problems)
    return out.traced(spec._places)


def changed_together(
    spec: FrameSpec, values: Mapping[str, Any], sources: Mapping[str, str]
) -> FrameSpec | None:
    """Return the spec with several values replaced at once, only what they bear on being checked.

    It equals the spec that is read from the whole file with these values.

    Args:
        spec: the checked parameter file.
        values: dotted path -> value as the file would give it; what is there must be a plain value.
        sources: overrides as typed, ``--set geometry.reach=455``, by those that they replace.

    Returns:
        None where a file with these values would be refused, or where only reading it whole can tell.
    """
    out = spec
    try:
        for path, value in values.items():
            if isinstance(value_at(spec, path), BaseModel | dict | tuple | NoneType):
                return None
            out = _put(out, path.split("."), value)
    except (KeyError, ValidationError):
        return None
    seen: set[int] = set()
    for path in values:
        here: Any = out
        for key in ("", *path.split(".")):
            here = _step(here, key) if key else here
            if isinstance(here, Model) and id(here) not in seen:
                seen.add(id(here))
                if any(True for _ in here.problems()):
                    return None

    def moved(at: SourceLocation) -> SourceLocation:
        new = sources.get(at.source) if at.line is None else None
        return at if new is None else SourceLocation(new)

    return out.traced({path: moved(at) for path, at in spec._places.items()})


def _put(here: Any, keys: list[str], value: Any) -> Any:
    key, rest = keys[0], keys[1:]
    if isinstance(here, BaseModel) and key in type(here).model_fields:
        return _with_field(here, key, rest, value)
    new = _put(_step(here, key), rest, value) if rest else value
    if isinstance(here, dict) and key in here:
        left = {k: v for k, v in here.items() if k != key}
        return left if new is None else {k: new if k == key else v for k, v in here.items()}
    if isinstance(here, tuple) and key.isdigit() and int(key) < len(here):
        return (*here[: int(key)], new, *here[int(key) + 1 :])
    raise KeyError(key)


def _with_field(here: BaseModel, key: str, rest: list[str], value: Any) -> BaseModel:
    """Return the model with a value in a field, or at a path below it, validated as in reading a file.

    Raises:
        ValidationError: it would be refused.
    """
    field = type(here).model_fields[key]
    if not rest and value is None and not field.is_required():  # as if it were not in the file
        default = field.get_default(call_default_factory=True)
        copy = here.model_copy(update={key: default})
        copy.model_fields_set.discard(key)
        return copy
    old = _step(here, key)
    new = _put(old, rest, value) if rest else value
    if not (rest and isinstance(old, BaseModel)):
        new = _adapter(type(here), key).validate_python(new)
    return here.model_copy(update={key: new})


@lru_cache(maxsize=256)
def _adapter(model: type[BaseModel], key: str) -> TypeAdapter[Any]:
    field = model.model_fields[key]
    kind: Any = Annotated[field.annotation, field]
    if isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel):
        return TypeAdapter(kind)
    return TypeAdapter(kind, config=ConfigDict(strict=True, allow_inf_nan=False))


def _problems(here: Any, keys: list[str], above: str = "") -> Iterator[Problem]:
    """Yield inconsistencies in the models along a path."""
    if isinstance(here, Model):
        for problem in here.problems():
            key = ".".join(filter(None, (above, problem.key)))
            yield Problem(problem.code, key, problem.message, problem.hint)
    if keys and here is not None:
        yield from _problems(_step(here, keys[0]), keys[1:], f"{above}.{keys[0]}".lstrip("."))
