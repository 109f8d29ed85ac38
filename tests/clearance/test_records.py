"""Records of the compiled search: numpy's types say what the classes say."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.clearance.certify import records
from frame3d.clearance.certify.records import Slice, Vector3, end_to_end, layout


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


def test_arrays_end_to_end_hold_every_field_of_every_row() -> None:
    """As numpy's own concatenation, which goes field by field; read-only and empty arrays too."""
    dice = np.random.default_rng(4)
    parts = [np.zeros(count, layout(Outer)) for count in (2, 0, 3)]
    for part in parts:
        part["size"] = dice.random(len(part))
        part["inner"]["place"] = dice.random((len(part), 3))
        part["rows"] = dice.integers(0, 9, (len(part), 2))
        part["is_there"] = True
        part.setflags(write=False)
    found = end_to_end(parts)
    assert found.dtype == layout(Outer)
    for name in ("size", "is_there", "rows"):
        assert found[name].tolist() == np.concatenate([part[name] for part in parts]).tolist()
    places = [part["inner"]["place"] for part in parts]
    assert found["inner"]["place"].tolist() == np.concatenate(places).tolist()
    found["size"] = 0.0  # its own rows, to be written to
    assert (parts[0]["size"] > 0).all()
