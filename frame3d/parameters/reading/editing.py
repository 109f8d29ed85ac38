"""Change numbers in the text of a parameter file; all other text stays as it is."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache, partial
from types import MappingProxyType
from typing import Final

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.number_places import own_scalars

_NUMBER: Final = re.compile(r"([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))(%?)")
LARGEST: Final = 1e9
"""Size of a number that can be changed by itself; no figure of a bike comes near it."""
DECIMALS: Final = 10
"""Largest number of digits after the point in written numbers."""


@dataclass(frozen=True, slots=True)
class EditableNumber:
    """A scalar value and its place in the text."""

    path: str
    """Dotted, with numbers for places in a list."""
    text: str
    """The value without quotes."""
    line: int
    """1-based."""
    start: int
    end: int
    """First and last offset in the text, quotes included."""
    plain: bool
    """Whether it is written without quotes."""

    @property
    def number(self) -> float | None:
        """Its value; None unless it is a decimal number or percentage of a size that a file may hold."""
        found = _NUMBER.fullmatch(self.text) if self.plain else None
        value = math.inf if found is None else float(found[1])
        return value if abs(value) <= LARGEST else None

    @property
    def mark(self) -> str:
        """``%`` for a percentage, else empty."""
        return "%" if self.text.endswith("%") else ""


@lru_cache(maxsize=16)
def scalars(text: str) -> Mapping[str, EditableNumber]:
    """Return the scalars of a text by path, without those that anchors or merge keys share.

    Raises:
        SpecError: the text is no YAML that a parameter file may be.
    """
    root = tree.parse(text, partial(SourceLocation, "<text>")).root
    found: dict[str, EditableNumber] = {}
    for path, one in own_scalars(root):
        line = one.place.line or 0
        found.setdefault(path, EditableNumber(path, one.text, line, *one.span, one.plain))
    return MappingProxyType(found)


@lru_cache(maxsize=16)
def numbers(text: str) -> Mapping[str, EditableNumber]:
    """Return those of the scalars that are numbers, except the format's version.

    Raises:
        SpecError: as `scalars`.
    """
    return MappingProxyType(
        {
            path: scalar
            for path, scalar in scalars(text).items()
            if scalar.number is not None and path != "format"
        }
    )


def with_numbers(text: str, values: Mapping[str, float]) -> str:
    """Return the text with new numbers by path; comments beside them keep their columns.

    Raises:
        SpecError: the text is no YAML, or no number stands at a path.
    """
    if not values:
        return text
    known = numbers(text)
    lost = [path for path in values if path not in known]
    if lost:
        raise SpecError(
            Fault(
                "override",
                path,
                "no number stands here that could be changed by itself",
                "write one in the text; what an anchor or an alias stands for is changed there too",
                SourceLocation("<text>"),
            )
            for path in lost
        )
    return with_texts(
        text,
        {
            (known[path].start, known[path].end): written(value, known[path].text)
            for path, value in values.items()
        },
    )


def with_texts(text: str, pieces: Mapping[tuple[int, int], str]) -> str:
    """Return the text with other pieces; comments beside them keep their columns.

    Args:
        text: of a file.
        pieces: by first and last offset, what is to stand there; none overlaps another.
    """
    for start, end in sorted(pieces, reverse=True):
        new = pieces[start, end]
        rest_of_line = re.compile(r"[^\r\n]*").match(text, end)
        assert rest_of_line is not None
        after = _shifted(rest_of_line[0], end - start - len(new))
        text = text[:start] + new + after + text[rest_of_line.end() :]
    return text


def written(value: float, like: str) -> str:
    """Return a number as text for a file, with a point and a percent sign where `like` has them."""
    # By way of a decimal: the digits of a float beyond its shortest text mean nothing.
    shown = f"{Decimal(repr(value)):.{DECIMALS}f}".rstrip("0").rstrip(".")
    if shown in ("-0", ""):
        shown = "0"
    if "." in like and "." not in shown:
        shown += ".0"
    return shown + ("%" if like.endswith("%") else "")


def _shifted(rest: str, by: int) -> str:
    """Return the rest of a line with `by` more characters before its comment, one at least.

    Quoted text may contain what looks like a comment: such a line is not changed.
    """
    found = re.search(r" +#", rest)
    if found is None or re.search("[\"']", rest[: found.start()]):
        return rest
    room = max(1, found.end() - found.start() - 1 + by)
    return rest[: found.start()] + " " * room + rest[found.end() - 1 :]
