"""Load cases: balanced words, places, units."""

from __future__ import annotations

import dataclasses
import math

import pytest

from frame3d.stiffness.load_cases import CASES, LoadCase
from frame3d.stiffness.structure import WAYS, Y
from tests.stiffness.test_of_bike import result


def test_keys_differ_and_every_case_is_told() -> None:
    assert len({case.key for case in CASES}) == len({case.title for case in CASES}) == len(CASES)
    for case in CASES:
        assert case.held
        assert case.loaded
        assert case.read


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.key)
def test_load_does_work_on_what_is_read(case: LoadCase) -> None:
    """The reading goes with the load, so that a stiffness is positive; no load pulls at a support."""
    assert result("adventure").of(case.key).stiffness > 0
    assert {force.spot for force in case.forces} & case.needs() or case.forces[0].spot == "cups"


def test_a_couple_on_the_cups_is_two_forces_that_balance() -> None:
    spots = result("adventure").spots
    twist = next(case for case in CASES if case.key == "head_twist")
    top, bottom = twist.load(spots)
    assert [a + b for a, b in zip(top.along, bottom.along, strict=True)] == [0, 0, 0]
    assert abs(top.along[1]) > 100


def test_a_pedalling_force_is_a_force_beside_the_centre_plane() -> None:
    pedal = next(case for case in CASES if case.key == "pedal_roll")
    roll, force = pedal.load(result("adventure").spots)
    assert roll.about[0] == pytest.approx(130 * 1000)  # N·mm
    assert force.along == (0, 0, -1000)
    assert pedal.amount == 130


@pytest.mark.parametrize("name", ["hardtail", "adventure"])
def test_how_pedalling_is_held_does_not_bear_on_the_roll(name: str) -> None:
    """Of a frame that is alike on both sides: what only holds its centre plane upright never rolls it.

    So the solids' figures, whose rear axle was clamped, hold for it too.
    """
    beam = result(name)
    pedal = beam.of("pedal_roll")
    axle = (("rear_axle", WAYS, WAYS),)
    cups = (("head_tube_bottom", (Y,), ()), ("head_tube_top", (Y,), ()))
    clamped = dataclasses.replace(pedal.case, supports=(*axle, *cups))
    stand = beam.model.structure.held(clamped.ties(beam.spots))
    motion = stand.motion(clamped.load(beam.spots))
    roll = math.degrees(stand.reading(motion, clamped.reading(beam.spots)))
    assert clamped.amount / roll == pytest.approx(pedal.stiffness, rel=1e-6)
    # Clamped there, the whole frame hangs from its rear end; held as by its wheels, it does not.
    bottom = beam.spots["bottom_bracket"]
    assert stand.moved(motion, bottom)[2] < -10
    held, own = beam.held["pedal_roll"]
    assert -2 < held.moved(own, bottom)[2] < 0
