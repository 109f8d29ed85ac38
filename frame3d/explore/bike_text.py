"""Write a design as a parameter file of its own: the bike's text with its values, comments kept."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from frame3d.errors import Fault, OutputError, SpecError
from frame3d.explore.study.study import Design, Study, written
from frame3d.parameters.reading.editing import scalars
from frame3d.parameters.reading.number_places import number_places
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.reader import loads

_SCHEMA = "# yaml-language-server:"


def bike_text(study: Study, design: Design, said: Sequence[str] = ()) -> str:
    """Return the parameter file of a design.

    Values are changed where they stand. Where that does not do (a key that the file lacks, a value that
    an anchor shares), the file is written anew with its comments, perhaps laid out otherwise. Either way
    it reads as the same bikes as the study's file with the design's changes.

    Args:
        study: what the design is of.
        design: its values.
        said: lines of a comment at the top.

    Raises:
        OutputError: no such file reads as the same bikes.
    """
    wanted = _specs(study, study.bike_text, study.sets(design))
    for text in _texts(study, design):
        try:
            same = _specs(study, text, ()) == wanted
        except SpecError:
            continue
        if same:
            return _headed(text, said)
    raise OutputError(
        Fault(
            "output",
            "",
            f"the values cannot be written into {study.bike_source}",
            f"give them by hand: {' '.join(f'--set {typed}' for typed in study.sets(design))}",
        )
    )


def _specs(study: Study, text: str, sets: Sequence[str]) -> list[dict[str, Any]]:
    """Return the values of the bikes of a text, of every size that the study serves."""
    source = study.bike_source
    return [loads(text, source, sets, size=size).model_dump() for size in study.sizes]


def _texts(study: Study, design: Design) -> Iterator[str]:
    """Yield texts that may do: with values changed in place, then written anew."""
    text = study.bike_text.removeprefix("\ufeff")
    edited = _edited(study, text, design)
    if edited is not None:
        yield edited
    anew = _anew(study, text, design)
    if anew is not None:
        yield anew


def _edited(study: Study, text: str, design: Design) -> str | None:
    """Return the text with values changed where they stand; None where one stands nowhere."""
    places = number_places(text, study.sizes[0])
    there = scalars(text)
    spans: list[tuple[int, int, str]] = []
    for varied, value in zip(study.varied, design, strict=True):
        path = ".".join(steps_of(varied.path))
        new = varied.text(value)
        if path not in there and path in places:
            place = places[path]
            if not isinstance(value, str):
                new = written(float(place.in_file(Decimal(written(value)))))
                new += "%" if varied.percent else ""
            path = place.written
        if path not in there:
            return None
        spans.append((there[path].start, there[path].end, new))
    for start, end, new in sorted(spans, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _anew(study: Study, text: str, design: Design) -> str | None:
    """Return the file written anew, with its comments; None where the library cannot."""
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    try:
        data = yaml.load(text)
        for varied, value in zip(study.varied, design, strict=True):
            new: Any = YAML(typ="safe", pure=True).load(varied.text(value))
            _put(data, steps_of(varied.path), new)
        out = io.StringIO()
        yaml.dump(data, out)
    except (YAMLError, KeyError, IndexError, TypeError, ValueError):
        return None
    return out.getvalue()


def _put(here: Any, steps: Sequence[str], value: Any) -> None:
    """Put a value at a path below a mapping or list; what is missing on the way is made."""
    step: Any = int(steps[0]) if isinstance(here, list) else steps[0]
    if len(steps) == 1:
        here[step] = value
        return
    if isinstance(here, dict) and step not in here:
        here[step] = {}
    _put(here[step], steps[1:], value)


def _headed(text: str, said: Sequence[str]) -> str:
    """Return a text with a comment at its top, below a line that tells editors its schema."""
    head = "".join(f"# {line}".rstrip() + "\n" for line in said)
    if not head:
        return text
    if text.startswith(_SCHEMA):
        first, _, rest = text.partition("\n")
        return f"{first}\n{head}{rest}"
    return head + text
