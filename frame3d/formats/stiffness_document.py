"""Stiffness of frames as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from frame3d.caution import CAUTION

if TYPE_CHECKING:
    from frame3d.family.stiffnesses import Stiffnesses
    from frame3d.stiffness.comparison import Comparison
    from frame3d.stiffness.load_cases import LoadCase
    from frame3d.stiffness.of_bike import Stiffness


def stiffness_document(found: Stiffnesses) -> dict[str, Any]:
    """Return frames with their load cases, ratios to the first, and what a gram would do to it."""
    reference = found.members[0].label
    frames = []
    comparisons: tuple[Comparison | None, ...] = (None, *found.comparisons)
    for member, result, beside in zip(found.members, found.results, comparisons, strict=True):
        frames.append(
            {"label": member.label, "name": member.title, **_frame(result), **_beside(beside)}
        )
    return {
        "reference": reference,
        "load_cases": [_case(one.case) for one in found.results[0].cases],
        "frames": frames,
        "gains": [
            {
                "tube": gain.tube,
                "size": gain.size,
                "more_mm": gain.more,
                "grams": gain.grams,
                "percent": dict(gain.percent),
            }
            for gain in found.gains
        ],
        "caution": CAUTION,
    }


def _frame(result: Stiffness) -> dict[str, Any]:
    return {
        "travel_mm": result.model.travel,
        "mass_g": result.frame_mass,
        "bridges": list(result.model.bridges),
        "cases": {
            one.case.key: {
                "stiffness": one.stiffness,
                "unit": one.case.unit,
                "per_kg": 1000.0 * one.stiffness / result.frame_mass,
                "energy_share": dict(one.energy),
            }
            for one in result.cases
        },
        "assumptions": list(result.assumptions),
        "left_out": list(result.left_out),
    }


def _beside(beside: Comparison | None) -> dict[str, Any]:
    """Return the ratios to the reference; none for the reference itself."""
    if beside is None:
        return {}
    return {
        "same_shape": beside.alike,
        "mass_ratio": beside.mass_ratio,
        "ratios": ratios_document(beside),
    }


def ratios_document(beside: Comparison) -> dict[str, Any]:
    """Return each load case's ratio to the reference, with its band and what it says."""
    return {
        one.case.key: {
            "ratio": one.value,
            "low": one.low,
            "high": one.high,
            "verdict": one.verdict,
        }
        for one in beside.ratios
    }


def _case(case: LoadCase) -> dict[str, Any]:
    return {
        "key": case.key,
        "title": case.title,
        "held": case.held,
        "loaded": case.loaded,
        "read": case.read,
        "unit": case.unit,
    }
