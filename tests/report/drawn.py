"""Reading drawings back."""

from __future__ import annotations

import re
from collections.abc import Sequence

from frame3d.report.markup import Markup


def numbers(data: str) -> list[float]:
    """Every number in a path's data."""
    return [float(x) for x in re.findall(r"-?\d+(?:\.\d+)?", data)]


def lines(marks: Sequence[Markup], class_: str) -> list[list[tuple[float, float]]]:
    """Corners of every path of a class, y downward as in SVG."""
    found = []
    for mark in marks:
        match = re.fullmatch(rf'<path d="([^"]*)" class="{class_}"></path>', mark)
        if match is not None:
            x = numbers(match.group(1))
            found.append(list(zip(x[::2], x[1::2], strict=True)))
    return found
