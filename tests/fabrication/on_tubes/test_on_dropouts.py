"""Eyes and brake mount of the dropouts on paper, in lists and in the bench order."""

from __future__ import annotations

import csv
import io
from functools import cache

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.on_dropouts import (
    dropout_marks,
    dropout_sheets,
    measured_on_dropouts,
    mount_of,
)
from frame3d.fabrication.on_tubes.position_sheet import COLUMNS, features_csv
from frame3d.fabrication.parts.frame_parts import frame_parts
from frame3d.paper.page_elements import PAPERS
from frame3d.plates.flat_parts import flat_parts_of
from tests.bikes import hardtail_layout, placed_layout
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import texts
from tests.with_mount import BEHIND, POST, RACK, with_mount


@cache
def made() -> Bike:
    return placed_layout(with_mount(POST | RACK, "hooded"))


def test_left_and_right_share_a_number() -> None:
    marks = dropout_marks(made(), ())
    assert [(one.number, one.dropout.side, one.name) for one in marks] == [
        (1, "left", "rack"),
        (1, "right", "rack"),
        (2, "left", "brake 1"),
        (3, "left", "brake 2"),
    ]
    assert (marks[0].ahead, marks[0].up) == pytest.approx((-24, 6))
    assert dropout_marks(hardtail_layout(), ()) == []
    assert mount_of(hardtail_layout()) is None


def test_the_csv_has_their_places() -> None:
    marks = dropout_marks(made(), ())
    rows = list(csv.DictReader(io.StringIO(features_csv((), marks).decode())))[: len(marks)]
    assert set(rows[0]) == set(COLUMNS)
    for row, mark in zip(rows, marks, strict=True):
        at = [float(row[f"{axis}_mm"]) for axis in "xyz"]
        assert at == pytest.approx(mark.at.tolist(), abs=0.005)
        assert (row["face_x_mm"] == "") == (row["kind"] == "eye")
    assert rows[0]["y_mm"] == "81.00"  # outer face: half of 148, and 7


def test_the_fixture_tells_position_and_angle() -> None:
    found = dict(measured_on_dropouts(made(), dropout_marks(made(), ())))
    assert found["brake, bolts up from level"] == f"{BEHIND:.2f}°"
    assert found["brake, between the bolts"] == "74.2 mm"
    assert found["1: rack on rear dropout left, ahead of the axle"] == "-24.00 mm"
    (sheet,) = dropout_sheets(made(), dropout_marks(made(), ()), PAPERS["A4"])
    assert not crossed(sheet.entities(), through=("CENTRE",))
    said = " ".join(texts(sheet))
    assert "post mount M6, 12 deep, face 14" in said
    assert "104.00° up from straight ahead" in said
    assert dropout_sheets(hardtail_layout(), [], PAPERS["A4"]) == []


def test_the_parts_list_has_blocks_and_bolts() -> None:
    items = {item.what: item for item in frame_parts(made(), [])}
    mount = made().dropouts[0].mount
    assert mount is not None
    assert items["brake block"].count == 2
    assert items["brake block"].weighs == tuple(one.name for one in mount.blocks)
    assert items["brake block"].size == "M6, 12 deep, 19.4 × 14 × 17"
    assert (items["post mount bolts"].count, items["post mount bolts"].size) == (2, "M6")


def test_the_left_dropout_is_a_flat_part_of_its_own() -> None:
    """Its edge, cut so that the blocks stand on it, is longer; both have the rack's hole."""
    left, right = flat_parts_of(made().frame)
    assert [left.name, right.name] == ["rear_dropout_left", "rear_dropout_right"]
    assert any("2 blocks of the brake mount" in remark for remark in left.remarks)
    assert not any("brake mount" in remark for remark in right.remarks)
    for part in (left, right):
        assert [hole.thread for hole in part.outline.holes] == ["", "M5"]
    assert np.ptp(left.outline.outer.points(0.1)[:, 1]) > np.ptp(
        right.outline.outer.points(0.1)[:, 1]
    )
