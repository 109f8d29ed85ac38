"""Change: the same parameter file with one value replaced, for trying things out."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from frame3d.spec.models import FrameSpec


def value_at(spec: FrameSpec, path: str) -> Any:
    """The value at a dotted path; None where it is not given."""
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
    """The same spec with the value at a dotted path replaced; everything above it has to be there.

    Raises:
        KeyError: there is no such path.
    """
    out: FrameSpec = _put(spec, path.split("."), value)
    return out.traced(spec._places)


def _put(here: Any, keys: list[str], value: Any) -> Any:
    if not keys:
        return value
    key, rest = keys[0], keys[1:]
    new = _put(_step(here, key), rest, value)
    if isinstance(here, BaseModel) and key in type(here).model_fields:
        return here.model_copy(update={key: new})
    if isinstance(here, dict) and key in here:
        return {**here, key: new}
    if isinstance(here, tuple) and key.isdigit() and int(key) < len(here):
        return (*here[: int(key)], new, *here[int(key) + 1 :])
    raise KeyError(key)
