"""A comparison as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from frame3d.caution import CAUTION
from frame3d.family.differences import (
    MEASURABLE,
    SLOPES,
    STEERING,
    SUSPENSION,
    Change,
    against_first,
    contact_figures,
    steering_figures,
    suspension_figures,
)
from frame3d.family.size_table import Row, size_table
from frame3d.formats.documents import fault_document, result_document, units, variant_document
from frame3d.formats.stiffness_document import ratios_document
from frame3d.report.comparing.sentences import sentence
from frame3d.report.texts import Texts
from frame3d.stiffness.comparison import side_by_side
from frame3d.stiffness.load_cases import CASES

if TYPE_CHECKING:
    from frame3d.family.measured import Measured
    from frame3d.family.members import Family, Member


def comparison_document(
    family: Family, measured: Sequence[Measured] | None, texts: Texts
) -> dict[str, Any]:
    """Return the bikes, their size table, and what differs from the first.

    Args:
        family: solved bikes.
        measured: of each of them; None where only figures are compared.
        texts: for the sentences.
    """
    table = size_table(family)
    own: Sequence[Measured | None] = [None] * len(table.columns) if measured is None else measured
    return {
        "bikes": [_bike(m, one) for m, one in zip(family.members, own, strict=True)],
        "size_table": {
            "columns": list(table.columns),
            "static": [_row(row) for row in table.static],
            "sagged": [_row(row) for row in table.sagged],
        },
        "against": family.first.label,
        "differences": {
            member.label: [_change(change, texts) for change in changes]
            for member, changes in against_first(family, measured)
        },
        "stiffness": None if measured is None else _stiffness(family, measured),
        "measurable": dict(MEASURABLE),
        "missing": {one.label: fault_document(one.faults) for one in family.missing},
        "ok": None if measured is None else all(one.report.ok for one in measured),
        "units": {
            **units(),
            "suspension": dict(SUSPENSION),
            "slopes": dict(SLOPES),
            "steering": dict(STEERING),
            "frame_g": "g",
            "stiffness": {case.key: case.unit for case in CASES},
        },
        "caution": CAUTION,
    }


def _bike(member: Member, measured: Measured | None) -> dict[str, Any]:
    bike, choice = member.bike, member.choice
    out = {
        "label": member.label,
        "name": bike.spec.name,
        "file": member.source.name,
        **variant_document(bike.spec),
        "sets": list(choice.sets),
        "swaps": list(choice.swaps),
        "pitch": bike.frame.pitch,
        "chart": dict(bike.chart),
        "sagged": None if bike.sagged is None else dict(bike.sagged.chart),
        "contacts": contact_figures(bike),
    }
    if measured is not None:
        moving, report = measured.travel, measured.report
        out |= {
            "suspension": None if moving is None else suspension_figures(moving),
            "slopes": dict(measured.slopes.figures) or None,
            "steering": steering_figures(measured.steering),
            "frame_g": measured.grams,
            "stiffness": None
            if measured.stiffness is None
            else {one.case.key: one.stiffness for one in measured.stiffness.cases},
            "checks": [result_document(result) for result in report.results],
            "ok": report.ok,
        }
    return out


def _stiffness(family: Family, measured: Sequence[Measured]) -> dict[str, Any] | None:
    """Return ratios to the first bike; None where there is nothing to compare."""
    labels = [member.label for member in family.members]
    shown = side_by_side(labels, [one.stiffness for one in measured])
    if shown is None:
        return None
    return {
        label: {
            "same_shape": one.alike,
            "mass_ratio": one.mass_ratio,
            "ratios": ratios_document(one),
        }
        for label, one in zip(labels, shown.comparisons, strict=True)
        if one is not None
    }


def _row(row: Row) -> dict[str, Any]:
    return {"figure": row.figure, "unit": row.unit, "values": list(row.values)}


def _change(change: Change, texts: Texts) -> dict[str, Any]:
    return {
        "of": change.kind,
        "name": change.name,
        "unit": change.unit,
        "before": change.before,
        "after": change.after,
        "change": change.delta,
        "says": sentence(change, texts),
    }
