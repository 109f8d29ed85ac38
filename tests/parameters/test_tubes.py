"""Tubes: values of a tube, and between tubes and their names, that do not go together."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import frame3d
from frame3d.bike.solve import solve
from frame3d.errors import FrameError, SpecError
from frame3d.parameters import load, loads
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.tubes import TubeSpec
from tests.parameters.faults import GEO, TUBE, Row, hold, row_name, tube

ROWS: list[Row] = [
    (
        tube(f"start: {{on: seat_tube}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start",
        (5, 18),
        "where along seat_tube",
        "below_top",
    ),
    (
        tube(f"start: {{above_bottom: 50}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start.on",
        (5, 18),
        "above what",
        "the tube that it sits on",
    ),
    (
        tube(TUBE),
        "missing-key",
        "tubes.brace.start",
        (5, 10),
        "only head_tube and seat_tube",
        "start: {on",
    ),
    (
        GEO + "tubes: {head_tube: {od: 50, wall: 2, pair: true}}\n",
        "inconsistent",
        "tubes.head_tube.pair",
        (4, 44),
        "from the chart",
        "leave it out",
    ),
    (
        GEO + "tubes: {seat_tube: {od: 35, wall: 2, end: {on: head_tube, angle: 80}}}\n",
        "inconsistent",
        "tubes.seat_tube.end",
        (4, 43),
        "from the chart",
        "leave it out",
    ),
    (
        GEO + "tubes: {seat_tube: {od: 35, wall: 2, start: {at: [1, 2, 3]}}}\n",
        "inconsistent",
        "tubes.seat_tube.start",
        (4, 45),
        "from the chart",
        "{on: down_tube}",
    ),
    (
        GEO + "tubes: {head_tube: {od: {start: 60, end: 40}, wall: 20}}\n",
        "section",
        "tubes.head_tube.wall",
        (4, 53),
        "no bore in a tube of 40 mm",
        "less than 20 mm, or wall: solid",
    ),
    (
        GEO
        + "tubes: {head_tube: {od: 30, wall: {butted: [1, 16], lengths: [3], transition: 4}}}\n",
        "section",
        "tubes.head_tube.wall.butted.1",
        (4, 48),
        "no bore",
        "less than 15 mm",
    ),
    (
        tube(
            "bends: [{along: 9, radius: 4}, {along: 8, radius: 4}], "
            f"start: {{at: [1, 2, 3]}}, {TUBE}"
        ),
        "inconsistent",
        "tubes.brace.bends.1.along",
        (5, 50),
        "comes before the bend before it",
        "order",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: 1, bends: 5}}\n",
        "wrong-type",
        "tubes.head_tube.bends",
        (4, 45),
        "no list",
        "brackets",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: 1, bends: [5]}}\n",
        "wrong-type",
        "tubes.head_tube.bends.0",
        (4, 46),
        "mapping of keys",
        "along, y, rise, radius",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


CONFIGS = Path(frame3d.__file__).parent.parent / "configs"


def test_a_misspelt_pivot_is_asked_after() -> None:
    """Not: where along `main_pivott` the end sits."""
    text = (CONFIGS / "trail_full_140.yaml").read_text(encoding="utf-8")
    with pytest.raises(FrameError) as caught:
        solve(loads(text.replace("start: {on: main_pivot,", "start: {on: main_pivott,", 1)))
    (fault,) = caught.value.faults
    assert fault.code == "junction-target"
    assert "did you mean main_pivot?" in fault.hint


@pytest.mark.parametrize(
    ("bend", "key", "words"),
    [
        ("{along: 100, rise: 5, radius: 100}", "rise", "its last corner lies"),
        ("{along: 100, y: 5, radius: 100}", "y", "stays in the centre plane"),
    ],
)
def test_a_seat_tube_comes_back_to_its_axis(bend: str, key: str, words: str) -> None:
    with pytest.raises(SpecError) as caught:
        load(CONFIGS / "trail_hardtail_29.yaml", sets=(f"tubes.seat_tube.bends=[{bend}]",))
    (fault,) = caught.value.faults
    assert fault.path == f"tubes.seat_tube.bends.0.{key}"
    assert words in fault.message
    assert fault.hint


@pytest.mark.parametrize(
    "start",
    [
        None,
        {"on": "bottom_bracket"},
        {"on": "bottom_bracket", "stop_short": 3},
        {"on": "down_tube"},
        {"on": "down_tube", "cut": "square"},
        {"above_bottom": 90},
    ],
)
def test_a_seat_tube_may_be_split(start: dict[str, Any] | None) -> None:
    tube = {"od": 34.9, "wall": 1.2, "start": start}
    base = {"format": 1, "name": "T", "geometry": {}}
    assert FrameSpec.model_validate({**base, "tubes": {"seat_tube": tube}}).tubes["seat_tube"]


def test_a_tube_of_the_front_frame_may_say_so() -> None:
    tube = {"start": {"at": [0, 0, 0]}, "end": {"at": [0, 0, 100]}, "od": 20, "wall": 1}
    assert TubeSpec.model_validate(tube | {"link": "frame"}).link is None
    assert TubeSpec.model_validate(tube | {"link": "rocker"}).link == "rocker"
