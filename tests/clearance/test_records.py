"""Records of the compiled search: numpy's types say what the classes say."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.clearance.certify import records
from frame3d.clearance.certify.records import Slice, Vector3, layout


class Inner:
    count: int
    place: Vector3


class Outer:
    size: float
    is_there: bool
    inner: Inner
    rows: Slice


def test_fields_are_those_of_the_class_in_its_order() -> None:
    found = layout(Outer)
    assert found.names == ("size", "is_there", "inner", "rows")
    assert found["size"] == np.float64
    assert found["is_there"] == np.bool_
    assert found["inner"] == layout(Inner)
    assert found["inner"]["count"] == np.int64
    assert found["inner"]["place"].subdtype == (np.dtype(np.float64), (3,))
    assert found["rows"].subdtype == (np.dtype(np.int64), (2,))


def test_records_are_read_and_written_by_name() -> None:
    rows = np.zeros(3, layout(Outer))
    rows[1]["inner"]["place"][:] = (1, 2, 3)
    rows["size"] = [5, 6, 7]
    assert rows["inner"]["place"].tolist() == [[0, 0, 0], [1, 2, 3], [0, 0, 0]]
    assert float(rows[2]["size"]) == 7.0


def test_fields_lie_where_a_processor_reads_them_at_once() -> None:
    """Each at a multiple of its own size, as numpy's aligned records do (`np.dtype`, align)."""
    found = layout(Outer)
    assert found.isalignedstruct
    assert found.fields is not None
    for kind, offset, *_ in found.fields.values():
        assert offset % kind.base.alignment == 0


CLASSES = {
    "PIECE": records.Piece,
    "CUTTER": records.CutterPiece,
    "EDGE": records.Edge,
    "SHAPE": records.ShapeNumbers,
    "STEP": records.MotionStep,
    "KNOT": records.Knot,
    "PAIR": records.PairNumbers,
    "FRAME": records.SectionFrame,
    "BOX": records.Box,
    "WORK": records.Work,
    "OUTCOME": records.Outcome,
}


@pytest.mark.parametrize("name", CLASSES)
def test_each_type_has_what_its_class_explains(name: str) -> None:
    assert getattr(records, name).names == tuple(CLASSES[name].__annotations__)
