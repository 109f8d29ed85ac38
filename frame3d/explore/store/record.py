"""A result as text that reads back as the same result, digit for digit."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.store.question import plain
from frame3d.explore.study.study import Design, Study


def written(evaluation: Evaluation) -> str:
    """Return a result without its design as one line of JSON; the same for equal results."""
    data = {
        field.name: _data(getattr(evaluation, field.name))
        for field in fields(evaluation)
        if field.name != "design"
    }
    return json.dumps(data, sort_keys=True, ensure_ascii=True, separators=(",", ":"))


def _data(value: Any) -> Any:
    return dict(value) if isinstance(value, Mapping) else value


def read(text: str, design: Design) -> Evaluation:
    """Return the result of a design from its line of JSON."""
    data: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value
        for name, value in json.loads(text).items()
    }
    return Evaluation(design=design, **data)


def design_written(study: Study, design: Design) -> str:
    """Return a design as one line of JSON, by path."""
    paths = (varied.path for varied in study.varied)
    by_path = dict(zip(paths, plain(design), strict=True))
    return json.dumps(by_path, sort_keys=True, ensure_ascii=True, separators=(",", ":"))


def design_read(study: Study, text: str) -> Design:
    """Return a design, in the order of the study, from its line of JSON."""
    by_path = json.loads(text)
    return tuple(by_path[varied.path] for varied in study.varied)
