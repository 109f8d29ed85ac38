"""Structures of bikes: what is joined to what, what still moves, what is refused."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import frame3d
from frame3d.bike.bike import Bike
from frame3d.errors import FrameError
from frame3d.parameters.reading.reader import loads
from frame3d.stiffness.from_bike import model_of
from frame3d.stiffness.of_bike import stiffness_of

CONFIGS = Path(__file__).parents[2] / "configs"
DEMOS = ("trail_hardtail_29", "adventure_rigid", "trail_full_140", "enduro_170_mixed")


@cache
def demo(name: str) -> Bike:
    return frame3d.solve(frame3d.load(CONFIGS / f"{name}.yaml"))


@pytest.mark.parametrize("name", DEMOS)
def test_six_motions_are_free_as_drawn(name: str) -> None:
    model = model_of(demo(name))
    assert model.structure.loose.shape[1] == 6
    assert {line.tube.name for line in model.lines.values()} == {t.name for t in demo(name).tubes}
    joined = {beam.beam.name for beam in model.structure.beams}
    assert {t.name for t in demo(name).tubes} - {"head_tube"} <= joined


@settings(max_examples=6, deadline=None)
@given(st.sampled_from(DEMOS[2:]), st.floats(0.0, 1.0))
def test_six_motions_are_free_at_any_travel(name: str, share: float) -> None:
    bike = demo(name)
    assert bike.linkage is not None
    model = model_of(bike, share * bike.linkage.full_travel)
    assert model.structure.loose.shape[1] == 6
    for hinge in model.hinges:
        near = min(
            abs(hinge.at[1] - model.structure.groups[g][1]) for g in (hinge.first, hinge.second)
        )
        assert near < 60


def test_rigid_motion_strains_nothing_and_without_shock_one_more_motion_is_free() -> None:
    structure = model_of(demo("trail_full_140")).structure
    turn = structure.rigid_motion(np.zeros(3), np.array([1e-3, 2e-3, -1e-3]))
    assert np.abs(structure.stiffness @ turn).max() < 1e-6 * np.abs(structure.stiffness).max()
    assert np.abs([structure.row(tie) @ turn for tie in structure.ties]).max() < 1e-9
    unlocked = type(structure)(structure.groups, structure.beams, structure.ties[:-1])
    assert unlocked.loose.shape[1] == 7


def test_bridges_are_known() -> None:
    assert model_of(demo("trail_full_140")).bridges == ("chainstay_bridge", "seatstay_bridge")


def test_a_tube_that_joins_nothing_is_told_and_stiffens_nothing() -> None:
    text = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")
    text += "  whip:\n    start: {on: down_tube, from_start: 300}\n    end: {at: [300, 0, 700]}\n    od: 10\n    wall: 1\n"
    found = stiffness_of(frame3d.solve(loads(text, "whip.yaml")))
    (fault,) = found.faults
    assert "whip" in fault.message
    assert fault.message in found.left_out
    assert fault.place is not None
    assert fault.place.source == "whip.yaml"
    plain = stiffness_of(demo("trail_hardtail_29"))
    assert [one.case.key for one in found.cases] == [one.case.key for one in plain.cases]
    for one, other in zip(found.cases, plain.cases, strict=True):
        assert one.stiffness == pytest.approx(other.stiffness, rel=1e-6)


def test_a_file_without_tubes_is_refused() -> None:
    with pytest.raises(FrameError, match="head_tube"):
        stiffness_of(demo("minimal"))
