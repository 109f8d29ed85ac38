"""A built frame that pitches: its figures are those of points turned by a matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.chart.relations import Values
from frame3d.chart.rigid_relations import RigidFrame, rigid_relations

FRAME = RigidFrame(
    reach=451.0,
    stack=630.0,
    tube_angle=1.13,
    seat_angle=1.28,
    rear_axle_setback=428.0,
    bb_drop=55.0,
)


def turned(pitch: float) -> dict[str, float]:
    """The frame's figures nose up by `pitch` [rad], by complex numbers about the bottom bracket."""
    turn = np.exp(1j * pitch)
    top = (FRAME.reach + 1j * FRAME.stack) * turn
    axle = (-FRAME.rear_axle_setback + 1j * FRAME.bb_drop) * turn
    steerer, post = -np.exp(-1j * FRAME.tube_angle) * turn, -np.exp(-1j * FRAME.seat_angle) * turn
    return {
        "pitch": pitch,
        "reach": top.real,
        "stack": top.imag,
        "rear_axle_setback": -axle.real,
        "bb_drop": axle.imag,
        "head_tube_angle": np.arctan2(steerer.imag, -steerer.real) + 0.02,
        "cup_angle": 0.02,
        "actual_seat_tube_angle": np.arctan2(post.imag, -post.real),
    }


@given(st.floats(-0.3, 0.3))
def test_figures_of_a_turned_frame_meet_all_relations(pitch: float) -> None:
    v = Values({name: np.array([value]) for name, value in turned(pitch).items()})
    for relation in rigid_relations(FRAME):
        assert relation.residual(v)[0] == pytest.approx(0, abs=1e-9), relation.name


@pytest.mark.parametrize("name", ["reach", "stack", "rear_axle_setback", "bb_drop"])
def test_each_figure_by_a_millimetre(name: str) -> None:
    """One relation tells, by a millimetre, and no other is touched."""
    off = turned(0.05)
    off[name] += 1.0
    v = Values({n: np.array([value]) for n, value in off.items()})
    told = [abs(r.residual(v)[0]) for r in rigid_relations(FRAME)]
    assert sorted(told)[-1] == pytest.approx(1.0)
    assert sorted(told)[-2] == pytest.approx(0.0, abs=1e-9)


def test_all_that_a_frame_fixes_follows_from_the_pitch() -> None:
    """As many relations as figures beside the pitch; the cups turn in the head tube and are not fixed."""
    relations = rigid_relations(FRAME)
    figures = {n for r in relations for n in r.partials} - {"pitch", "cup_angle"}
    assert len(relations) == len(figures) == 6
