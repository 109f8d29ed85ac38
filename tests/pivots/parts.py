"""Pieces of pivots by name, and bikes that cannot have them, for tests."""

from __future__ import annotations

from typing import TypeVar

import pytest

from frame3d.bike.bike import Bike
from frame3d.errors import FrameError
from frame3d.tubes.hardware import Housing, LinkPlate, Lug
from tests.linked import FRONT, layout

Kind = TypeVar("Kind", Housing, Lug, LinkPlate)
Faulty = tuple[tuple[str, str, str], str, str, str, str]
"""Arguments of `layout`, then code, path, words of the message and of the hint."""


def part(of: Bike, kind: type[Kind], name: str) -> Kind:
    """Return one piece."""
    found = next(item for item in of.pivots if item.name == name)
    assert isinstance(found, kind)
    return found


def assert_fault(case: Faulty) -> None:
    """That a bike has this fault, at a line of its own."""
    bike, code, path, words, way = case
    with pytest.raises(FrameError) as caught:
        layout(*bike)
    fault = next(f for f in caught.value.faults if f.code == code)
    assert fault.path == path
    assert words in fault.message
    assert way in fault.hint
    assert fault.place is not None
    assert fault.place.line is not None
    assert fault.place.line > FRONT.count("\n")
