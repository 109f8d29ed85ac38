"""JSON Schema of the parameter file, for completion and checks in editors."""

from __future__ import annotations

from typing import Any, Final

from frame3d.parameters.models.frame import FrameSpec

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a parameter file.

    It accepts all files that the reader accepts, and refuses what is wrong with a single value
    or mapping at a time.
    """
    made = FrameSpec.model_json_schema(mode="validation", ref_template="#/$defs/{model}")
    definitions: dict[str, Any] = made["$defs"]
    for name, model in {"FrameSpec": made, **definitions}.items():
        _tidy(name, model)
    _tubes(made)
    definitions["ForkSpec"].update(
        _given_asks("axle_to_crown", "measured"), description="Fork: length, offset, travel."
    )
    definitions["JunctionSpec"]["not"] = _both("on", "at")
    made.update(
        title="frame3d parameter file",
        description="One bike: its chart figures, its parts, its tubes. Millimetres and degrees.",
    )
    return {"$schema": DIALECT, **made}


def _tidy(name: str, model: dict[str, Any]) -> None:
    """Simplify titles and descriptions, and allow null for optional keys, which counts as absent."""
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
    no_end: dict[str, Any] = {
        "end": absent,
        "bends": {"enum": [None, []]},
        "pair": {"enum": [None, False]},
    }
    tubes.update(
        properties={
            "head_tube": {**tube, "properties": {"start": absent, **no_end}},
            "seat_tube": {**tube, "properties": no_end},
        },
        additionalProperties={
            **tube,
            "properties": {"start": {"type": "object"}, "end": {"type": "object"}},
            "required": ["start", "end"],
        },
        propertyNames={"pattern": r"^[a-z][a-z0-9_]{0,59}$", "not": {"enum": _nodes()}},
    )


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
