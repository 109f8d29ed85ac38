"""JSON Schema of studies, for completion and checks in editors."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import models_json_schema

from frame3d.explore.study.models import (
    ChartLimitsSpec,
    CurveLimitsSpec,
    LimitsSpec,
    PreferenceSpec,
    StudySpec,
    VariedSpec,
)
from frame3d.explore.study.quantities import (
    CHECKS,
    GAP,
    KINDS,
    RIDE,
    STIFFNESS,
    STIFFNESS_UNITS,
    Kind,
)
from frame3d.explore.study.study import ALL
from frame3d.parameters.reading.schema import DIALECT, tidy
from frame3d.parameters.requirements import REQUIREMENTS

_MODELS = (StudySpec, VariedSpec, LimitsSpec, ChartLimitsSpec, CurveLimitsSpec, PreferenceSpec)
_ABOVE_0 = {"anyOf": [{"exclusiveMinimum": 0}, {"type": "null"}]}
_STIFFNESS_LIMITS = {
    "allOf": [{"$ref": "#/$defs/LimitsSpec"}, {"properties": {"from": _ABOVE_0, "to": _ABOVE_0}}]
}
_EXTRA = r"^extra\.[0-9]+$"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a study.

    It accepts all studies that the reader accepts, and refuses what is wrong with a single value or
    mapping at a time, whatever the bike's file.
    """
    made = models_json_schema(
        [(model, "validation") for model in _MODELS], ref_template="#/$defs/{model}"
    )[1]
    definitions: dict[str, Any] = made["$defs"]
    for name, model in definitions.items():
        tidy(name, model)
    whole: dict[str, Any] = definitions.pop("StudySpec")
    sections = whole["properties"]
    sections["vary"] = _said(sections["vary"]) | _vary()
    sections["wishes"] = _said(sections["wishes"]) | {"anyOf": [_wishes(), {"type": "null"}]}
    sections["prefer"] = _said(sections["prefer"]) | {
        "anyOf": [*_one_or_several("PreferenceSpec"), {"type": "null"}]
    }
    whole.update(
        title="frame3d study",
        description="What of a bike's file may vary, what must hold, and what is better.",
    )
    return {"$schema": DIALECT, "$defs": definitions, **whole}


def _said(section: dict[str, Any]) -> dict[str, Any]:
    """Return title and description of a section."""
    return {key: section[key] for key in ("title", "description") if key in section}


def _ref(name: str) -> dict[str, Any]:
    return {"$ref": f"#/$defs/{name}"}


def _one_or_several(name: str) -> list[dict[str, Any]]:
    """Return the schemas of one of a model, and of a list of them."""
    return [_ref(name), {"type": "array", "items": _ref(name), "minItems": 1}]


def _vary() -> dict[str, Any]:
    values = {"type": "array", "items": {"type": ["number", "string"]}, "minItems": 1}
    return {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 200,
        "additionalProperties": {"anyOf": [_ref("VariedSpec"), values]},
        "examples": [{"suspension.points.main_pivot.from_start": {"from": 55, "to": 95}}],
    }


def _wishes() -> dict[str, Any]:
    checks = {"anyOf": [{"enum": list(REQUIREMENTS)}, {"type": "string", "pattern": _EXTRA}]}
    return {
        "type": "object",
        "maxProperties": 500,
        "properties": {
            **{name: _of_kind(kind) for name, kind in KINDS.items()},
            CHECKS: {
                "title": "Checks",
                "description": "all, or names of checks that must pass",
                "anyOf": [
                    {"const": ALL},
                    checks,
                    {"type": "array", "items": checks, "minItems": 1},
                ],
            },
            GAP: {
                "title": "Gap",
                "description": "Limits of single checks by name",
                "type": "object",
                "minProperties": 1,
                "propertyNames": checks,
                "additionalProperties": _ref("LimitsSpec"),
            },
            STIFFNESS[:-1]: {
                "title": "Stiffness",
                "description": "Limits of load cases by name [N/mm, N·m/°], as in stiffness --json",
                "type": "object",
                "minProperties": 1,
                "propertyNames": {"enum": list(STIFFNESS_UNITS)},
                "additionalProperties": _STIFFNESS_LIMITS,
            },
            RIDE[:-1]: {
                "title": "Ride",
                "description": "Figures of the ride by their names, as solve --ride --json has them",
                "type": "object",
                "additionalProperties": _ref("LimitsSpec"),
            },
        },
        "patternProperties": {
            rf"^{RIDE[:-1]}\.": _ref("LimitsSpec"),
            rf"^{STIFFNESS[:-1]}\.({'|'.join(STIFFNESS_UNITS)})$": _STIFFNESS_LIMITS,
        },
        "additionalProperties": False,
        "examples": [{"leverage": {"start": 3.0, "end": 2.4, "within": 0.05}, "checks": "all"}],
    }


def _of_kind(kind: Kind) -> dict[str, Any]:
    """Return the schema of the wishes for a quantity."""
    model = "LimitsSpec"
    if kind.has_place:
        model = "CurveLimitsSpec"
    elif kind.stage == "chart":
        model = "ChartLimitsSpec"
    unit = f" [{kind.unit}]" if kind.unit else ""
    return {
        "title": kind.title,
        "description": f"{kind.title}{unit}",
        "anyOf": _one_or_several(model),
    }
