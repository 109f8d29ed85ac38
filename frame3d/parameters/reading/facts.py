"""Descriptions of fields for messages, from the models."""

from __future__ import annotations

from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo


def models(annotation: Any) -> dict[str, type[BaseModel]]:
    """Return the models within an annotation, by name."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return {annotation.__name__: annotation}
    found: dict[str, type[BaseModel]] = {}
    for inner in get_args(annotation):
        found.update(models(inner))
    return found


def literals(annotation: Any) -> list[Any]:
    """Return the literal values that an annotation allows."""
    found: list[Any] = []
    for inner in get_args(annotation):
        if isinstance(inner, str | int) and not isinstance(inner, type):
            found.append(inner)
        elif not (isinstance(inner, type) and issubclass(inner, BaseModel)):
            found += literals(inner)
    return found


def about(field: FieldInfo | None, key: str) -> str:
    """Return a field's description, range and example as text."""
    if field is None:
        return ""
    said = (field.description or field.title or "").partition(" [")[0]
    in_unit = unit(field)
    limits = bounds(field)
    low, high, above = limits.get("ge"), limits.get("le"), limits.get("gt")
    if low is not None and high is not None:
        said += f"; from {low:g} to {high:g} {in_unit}".rstrip()
    elif above is not None and high is not None:
        said += f"; above {above:g}, up to {high:g} {in_unit}".rstrip()
    allowed = literals(field.annotation)
    if allowed and len(allowed) < 12:
        said += f"; allowed: {', '.join(str(x) for x in allowed)}"
    examples = field.examples
    if examples:
        said += f"; e.g. {key}: {_yaml(examples[0])}"
    return said


def _yaml(value: Any) -> str:
    """Return an example as YAML."""
    if isinstance(value, list | tuple):
        return f"[{', '.join(_yaml(v) for v in value)}]"
    if isinstance(value, str):
        return f'"{value}"' if value.startswith("#") or value.isdigit() else value
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def unit(field: FieldInfo | None) -> str:
    """Return a field's unit; mm for numbers without one."""
    if field is None:
        return ""
    extra = field.json_schema_extra
    if isinstance(extra, dict) and "unit" in extra:
        return str(extra["unit"])
    return "" if field.annotation is int else "mm"


def bounds(field: FieldInfo | None) -> dict[str, float]:
    """Return a field's bounds, or those of the first number within it: ge, gt, le."""
    if field is None:
        return {}
    return _of(field.metadata) or _within(field.annotation)


def _of(metadata: Any) -> dict[str, float]:
    """Return the bounds in a field's or annotation's metadata."""
    found: dict[str, float] = {}
    for item in metadata:
        if isinstance(item, FieldInfo):
            found.update(_of(item.metadata))
        for name in ("ge", "gt", "le"):
            value = getattr(item, name, None)
            if isinstance(value, int | float):
                found[name] = float(value)
    return found


def _within(annotation: Any) -> dict[str, float]:
    """Return the bounds of the first number within an annotation."""
    found = _of(getattr(annotation, "__metadata__", ()))
    for inner in get_args(annotation):
        if found:
            break
        found = _within(inner)
    return found
