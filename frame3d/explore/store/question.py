"""When two results answer the same question, and the key of a design within it."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, fields, is_dataclass
from typing import Any, Final

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study, Value, Varied

_ROUND_OFF: Final = 1e-9
"""Share of a step, or of the size of a limit, that a value may be off."""


def question_of(study: Study, mode: str = "") -> str:
    """Return a name, 64 hexadecimal digits, that studies share whose designs have the same results.

    That is where the bike's text, the paths that vary, wishes, preferences, checks, sizes and settings
    are the same. Ranges, lists of values and samples may differ.

    Args:
        study: the study.
        mode: how designs are evaluated, where that changes results.
    """
    asked = {
        "bike": study.bike_text,
        "paths": sorted(varied.path for varied in study.varied),
        "wishes": [_plain(wish) for wish in study.wishes],
        "preferences": [_plain(preference) for preference in study.preferences],
        "checks": study.checks,
        "sizes": study.sizes,
        "settings": study.settings,
        "mode": mode,
        "record": [field.name for field in fields(Evaluation)],
    }
    text = json.dumps(asked, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _plain(one: Any) -> dict[str, Any]:
    """Return a wish or preference as plain data, without where it stands in the study."""
    assert is_dataclass(one)
    assert not isinstance(one, type)
    return {key: value for key, value in asdict(one).items() if key != "place"}


def plain(design: Design) -> Design:
    """Return a design with floats for numbers, and 0 for −0, so that equal ones have one text."""
    return tuple(value if isinstance(value, str) else float(value) + 0.0 for value in design)


def key_of(study: Study, design: Design) -> str:
    """Return a design's changes of the file, ``path=value``, sorted, one a line."""
    return "\n".join(sorted(study.sets(plain(design))))


def order_of(study: Study, design: Design) -> tuple[tuple[int, float, str], ...]:
    """Return what to sort designs by: value by value, numbers by size, names as the study lists them."""
    return tuple(_rank(v, value) for v, value in zip(study.varied, design, strict=True))


def _rank(varied: Varied, value: Value) -> tuple[int, float, str]:
    if not isinstance(value, str):
        return 0, float(value), ""
    if value in varied.values:
        return 1, float(varied.values.index(value)), value
    return 2, 0.0, value


def allows(study: Study, design: Design) -> bool:
    """Return whether each value is within its range and on its step, in its list, or the file's own."""
    return all(_allowed(v, value) for v, value in zip(study.varied, design, strict=True))


def _allowed(varied: Varied, value: Value) -> bool:
    if varied.start is not None and value == varied.start:
        return True
    if not varied.is_range:
        return value in varied.values
    if isinstance(value, str) or varied.low is None or varied.high is None:
        return False
    slack = _ROUND_OFF * max(1.0, abs(varied.low), abs(varied.high))
    if not varied.low - slack <= value <= varied.high + slack:
        return False
    if varied.step is None:
        return True
    steps = (value - varied.low) / varied.step
    return abs(steps - round(steps)) <= _ROUND_OFF * max(1.0, abs(steps))
