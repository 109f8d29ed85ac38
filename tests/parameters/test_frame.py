"""FrameSpec: what holds between its sections, and where its values come from."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from frame3d.errors import SourceLocation
from frame3d.parameters import loads
from frame3d.parameters.models.frame import FrameSpec
from tests.parameters.faults import GEO, Row, at, hold, row, row_name

ROWS: list[Row] = [
    ("name: Test\ngeometry: {}\n", "missing-key", "format", None, "missing", "allowed: 1"),
    (
        GEO.replace("format: 1", "format: 2"),
        "not-allowed",
        "format",
        (1, 9),
        "format 1, not 2",
        "format: 1",
    ),
    (
        GEO.replace("format: 1", "format: true"),
        "not-allowed",
        "format",
        (1, 9),
        "true and false",
        "format: 1",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


BUMPER = (
    GEO + "build: {bumper: {on: down_tubes, stop: 70}}\ntubes: {head_tube: {od: 40, wall: 2}}\n"
)
BETWEEN: list[Row] = [
    row(BUMPER, "not-allowed", "build.bumper.on", "down_tubes", "no tube of the front frame", "head_tube"),
    row(
        GEO + "material: {name: AlSi10Mg}\n",
        "missing-key",
        "material.density_g_cm3",
        "{name",
        "missing",
        "density_g_cm3: 7.85",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", BETWEEN, ids=row_name)
def test_faults_between_sections(given: Row) -> None:
    hold(given)


def test_an_empty_suspension_is_none() -> None:
    assert loads(GEO + "suspension: {}\n").suspension is None
    assert loads(GEO + "suspension:\n").suspension is None


TEXT = GEO + "build:\n  fork: {travel: 130}\n  rear_wheel: {tyre: 61-622}\n"


def test_a_place_is_that_of_the_value_or_of_what_it_would_stand_in() -> None:
    spec = loads(TEXT, "bike.yaml")
    for path, part in (
        ("build.fork.travel", "130"),
        ("build.fork.sag", "{travel"),
        ("build.fork.crown.height", "{travel"),
        ("build.rear_wheel.tyre", "61-622"),
    ):
        place = spec.place(path)
        assert place is not None
        assert (place.line, place.column) == at(TEXT, part)
        fault, note = spec.fault("impossible", path, "no"), spec.note("assumed", "so", path)
        assert fault.place == note.place == place
    assert spec.place("clearance.skip") == SourceLocation("bike.yaml")
    assert spec.note("assumed", "so").place is None


def test_places_are_those_of_the_copy_alone() -> None:
    spec = FrameSpec.model_validate({"format": 1, "name": "T", "geometry": {}})
    assert spec.place("name") is None
    traced = spec.traced({"name": SourceLocation("bike.yaml", 2, 7)})
    assert traced.place("name") == SourceLocation("bike.yaml", 2, 7)
    assert spec.place("name") is None


def test_a_script_learns_of_every_section() -> None:
    data = {
        "format": 1,
        "name": "T",
        "geometry": {},
        "tubes": {"brace": {"od": 20, "wall": 1, "link": "arm"}},
        "build": {"bumper": {"stop": 70}},
    }
    with pytest.raises(ValidationError) as caught:
        FrameSpec.model_validate(data)
    (error,) = caught.value.errors()
    keys = {problem.key for problem in error["ctx"]["problems"]}
    assert keys == {"tubes.brace.start", "tubes.brace.end", "tubes.brace.link", "build.bumper.on"}
