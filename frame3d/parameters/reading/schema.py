"""JSON Schema of the parameter file, for completion and checks in editors."""

from __future__ import annotations

from typing import Any, Final

from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.variant_tree import (
    DEFAULT,
    MOST,
    RULE,
    SETTING_NAME,
    SIZE_NAME,
)

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a parameter file.

    It accepts all files that the reader accepts, and refuses what is wrong with a single value
    or mapping at a time.
    """
    made = FrameSpec.model_json_schema(mode="validation", ref_template="#/$defs/{model}")
    definitions: dict[str, Any] = made["$defs"]
    for name, model in {"FrameSpec": made, **definitions}.items():
        tidy(name, model)
    _tubes(made)
    definitions["ForkSpec"].update(
        _given_asks("axle_to_crown", "measured"), description="Fork: length, offset, travel."
    )
    definitions["JunctionSpec"]["not"] = _both("on", "at")
    _by_size(made)
    for model in definitions.values():
        _by_size(model)
    definitions.update(_variants())
    made["properties"].update(_sections())
    made.update(
        title="frame3d parameter file",
        description="One bike: its chart figures, its parts, its tubes. Millimetres and degrees.",
    )
    return {"$schema": DIALECT, **made}


def tidy(name: str, model: dict[str, Any]) -> None:
    """Simplify a model's titles and descriptions, and allow null for optional keys; changed in place.

    Null counts as absent.
    """
    model["title"] = name.removesuffix("Spec")
    model["description"] = model.get("description", "").split("\n\n")[0].replace("\n", " ")
    required = model.get("required", ())
    for key, value in model.get("properties", {}).items():
        if "default" in value and value["default"] is None:
            del value["default"]
        if key not in required:
            _allow_null(value)


def _allow_null(value: dict[str, Any]) -> None:
    """Allow a property to be null too; changed in place."""
    said = ("title", "description", "examples", "default", "unit")
    kept = {k: value.pop(k) for k in said if k in value}
    rest = dict(value)
    value.clear()
    options = rest.get("anyOf") if set(rest) == {"anyOf"} else None
    if options is None:
        options = [rest]
    if {"type": "null"} not in options:
        options = [*options, {"type": "null"}]
    value.update(kept, anyOf=options)


def _tubes(made: dict[str, Any]) -> None:
    """Require ends of all tubes but head tube and seat tube, whose ends come from the chart."""
    tubes = made["properties"]["tubes"]["anyOf"][0]
    tubes.pop("patternProperties", None)
    tube: dict[str, Any] = {"$ref": "#/$defs/TubeSpec"}
    absent: dict[str, Any] = {"type": "null"}
    no_end: dict[str, Any] = {"end": absent, "pair": {"enum": [None, False]}}
    no_bends: dict[str, Any] = {"bends": {"enum": [None, []]}}
    tubes.update(
        properties={
            "head_tube": {**tube, "properties": {"start": absent, **no_end, **no_bends}},
            "seat_tube": {**tube, "properties": no_end},
        },
        additionalProperties={
            **tube,
            "properties": {"start": {"type": "object"}, "end": {"type": "object"}},
            "required": ["start", "end"],
        },
        propertyNames={"pattern": r"^[a-z][a-z0-9_]{0,59}$", "not": {"enum": _nodes()}},
    )


_EACH = {"$ref": "#/$defs/BySize"}
_NUMBERS = {"number", "integer"}


def _by_size(model: dict[str, Any]) -> None:
    """Allow a value for each size, and a rule for numbers, in place of every value; changed in place."""
    for key in ("properties", "patternProperties"):
        for value in model.get(key, {}).values():
            _or_each(value)
    for key in ("items", "additionalProperties"):
        if isinstance(model.get(key), dict):
            _or_each(model[key])
    for key in ("prefixItems", "anyOf", "oneOf"):
        for value in model.get(key, ()):
            if key == "prefixItems":
                _or_each(value)
            else:
                _by_size(value)


def _or_each(value: dict[str, Any]) -> None:
    _by_size(value)
    said = ("title", "description", "examples", "default", "unit")
    kept = {k: value.pop(k) for k in said if k in value}
    rest = dict(value)
    value.clear()
    options = rest["anyOf"] if set(rest) == {"anyOf"} else [rest]
    by_rule = any(option.get("type") in _NUMBERS for option in options)
    more = [{"$ref": "#/$defs/ByRule"}] if by_rule else []
    value.update(kept, anyOf=[*options, *more, _EACH])


def _variants() -> dict[str, Any]:
    """Return the schemas of values by size."""
    number = {"type": ["number", "string"], "pattern": r"^[-+]?[0-9.]+%$"}
    return {
        "ByRule": {
            "title": "By rule",
            "description": "That of the first size, and the step from each to the next.",
            "type": "object",
            "properties": {
                "from": {"title": "From", "description": "Of the first size", **number},
                "step": {"title": "Step", "description": "From each to the next", **number},
            },
            "required": list(RULE),
            "additionalProperties": False,
        },
        "BySize": {
            "title": "By size",
            "description": "One value for each of the file's sizes.",
            "type": "object",
            "properties": {},
            "patternProperties": {f"^({SIZE_NAME})$": {}},
            "additionalProperties": False,
            "minProperties": 1,
        },
    }


def _sections() -> dict[str, Any]:
    """Return the schemas of sizes and settings."""
    changes = {"type": ["object", "null"]}
    name = {"type": "string", "pattern": f"^({SIZE_NAME})$"}
    return {
        "sizes": {
            "title": "Sizes",
            "description": "Sizes by name and what each changes, by dotted paths or nested; default: "
            "names the one that is meant where none is named, else it is the middle one",
            "examples": [{"default": "M", "S": {"geometry.reach": 430}, "M": None}],
            "anyOf": [
                {"type": "null"},
                {"type": "array", "items": name, "minItems": 1, "maxItems": MOST},
                {
                    "type": "object",
                    "properties": {DEFAULT: {"anyOf": [name, changes]}},
                    "patternProperties": {rf"^(?!{DEFAULT}$)({SIZE_NAME})$": changes},
                    "additionalProperties": False,
                    "minProperties": 1,
                },
            ],
        },
        "settings": {
            "title": "Settings",
            "description": "What can be changed on the finished frame, by name: parts, points of the "
            "suspension, a shock, by dotted paths or nested",
            "examples": [{"low": {"suspension.points.rocker_shock.above": 60}}],
            "anyOf": [
                {"type": "null"},
                {
                    "type": "object",
                    "patternProperties": {f"^({SETTING_NAME})$": changes},
                    "additionalProperties": False,
                    "maxProperties": MOST,
                },
            ],
        },
    }


def _nodes() -> list[str]:
    from frame3d.parameters.models.junctions import TARGETS

    return list(TARGETS)


def _given_asks(key: str, other: str) -> dict[str, Any]:
    """Return a schema in which `key` and `other` must both be given or both be left out."""

    def given(name: str) -> dict[str, Any]:
        return {"required": [name], "properties": {name: {"not": {"type": "null"}}}}

    return {"if": given(key), "then": given(other), "else": {"not": given(other)}}


def _both(key: str, other: str) -> dict[str, Any]:
    """Return a schema that requires both keys."""
    present = {"not": {"type": "null"}}
    return {"required": [key, other], "properties": {key: present, other: present}}
