"""Sections and walls."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from frame3d.parameters.models.forks.built import BladesSpec, SteererSpec
from frame3d.parameters.models.profiles import ButtedSpec, OutsideField, smallest
from tests.parameters.faults import GEO, Row, hold, row, row_name, tube

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
    row(
        tube(
            "od: {steps: [50, 46, 50], lengths: [20], transition: 5}, wall: 1, start: {at: [1, 2, 3]}, "
            "end: {on: head_tube, angle: 70}"
        ),
        "inconsistent",
        "tubes.brace.od.lengths",
        "[20]",
        "3 outsides need 2 lengths, there is 1",
        "first and last length",
    ),
    row(
        GEO + "tubes: {head_tube: {od: {stations: [[-20, 46], [0, 50]]}, wall: 1}}\n",
        "inconsistent",
        "tubes.head_tube.od.stations.1",
        "[0, 50]",
        "counts from the start, and stands behind a place that counts from the end",
        "come first",
    ),
    row(
        GEO + "tubes: {head_tube: {od: {stations: [[20, 46], [10, 50]]}, wall: 1}}\n",
        "inconsistent",
        "tubes.head_tube.od.stations.1",
        "[10, 50]",
        "does not lie behind the one before it, 20",
        "in the order",
    ),
    row(
        GEO + "tubes: {head_tube: {od: 50, wall: {bore: 51}}}\n",
        "section",
        "tubes.head_tube.wall.bore",
        "51",
        "leaves no metal in a tube of 50 mm",
        "less than 50",
    ),
    row(
        GEO
        + "tubes: {head_tube: {od: {start: 50, end: {height: 40, width: 42}}, wall: {bore: 32}}}\n",
        "section",
        "tubes.head_tube.wall.bore",
        "32",
        "oval (od.end)",
        "wall: 0.9",
    ),
    row(
        GEO + "tubes: {head_tube: {od: 50, wall: {butted: [2, 1], lengths: [30], transition: 5, "
        "as_sold: 200}}}\n",
        "missing-key",
        "tubes.head_tube.wall",
        "{butted",
        "at which end",
        "cut: {start: 0}",
    ),
    row(
        GEO
        + "tubes: {head_tube: {od: 50, wall: 2, dimples: [{at: 50, over: 9, transition: 5}]}}\n",
        "missing-key",
        "tubes.head_tube.dimples.0",
        "{at: 50",
        "neither width nor height",
        "beside a tyre",
    ),
    row(
        GEO + "tubes: {head_tube: {od: 50, wall: 12, dimples: [{at: 50, over: 9, transition: 5, "
        "width: 23}]}}\n",
        "section",
        "tubes.head_tube.wall",
        "12",
        "leaves no bore in a tube of 23 mm",
        "less than 11.5",
    ),
    row(
        GEO
        + "tubes: {head_tube: {od: 50, wall: 2, dimples: [{at: 50, over: 9, transition: 5, width: 30}"
        ", {at: 40, over: 9, transition: 5, width: 31}]}}\n",
        "inconsistent",
        "tubes.head_tube.dimples.1.at",
        "40",
        "comes before the dimple before it, at 50",
        "order",
    ),
    row(
        tube("od: {height: 40, width: 30, corner: 15}, wall: 2, end: {on: head_tube, angle: 70}"),
        "section",
        "tubes.brace.od.corner",
        "15}",
        "corners of 15 mm leave no straight side of 30 mm",
        "less than 15 mm",
    ),
    row(
        tube("od: {height: 20, width: 36, corner: 4, flat: below}, wall: 2"),
        "section",
        "tubes.brace.od.height",
        "20,",
        "leave no room for a half round of 18 mm and corners of 4 mm",
        "more than 22.05 mm",
    ),
    row(
        tube("od: {height: 40, width: 20, corner: 12, flat: above}, wall: 2"),
        "section",
        "tubes.brace.od.corner",
        "12,",
        "leave nothing flat on a side of 20 mm",
        "less than 10 mm",
    ),
    row(
        tube("od: {height: 40, width: 30, corner: 2}, wall: 2.5"),
        "section",
        "tubes.brace.od.corner",
        "2}",
        "corners of 2 mm leave the bore none in a wall of 2.5 mm",
        "over 2.55 mm",
    ),
    row(
        tube(
            "od: {height: 40, width: 30, corner: 4}, wall: 2, "
            "dimples: [{at: 50, over: 9, transition: 5, width: 20}]"
        ),
        "section",
        "tubes.brace.dimples",
        "[{at",
        "a rectangular section is not pressed flat",
        "give the sizes along the tube",
    ),
    row(
        tube("od: {height: 40, width: 30, corner: 4, flat: inside}, wall: 2"),
        "section",
        "tubes.brace.od.flat",
        "inside",
        "inside of what?",
        "below or above, or pair: true",
    ),
    row(
        tube("od: {height: 40, width: 40, corner: 4}, wall: {bore: 20}"),
        "section",
        "tubes.brace.wall.bore",
        "20}",
        "a round bore needs a round outside",
        "a wall, e.g. wall: 2",
    ),
    row(
        tube("od: {start: {height: 40, width: 40, corner: 4}, end: 30}, wall: 2"),
        "section",
        "tubes.brace.od.end",
        "30}",
        "round here, and a rectangle at start",
        "a rectangle with corners of nearly half its size",
    ),
    row(
        tube(
            "od: {start: {height: 40, width: 30, corner: 4}, end: {height: 30, width: 30, corner: 2}}, "
            "wall: 2"
        ),
        "section",
        "tubes.brace.od.end.corner",
        "2}}",
        "corners of 2 mm leave the bore none in a wall of 2 mm",
        "over 2.05 mm",
    ),
    row(
        tube(
            "od: {start: {height: 40, width: 30, corner: 4, flat: below}, "
            "end: {height: 30, width: 30, corner: 4, flat: above}}, wall: 2"
        ),
        "section",
        "tubes.brace.od.end",
        "{height: 30",
        "a D with its flat above here, and a D with its flat below at start",
        "a rectangle with corners",
    ),
    row(
        GEO + "tubes: {seat_tube: {od: {height: 36, width: 32, corner: 4}, wall: 2}}\n",
        "section",
        "tubes.seat_tube.od",
        "{height",
        "the seatpost needs a round seat tube",
        "a diameter",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


SIZES = st.floats(0.5, 150).map(lambda d: round(d, 1))
DIAMETERS = st.one_of(SIZES, st.fixed_dictionaries({"height": SIZES, "width": SIZES}))
OUTSIDES = st.one_of(
    DIAMETERS,
    st.fixed_dictionaries({"start": DIAMETERS, "end": DIAMETERS}),
    st.builds(
        lambda a, b: {"steps": [a, b], "lengths": [200.0], "transition": 200.0},
        DIAMETERS,
        DIAMETERS,
    ),
    st.builds(lambda a, b: {"stations": [[160.0, a], [170.0, b]]}, DIAMETERS, DIAMETERS),
)
OUTSIDE: TypeAdapter[Any] = TypeAdapter(OutsideField)


def numbers(said: Any) -> list[float]:
    """Every number in what a file says of an outside."""
    if isinstance(said, dict | list):
        values = said.values() if isinstance(said, dict) else said
        return [n for v in values for n in numbers(v)]
    return [said]


def lists(said: Any) -> Any:
    """Tuples as lists, as a file has them."""
    if isinstance(said, dict):
        return {key: lists(value) for key, value in said.items()}
    return [lists(item) for item in said] if isinstance(said, tuple | list) else said


@settings(max_examples=80, deadline=None)
@given(OUTSIDES)
def test_any_outside_is_read_as_its_own_kind_and_its_least_size_found(said: Any) -> None:
    read = OUTSIDE.validate_python(said)
    assert smallest(read) == min(numbers(said))
    back = read.model_dump(exclude_unset=True) if isinstance(said, dict) else read
    assert lists(back) == said


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


@pytest.mark.parametrize("model", [BladesSpec, SteererSpec])
def test_a_fork_is_not_made_of_rectangles(model: type[BladesSpec | SteererSpec]) -> None:
    rectangle = {"height": 30, "width": 30, "corner": 4}
    for od in (rectangle, {"start": rectangle, "end": rectangle}):
        with pytest.raises(ValidationError, match="round or oval here"):
            model.model_validate({"od": od})
