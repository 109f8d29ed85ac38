"""Ratios, their bands, and what they say."""

from __future__ import annotations

import pytest

from frame3d.stiffness.comparison import compare, is_alike, ratio
from frame3d.stiffness.load_cases import CASES
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
