"""Ratios, their bands, and what they say."""

from __future__ import annotations

import pytest

import frame3d
from frame3d.bike.tension.insert import at_angle
from frame3d.stiffness.comparison import compare, is_alike, ratio, side_by_side
from frame3d.stiffness.load_cases import CASES
from frame3d.stiffness.of_bike import stiffness_of
from tests.bike.tension.bikes import eccentric
from tests.stiffness.test_of_bike import result


@pytest.mark.parametrize(
    ("value", "alike", "verdict"),
    [
        (1.02, True, "same"), (1.03, True, "stiffer"), (0.97, True, "less stiff"),
        (1.12, False, "not told apart"), (1.14, False, "stiffer"), (0.89, False, "not told apart"),
        (0.88, False, "less stiff"),
    ],
)  # fmt: skip
def test_verdicts(value: float, alike: bool, verdict: str) -> None:
    one = ratio(CASES[0], value, alike=alike)
    assert one.verdict == verdict
    assert one.low < one.value < one.high


def test_a_changed_wall_is_one_shape_another_frame_is_not() -> None:
    plain, wall = result("hardtail"), result("hardtail", "tubes.chainstay.wall=1.2")
    other = result("adventure")
    assert is_alike(plain.model.bike, wall.model.bike)
    assert not is_alike(plain.model.bike, other.model.bike)
    beside, far = compare(plain, [wall, other])
    assert beside.alike
    assert not far.alike
    assert {one.verdict for one in beside.ratios} == {"same", "stiffer"}
    assert beside.mass_ratio > 1
    (itself,) = compare(plain, [plain])
    assert all(one.value == 1 and one.verdict == "same" for one in itself.ratios)


def test_a_longer_fork_pitches_the_frame_and_leaves_its_shape() -> None:
    plain = result("hardtail").model.bike
    longer = frame3d.exchange(plain, {"build.fork.axle_to_crown": 555})
    assert abs(longer.frame.pitch) > 0.5
    assert is_alike(plain, longer)
    beside = compare(result("hardtail"), [stiffness_of(longer)])[0]
    twist = next(one for one in beside.ratios if one.case.key == "head_twist")
    assert twist.value == pytest.approx(1, abs=1e-6)
    assert twist.verdict == "same"


def test_an_insert_that_turns_leaves_the_frames_shape() -> None:
    """The head's twist against the shell is the metal's alone, wherever the bottom bracket is."""
    bike = eccentric()
    turned = at_angle(bike, -20.0)
    assert is_alike(bike, turned)
    beside = compare(stiffness_of(bike), [stiffness_of(turned)])[0]
    twist = next(one for one in beside.ratios if one.case.key == "head_twist")
    assert twist.value == pytest.approx(1, abs=1e-6)


def test_side_by_side_with_any_of_them_as_the_reference() -> None:
    both = [result("hardtail"), None, result("adventure")]
    shown = side_by_side(("a", "b", "c"), both, 2)
    assert shown is not None
    assert shown.first is both[2]
    first, none, itself = shown.comparisons
    assert first is not None
    assert none is itself is None
    back = compare(result("hardtail"), [result("adventure")])[0]
    for one, other in zip(first.ratios, back.ratios, strict=True):
        assert one.value == pytest.approx(1 / other.value)
    assert side_by_side(("a", "b"), both[:2]) is None
    assert side_by_side(("b", "a"), [None, both[0]]) is None
