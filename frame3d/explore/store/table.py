"""Results as a table: one row a design, its columns those of the study."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Final

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.store.question import plain
from frame3d.explore.study.study import Study, written

DIGITS: Final = 9
"""Significant digits of measured numbers."""


def head(study: Study) -> tuple[str, ...]:
    """Return the names of the columns: what varies, what is measured, what falls short, the verdict."""
    measured = [
        f"{label} ({one.quantity.unit})" if one.quantity.unit else label
        for label, one in study.by_label.items()
    ]
    misses = [f"{wish.label} short by" for wish in study.wishes]
    paths = [f"{v.path} (%)" if getattr(v, "percent", False) else v.path for v in study.varied]
    return (
        *paths,
        *measured,
        *misses,
        "other shortfalls",
        "feasible",
        "total",
        "stage",
        "rejected by",
        "fault",
    )


def rows(study: Study, evaluations: Iterable[Evaluation]) -> Iterator[tuple[str, ...]]:
    """Yield a row of text for each result, in their order; what is not known is left empty."""
    for one in evaluations:
        yield (
            *(written(value) for value in plain(one.design)),
            *(number(one.values.get(label)) for label in study.by_label),
            *(number(one.shortfalls.get(wish.label)) for wish in study.wishes),
            _others(study, one),
            "yes" if one.feasible else "no",
            number(one.total),
            one.stage,
            one.rejected_by or "",
            one.fault or "",
        )


def _others(study: Study, one: Evaluation) -> str:
    """Return what falls short beside wishes, checks and faults, each with how far."""
    wishes = {wish.label for wish in study.wishes}
    others = {label: miss for label, miss in one.shortfalls.items() if label not in wishes}
    return "; ".join(
        f"{label} {number(miss)}" for label, miss in sorted(others.items()) if miss > 0
    )


def number(value: float | None) -> str:
    """Return a number with `DIGITS` significant digits, without exponent; empty where there is none."""
    if value is None or math.isnan(value):
        return ""
    if math.isinf(value):
        return "infinite" if value > 0 else "minus infinite"
    shown = Decimal(f"{value + 0.0:.{DIGITS}g}")
    return f"{shown.normalize():f}" if shown else "0"
