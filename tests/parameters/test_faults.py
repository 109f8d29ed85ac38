"""Every fault of reading: what holds of all of them, and of the text before it is YAML."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.errors import CODES
from tests.parameters import (
    test_explain,
    test_frame,
    test_headsets,
    test_hubs,
    test_junctions,
    test_materials,
    test_names,
    test_parts,
    test_profiles,
    test_shells,
    test_tree,
    test_tubes,
    test_tyres,
)
from tests.parameters.faults import GEO, Row, codes, faults, hold, row_name

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"

ROWS: list[Row] = [
    ("", "missing-key", "", None, "empty", "frame3d new"),
    ("# only a note\n", "missing-key", "", None, "empty", "frame3d new"),
    ("- 1\n- 2\n", "wrong-type", "", (1, 1), "a list", "format: 1"),
    ("just words\n", "wrong-type", "", (1, 1), "plain text", "format: 1"),
    (GEO + "x: \x01\n", "file-encoding", "", (4, 4), "U+0001", "UTF-8"),
    (GEO + "x: a\x00b\n", "file-encoding", "", (4, 5), "U+0000", "UTF-8"),
]
TABLES = [
    ROWS,
    test_explain.ROWS,
    test_frame.ROWS,
    test_headsets.ROWS,
    test_hubs.ROWS,
    test_junctions.ROWS,
    test_materials.ROWS,
    test_names.ROWS,
    test_parts.ROWS,
    test_profiles.ROWS,
    test_shells.ROWS,
    test_tree.ROWS,
    test_tubes.ROWS,
    test_tyres.ROWS,
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def test_the_tables_and_the_files_beside_them_cover_every_code_of_reading() -> None:
    reading = list(CODES)[: list(CODES).index("override") + 1]
    here = codes(*TABLES) | {"file-missing", "file-too-large", "override"}
    assert here >= set(reading)


def test_all_faults_of_a_file_at_once_in_its_order() -> None:
    text = """\
format: 1
name: ../b
geometry:
  reach: 455mm
  raech: 3
  stack: 0600
  reach: 460
build:
  fork: {axle_to_crown: 531}
  rear_wheel: {tyre: 61-621, hub: 148x21}
tubes:
  brace:
    od: {start: 30}
    wall: true
    end: {on: head_tube}
  strut:
    od: 20
    wall: 12
    start: {on: seat_tube, angle: 60}
    end: {on: head_tube, angle: 60}
  stay: {od: 20, wall: 1}
"""
    found = [(f.place.line if f.place else None, f.code, f.path) for f in faults(text)]
    assert found == [
        (2, "bad-name", "name"),
        (5, "unknown-key", "geometry.raech"),
        (6, "yaml-trap", "geometry.stack"),
        (7, "duplicate-key", "geometry.reach"),
        (9, "missing-key", "build.fork.measured"),
        (10, "unknown-size", "build.rear_wheel.tyre"),
        (10, "unknown-size", "build.rear_wheel.hub"),
        (13, "missing-key", "tubes.brace.od.end"),
        (14, "wrong-type", "tubes.brace.wall"),
        (18, "section", "tubes.strut.wall"),
        (21, "missing-key", "tubes.stay.start"),
        (21, "missing-key", "tubes.stay.end"),
    ]
