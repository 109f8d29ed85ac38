"""Replace one value of a checked parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from frame3d.errors import SpecError
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
        value: as the file would give it, so a share of the travel as ``"25%"``.

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


def _put(here: Any, keys: list[str], value: Any) -> Any:
    key, rest = keys[0], keys[1:]
    if isinstance(here, BaseModel) and key in type(here).model_fields:
        new = _put(_step(here, key), rest, value) if rest else _checked(type(here), key, value)
        return here.model_copy(update={key: new})
    new = _put(_step(here, key), rest, value) if rest else value
    if isinstance(here, dict) and key in here:
        return {**here, key: new}
    if isinstance(here, tuple) and key.isdigit() and int(key) < len(here):
        return (*here[: int(key)], new, *here[int(key) + 1 :])
    raise KeyError(key)


def _checked(model: type[BaseModel], key: str, value: Any) -> Any:
    """Return a field's value, validated as in reading a file.

    Raises:
        ValidationError: it would be refused.
    """
    return None if value is None else _field(model, key).validate_python(value, strict=True)


@lru_cache(maxsize=256)
def _field(model: type[BaseModel], key: str) -> TypeAdapter[Any]:
    field = model.model_fields[key]
    kind: Any = Annotated[field.annotation, field]
    return TypeAdapter(kind)


def _problems(here: Any, keys: list[str], above: str = "") -> Iterator[Problem]:
    """Yield inconsistencies in the models along a path."""
    if isinstance(here, Model):
        for problem in here.problems():
            key = ".".join(filter(None, (above, problem.key)))
            yield Problem(problem.code, key, problem.message, problem.hint)
    if keys and here is not None:
        yield from _problems(_step(here, keys[0]), keys[1:], f"{above}.{keys[0]}".lstrip("."))
