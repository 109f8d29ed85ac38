"""Sections and walls."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from frame3d.parameters.models.profiles import ButtedSpec, OutsideField, smallest
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO
        + "tubes: {head_tube: {od: 30, wall: {butted: [1, 2], lengths: [3, 4], transition: 4}}}\n",
        "inconsistent",
        "tubes.head_tube.wall.lengths",
        (4, 61),
        "2 walls need 1 butt length, there are 2",
        "[start butt]",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: {butted: [1], lengths: [3], transition: 4}}}\n",
        "wrong-type",
        "tubes.head_tube.wall.butted",
        (4, 44),
        "at least 2 values",
        "[0.9, 0.6, 0.9]",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


SIZES = st.floats(0.5, 150).map(lambda d: round(d, 1))
DIAMETERS = st.one_of(SIZES, st.fixed_dictionaries({"height": SIZES, "width": SIZES}))
OUTSIDES = st.one_of(DIAMETERS, st.fixed_dictionaries({"start": DIAMETERS, "end": DIAMETERS}))
OUTSIDE: TypeAdapter[Any] = TypeAdapter(OutsideField)


def numbers(said: Any) -> list[float]:
    """Every number in what a file says of an outside."""
    return [n for v in said.values() for n in numbers(v)] if isinstance(said, dict) else [said]


@settings(max_examples=80, deadline=None)
@given(OUTSIDES)
def test_any_outside_is_read_as_its_own_kind_and_its_least_size_found(said: Any) -> None:
    read = OUTSIDE.validate_python(said)
    assert smallest(read) == min(numbers(said))
    assert (read.model_dump() if isinstance(said, dict) else read) == said


@pytest.mark.parametrize("walls", [1, 2, 3, 4])
@pytest.mark.parametrize("lengths", [0, 1, 2, 3])
def test_butts_lie_at_the_ends(walls: int, lengths: int) -> None:
    """Two walls: one butt. Three: a butt at either end."""
    data = {
        "butted": [0.9, 0.6, 0.9, 0.6][:walls],
        "lengths": [90, 120, 90][:lengths],
        "transition": 50,
    }
    if (walls, lengths) in ((2, 1), (3, 2)):
        assert len(ButtedSpec.model_validate(data).lengths) == lengths
    else:
        with pytest.raises(ValidationError):
            ButtedSpec.model_validate(data)
