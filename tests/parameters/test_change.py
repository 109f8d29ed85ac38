"""One value of a checked file replaced: as if the file had been read with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import frame3d
from frame3d.errors import SpecError
from frame3d.parameters import loads
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.change import changed, changed_together, value_at

TEXT = (Path(frame3d.__file__).parent.parent / "configs" / "trail_full_140.yaml").read_text("utf-8")


@pytest.fixture(scope="module")
def spec() -> FrameSpec:
    return loads(TEXT, "bike.yaml")


def as_typed(value: Any) -> str:
    return "null" if value is None else str(value).replace("'", "")


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("geometry.reach", 470.0),
        ("build.fork.sag", "30%"),
        ("build.rear_wheel.tyre", "64-622"),
        ("build.rear_brake", None),
        ("build.fork.spring", None),
        ("build.fork.offset", None),
        ("build.cassette.cogs", [10, 12, 14]),
        ("build.rear_wheel.hub", {"width": 150.0, "axle": 12.0}),
        ("tubes.top_tube.od", 35.0),
        ("tubes.down_tube.wall", "solid"),
        ("suspension.points.main_pivot", [12.0, 70.0]),
        ("suspension.pivots.main_pivot", None),
        ("clearance.skip", ["heel_to_frame"]),
        ("build.headset.stop", 70.0),
    ],
)
def test_it_is_what_the_file_with_that_value_says(spec: FrameSpec, path: str, value: Any) -> None:
    """The same value given to the reader as an override."""
    found = changed(spec, path, value)
    read = loads(TEXT, "bike.yaml", [f"{path}={as_typed(value)}"])
    assert found.model_dump() == read.model_dump()
    assert found.model_dump() != spec.model_dump()
    if value is not None:
        assert changed(found, path, value) == found
    if path.count(".") == 1:
        whole = path.partition(".")[0]
        assert getattr(found, whole).model_fields_set == getattr(read, whole).model_fields_set


def test_places_stay_those_of_the_file(spec: FrameSpec) -> None:
    found = changed(spec, "geometry.reach", 470.0)
    assert found.place("tubes.top_tube.od") == spec.place("tubes.top_tube.od")
    assert found.place("geometry.reach") is not None


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("geometry.reach", "long"),
        ("geometry.reach", 9000.0),
        ("build.fork.sag", 0.3),
        ("build.rear_wheel.tyre", "61-621"),
        ("tubes.top_tube.wall", 24.0),  # no bore left
        ("build.fork.axle_to_crown", None),  # measured says how something absent is measured
        ("suspension.shock.start", "rear_axles"),
        ("suspension.points.main_pivot", [12.0, "high"]),
        ("build.rear_wheel.hub", {"width": 150.0}),
        ("build.rear_brake", 3.0),
    ],
)
def test_what_a_file_may_not_say_is_refused(spec: FrameSpec, path: str, value: Any) -> None:
    with pytest.raises(SpecError):
        loads(TEXT, "bike.yaml", [f"{path}={as_typed(value)}"])
    with pytest.raises(SpecError) as caught:
        changed(spec, path, value)
    place = caught.value.faults[0].place
    assert place is not None
    assert place.source == "bike.yaml"


@pytest.mark.parametrize(
    "path", ["geometry.raech", "tubes.brace.od", "tubes.top_tube.bends.7", "a.b"]
)
def test_there_is_no_such_path(spec: FrameSpec, path: str) -> None:
    assert value_at(spec, path) is None
    with pytest.raises(KeyError):
        changed(spec, path, 3.0)


def test_values_by_path(spec: FrameSpec) -> None:
    assert value_at(spec, "name") == spec.name
    assert value_at(spec, "tubes.top_tube") is spec.tubes["top_tube"]
    assert value_at(spec, "suspension.solve_for.0.point") is not None
    assert value_at(spec, "suspension.solve_for.9.point") is None
    assert value_at(changed(spec, "build.rear_brake", None), "build.rear_brake.length") is None


def test_several_values_at_once_are_those_of_the_file(spec: FrameSpec) -> None:
    """More of it, for random values of every demo: tests/explore/evaluate/test_designs.py."""
    values: dict[str, Any] = {"geometry.reach": 470.0, "suspension.sag": "28%"}
    both = changed_together(spec, values, {})
    assert both is not None
    assert both.geometry.reach == 470.0
    assert both == changed(changed(spec, "geometry.reach", 470.0), "suspension.sag", "28%")
    refusals: list[dict[str, Any]] = [
        {"geometry.reach": 9000.0},
        {"geometry.reech": 1.0},
        {"tubes.top_tube": 1.0},
    ]
    assert [changed_together(spec, one, {}) for one in refusals] == [None, None, None]
