"""What every fault of reading a file must be: its code, path, line and caret, and a way out that helps."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from frame3d.errors import Fault, SpecError
from frame3d.parameters import loads

HEAD = "format: 1\nname: Test\n"
GEO = HEAD + "geometry: {reach: 455}\n"
TUBE = "od: 20, wall: 1, end: {on: head_tube, angle: 70}"

Row = tuple[str, str, str, tuple[int, int] | None, str, str]
"""Text; code; path; line and column, or None for the whole file; part of the message, or parts between
bars; part of the hint."""
COMBINED = {"geometry.5", "tubes.no", "build.chainring.number"}
"""Paths of rows whose text has several faults on purpose."""


def faults(text: str, sets: tuple[str, ...] = ()) -> tuple[Fault, ...]:
    """All faults of a text; fails where there is none."""
    with pytest.raises(SpecError) as caught:
        loads(text, "bike.yaml", sets)
    return tuple(caught.value.faults)


def tube(body: str) -> str:
    """A file with one tube, on its line 5."""
    return GEO + "tubes:\n  brace: {" + body + "}\n"


def at(text: str, part: str) -> tuple[int, int]:
    """Line and column, from 1, of the one place where `part` stands in a text."""
    assert text.count(part) == 1, part
    before = text[: text.index(part)]
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def row(text: str, code: str, path: str, part: str, message: str, hint: str) -> Row:
    """A row whose fault is shown where `part` stands."""
    return text, code, path, at(text, part), message, hint


def row_name(given: Row) -> str:
    """A row's name in pytest's list."""
    return f"{given[1]}-{given[2] or ascii(given[0][-20:])}"


def hold(given: Row) -> None:
    """The text has the row's fault, shown with its line, and no other for the same mistake."""
    text, code, path, spot, message, hint = given
    found = faults(text)
    fault = next((f for f in found if (f.code, f.path) == (code, path)), None)
    assert fault is not None, [f.render() for f in found]
    assert any(part in fault.message for part in message.split("|")), fault.message
    assert hint
    assert hint in fault.hint
    assert fault.place is not None
    assert fault.place.source == "bike.yaml"
    shown = fault.render()
    assert shown.endswith(fault.hint)
    if spot is None:
        assert fault.place.line is None
        assert shown.startswith("bike.yaml: ")
    else:
        assert (fault.place.line, fault.place.column) == spot
        assert shown.startswith(f"bike.yaml:{spot[0]}:{spot[1]}: ")
        line = text.splitlines()[spot[0] - 1].replace("\t", " ")
        if len(line) < 200 and line.isprintable():
            assert f"| {line}\n" in shown
            caret = shown.splitlines()[2].index("^") - len("     1 | ")
            assert caret == spot[1] - 1
    if path not in COMBINED and text.count("\n") > 2 and "? [" not in text:
        assert len({f.path for f in found}) == 1, [f.render() for f in found]


def codes(*tables: Sequence[Row]) -> set[str]:
    """The codes of all rows."""
    return {given[1] for table in tables for given in table}
