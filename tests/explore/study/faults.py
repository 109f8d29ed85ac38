"""What every fault of a study must be: its code, path, line and caret, and a way out that helps."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.errors import Fault, SpecError
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"
FULL = (CONFIGS / "trail_full_140.yaml").read_text("utf-8")
HARDTAIL = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")
FAMILY = (CONFIGS / "families" / "trail_full.yaml").read_text("utf-8")

HEAD = "format: 1\nbike: bike.yaml\n"
REACH = HEAD + "vary: {geometry.reach: {from: 440, to: 490}}\n"

Row = tuple[str, str, str, str | None, str, str]
"""Text; code; path; the part of the text at which the fault is shown, None for the whole study; part of
the message; part of the hint."""


def vary(body: str, more: str = "wishes: {checks: all}\n") -> str:
    """A study that varies something, on its line 3."""
    return f"{HEAD}vary: {{{body}}}\n{more}"


def wishes(body: str) -> str:
    """A study with wishes, on its line 4."""
    return f"{REACH}wishes: {{{body}}}\n"


def read(text: str, bike: str = FULL) -> Study:
    """The study of a text."""
    return loads_study(text, "study.yaml", bike, "bike.yaml")


def faults(text: str, bike: str = FULL) -> tuple[Fault, ...]:
    """All faults of a text; fails where there is none."""
    with pytest.raises(SpecError) as caught:
        read(text, bike)
    return tuple(caught.value.faults)


def row_name(given: Row) -> str:
    """A row's name in pytest's list."""
    return f"{given[1]}-{given[2] or ascii(given[0][-20:])}-{given[4][:16]}"


def hold(given: Row, bike: str = FULL) -> None:
    """The text has the row's fault alone, shown with its line."""
    text, code, path, part, message, hint = given
    found = faults(text, bike)
    assert [(f.code, f.path) for f in found] == [(code, path)], [f.render() for f in found]
    fault = found[0]
    assert message in fault.message
    assert hint
    assert hint in fault.hint
    assert fault.place is not None
    assert fault.place.source == "study.yaml"
    if part is None:
        assert fault.place.line is None
        return
    assert text.count(part) == 1, part
    before = text[: text.index(part)]
    spot = (before.count("\n") + 1, len(before) - before.rfind("\n"))
    assert (fault.place.line, fault.place.column) == spot
