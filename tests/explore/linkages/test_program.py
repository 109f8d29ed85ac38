"""The topology of linkages as arrays."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.linkages.program import DRIVEN, DYAD, program_of
from frame3d.linkage.mechanism import assemble
from tests.explore.linkages.linkages import NAMED, linkage_of, moved_points, program_for, six_bar
from tests.linkage.bikes import mechanism


@pytest.mark.parametrize("name", NAMED)
def test_rows_follow_from_points(name: str) -> None:
    linkage = linkage_of(name)
    program = program_for(linkage)
    fixed, arms = program.tables()
    for points in moved_points(program, linkage, 20.0, 3):
        drawn = dict(zip(program.points, points, strict=True))
        made = assemble(linkage.mechanism.structure, drawn)
        rows = (made.closures, made.shock, made.axle)
        assert np.concatenate([r.fixed for r in rows]) == pytest.approx(fixed @ points, abs=1e-9)
        assert np.concatenate([r.arms for r in rows]) == pytest.approx(arms @ points, abs=1e-9)


def test_dyads_follow_the_driven_link() -> None:
    program = program_of(six_bar(), "arm", [])
    assert program is not None
    assert program.blocks[:, 0].tolist() == [DRIVEN, DYAD, DYAD]
    assert program.closures == 2
    frame = program_of(six_bar(), "frame", [["a", "b", "c"]])
    assert frame is not None
    assert frame.brake == -1
    assert len(frame.touching) == 3


def test_what_has_no_closed_form() -> None:
    """A shock between two links of a loop, and a third parallel link."""
    points = {
        "o2": 0j,
        "o4": 100 + 0j,
        "a": 20j,
        "b": 100 + 25j,
        "rear_axle": -50 + 20j,
        "s": 40 + 60j,
    }
    bodies = {
        "frame": ["o2", "o4"],
        "left": ["o2", "a"],
        "bar": ["a", "b", "s"],
        "right": ["o4", "b"],
    }
    assert program_of(mechanism(points, bodies, "left", ("o2", "s")), "left", []) is None
    points = {
        "o2": 0j, "o4": 100 + 0j, "o5": 50 + 0j, "a": 30j, "b": 100 + 30j, "c": 50 + 30j,
        "fix": -60 - 10j, "rear_axle": -50 + 20j,
    }  # fmt: skip
    bodies = {
        "frame": ["o2", "o4", "o5", "fix"], "left": ["o2", "a"], "bar": ["a", "b", "c"],
        "right": ["o4", "b"], "third": ["o5", "c"],
    }  # fmt: skip
    assert program_of(mechanism(points, bodies, "left", ("fix", "a")), "left", []) is None
