"""Designs as files of their own: the same bike as by ``--set``, all other text as it was."""

from __future__ import annotations

import difflib
from dataclasses import replace
from pathlib import Path

import pytest

import frame3d
from frame3d.errors import SpecError
from frame3d.explore.store.keep import kept, kept_text
from frame3d.explore.study.study import Design, Study, Varied
from frame3d.parameters.reading.reader import loads
from tests.explore.fakes import STUDY

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"
HARDTAIL = (CONFIGS / "trail_hardtail_29.yaml").read_text(encoding="utf-8")
SIZES = """\
format: 1
name: Family
sizes: {S: {}, M: {}, L: {geometry.bb_drop: 60}}   # three of them
geometry:
  reach: {from: 430, step: 25}          # by a rule
  head_tube_angle: 65.50                # of all sizes
  head_tube_length: {S: 100, M: 110, L: 125}
  effective_seat_tube_angle: 75.5
  seat_tube_length: 430
  chainstay_length: 432
  bb_drop: 62   # but see L
"""


def study(text: str, *paths: str, sizes: tuple[str | None, ...] = (None,)) -> Study:
    varied = tuple(Varied(path, -1e6, 1e6) for path in paths)
    return replace(STUDY, bike_source="x/trail.yaml", bike_text=text, varied=varied, sizes=sizes)


def same_bike(found: Study, design: Design) -> str:
    """The kept text, held against what ``--set`` makes of the file."""
    text = kept_text(found, design)
    for size in found.sizes:
        ours = loads(text, size=size).model_dump()
        assert ours == loads(found.bike_text, sets=found.sets(design), size=size).model_dump()
    return text


def changed(before: str, after: str) -> list[str]:
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line[2:] for line in lines if line.startswith("+ ") and not line.startswith("+ #")]


def test_numbers_and_names_change_where_they_stand() -> None:
    found = study(HARDTAIL, "geometry.reach", "build.rear_wheel.tyre", "build.fork.sag")
    tyre = replace(found.varied[1], values=("58-622",), low=None, high=None)
    sag = replace(found.varied[2], percent=True)
    found = replace(found, varied=(found.varied[0], tyre, sag))
    text = same_bike(found, (447.25, "58-622", 30.0))
    lines = changed(HARDTAIL, text)
    assert len(lines) == 3
    assert "447.25" in lines[0]
    assert all("58-622" in line or "30%" in line for line in lines[1:])
    assert text.splitlines()[:4] == [
        HARDTAIL.splitlines()[0],  # names the schema, which editors look for on the first line
        "# Found by frame3d for the study study.yaml:",
        "#   geometry.reach: 447.25",
        "#   build.rear_wheel.tyre: 58-622",
    ]


def test_files_are_named_after_the_bike_and_so_are_bikes() -> None:
    said = [f"The one at {440 + i} mm." for i in range(10)]
    files = kept(study(HARDTAIL, "geometry.reach"), [(440.0 + i,) for i in range(10)], said)
    assert b"# The one at 442 mm." in files["trail_03.yaml"]
    assert list(files) == [f"trail_{i:02}.yaml" for i in range(1, 11)]
    first = loads(files["trail_01.yaml"].decode())
    assert first.name == f"{loads(HARDTAIL).name}, design 01"
    assert first.geometry.reach == 440.0


def test_each_size_takes_the_value_from_where_it_stands() -> None:
    every = ("S", "M", "L")
    text = same_bike(study(SIZES, "geometry.bb_drop", sizes=every), (58.5,))
    assert "L: {geometry.bb_drop: 58.5}}" in text
    assert "  bb_drop: 58.5 # but see L" in text
    text = same_bike(study(SIZES, "geometry.head_tube_angle"), (66.0,))
    assert "  head_tube_angle: 66.0                 # of all sizes" in text
    text = same_bike(study(SIZES, "geometry.reach.from", sizes=every), (431.0,))
    assert "reach: {from: 431, step: 25}          # by a rule" in text
    text = same_bike(study(SIZES, "geometry.head_tube_length.L", sizes=every), (130.0,))
    assert "L: 130}" in text


def test_what_the_file_has_not_or_gives_by_a_rule_is_put_in() -> None:
    text = same_bike(study(SIZES, "geometry.reach", sizes=("S", "L")), (450.0,))
    assert "# three of them" in text
    assert "# but see L" in text
    text = same_bike(
        study(HARDTAIL, "clearance.rear_tyre_to_frame", "geometry.reach"), (7.0, 450.0)
    )
    comments = [line.partition("#")[2] for line in HARDTAIL.splitlines() if "#" in line]
    assert all(comment in text for comment in comments)


def test_a_file_with_the_line_ends_of_windows_keeps_them() -> None:
    text = same_bike(study(HARDTAIL.replace("\n", "\r\n"), "geometry.reach"), (450.0,))
    assert text.count("\n") == text.count("\r\n")


def test_what_cannot_be_written_is_told() -> None:
    text = "format: 1\nname: A\ngeometry: {reach: &a 455, stack: *a}\n"
    with pytest.raises(SpecError) as caught:
        kept_text(study(text, "geometry.nonsense"), (450.0,))
    assert "--set geometry.nonsense=450" in caught.value.faults[0].hint
