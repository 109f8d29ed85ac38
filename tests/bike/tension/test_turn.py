"""Extremes of an insert's turn, against fine sampling."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.tension.turn import Turn, within
from frame3d.parameters.models.bottom_bracket import EccentricSpec


def test_an_angle_within_the_range() -> None:
    spec = EccentricSpec(offset=6, angle=-90, between=(-170, -10))
    assert within(spec, 200.0) == (-160.0,)
    assert within(spec, 90.0) == ()


@pytest.mark.parametrize("between", [(-170.0, -10.0), (-180.0, 180.0), (-100.0, -80.0)])
@pytest.mark.parametrize("pitch", [0.0, 3.0])
def test_nothing_is_shorter_longer_lower_or_higher(
    between: tuple[float, float], pitch: float
) -> None:
    turn = Turn(EccentricSpec(offset=6, angle=-90, between=between), (-430.0, 55.0), pitch)
    angles = np.linspace(*between, 2001)
    lengths = [turn.chainstay_length(float(a)) for a in angles]
    rises = [turn.rise(float(a)) for a in angles]
    shortest, longest = (turn.chainstay_length(a) for a in turn.lengths)
    lowest, highest = (turn.rise(a) for a in turn.heights)
    assert (min(lengths), max(lengths)) == pytest.approx((shortest, longest), abs=1e-4)
    assert (min(rises), max(rises)) == pytest.approx((lowest, highest), abs=1e-4)
    assert shortest <= min(lengths) + 1e-12
    assert longest >= max(lengths) - 1e-12
    assert turn.rise(-90.0) == 0.0
    assert all(between[0] <= a <= between[1] and a != -90.0 for a in turn.others)
