"""What the scripts of an exploration's page need, as plain data."""

from __future__ import annotations

from typing import Any, Final

from frame3d.report.exploring.axes import Axis, stop_title
from frame3d.report.exploring.sections import Page, limits, standing

DIGITS: Final = 5
"""Significant digits of values."""
AXES: Final = 10
"""How many axes are shown at first."""


def document(page: Page) -> dict[str, Any]:
    """Return axes, values by axis, what each design is, side views, and words."""
    rows, study = page.shown.rows, page.exploration.study
    front = set(page.shown.front)
    stops = sorted({one.rejected_by for one in rows if one.rejected_by is not None})
    at = {label: i for i, label in enumerate(stops)}
    drawn = page.pictures
    return {
        "axes": [
            _axis(axis, page, shown=i in _first(page.axes)) for i, axis in enumerate(page.axes)
        ],
        "columns": [[_rounded(value) for value in column] for column in page.columns],
        "groups": "".join(
            "f" if i in front else "m" if one.feasible else "x" for i, one in enumerate(rows)
        ),
        "stops": [stop_title(label, study, page.texts) for label in stops],
        "stopped": [
            None if one.feasible or one.rejected_by is None else at[one.rejected_by] for one in rows
        ],
        "verdicts": [standing(page, i) for i in range(len(page.exploration.best))],
        "shapes": [] if drawn is None else [list(shape) for shape in drawn.shapes],
        "bikes": [] if drawn is None else [list(bike) for bike in drawn.bikes],
        "window": "" if drawn is None else drawn.window,
        "scatter": _pair(page.axes),
        "says": _says(page),
        "texts": {key: page.texts.section(key) for key in ("number", "unit")},
    }


def _axis(axis: Axis, page: Page, *, shown: bool) -> dict[str, Any]:
    return {
        "title": axis.title,
        "short": axis.short,
        "unit": axis.unit,
        "role": axis.role,
        "low": axis.low,
        "high": axis.high,
        "names": list(axis.names),
        "decimals": axis.decimals,
        "asked": limits(axis, page),
        "shown": shown,
    }


def _first(axes: tuple[Axis, ...]) -> set[int]:
    """Return which axes are shown at first: half of the room for values at least, if there are more."""
    varied = [i for i, axis in enumerate(axes) if axis.role == "varied"]
    others = [i for i, axis in enumerate(axes) if axis.role != "varied"]
    room = max(AXES // 2, AXES - len(others))
    taken = varied[:room]
    return {*taken, *others[: AXES - len(taken)]}


def _pair(axes: tuple[Axis, ...]) -> tuple[int, int]:
    """Return the axes of the scatter at first: the first two preferences, else what there is."""
    order = {"preference": 0, "wish": 1, "varied": 2}
    ranked = sorted(range(len(axes)), key=lambda i: order[axes[i].role])
    return (ranked[0], ranked[1] if len(ranked) > 1 else ranked[0])


def _rounded(value: float | None) -> float | int | None:
    if value is None:
        return None
    short = float(f"{value:.{DIGITS}g}")
    return int(short) if short == int(short) else short


def _says(page: Page) -> dict[str, str]:
    """Return the texts that scripts fill in."""
    texts = page.texts
    return {
        "design": texts("exploring.design"),
        "side": texts("exploring.side"),
        "meets": texts("exploring.meets"),
        "misses": texts("exploring.misses"),
        "stopped_by": texts("exploring.stopped_by"),
        "count": texts("exploring.count"),
        "all": texts("exploring.all"),
        "clear": texts("exploring.clear"),
        "show_best": texts("exploring.show_best"),
        "f": texts("exploring.group.f"),
        "m": texts("exploring.group.m"),
        "x": texts("exploring.group.x"),
        "across": texts("exploring.across"),
        "upward": texts("exploring.upward"),
        "from": texts("exploring.limits.from"),
        "to": texts("exploring.limits.to"),
        "from_of": texts("exploring.limits.from_of"),
        "to_of": texts("exploring.limits.to_of"),
    }
