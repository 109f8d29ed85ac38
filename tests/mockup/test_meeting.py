"""Which parts meet, and how far apart the others are."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.meeting import gap, meetings, neighbourhood
from frame3d.mockup.part import ModelPart
from frame3d.mockup.solid import ball, block


def test_parts_that_touch_do_not_meet_and_those_that_overlap_do() -> None:
    a = ModelPart("a", "#000000", block((0, 0, 0), (4, 4, 4)))
    b = ModelPart("b", "#000000", block((4, 0, 0), (8, 4, 4)))
    c = ModelPart("c", "#000000", block((3, 1, 1), (5, 2, 2)))
    met = {(m.first, m.second): m.volume for m in meetings((a, b, c))}
    assert met == {("a", "c"): pytest.approx(1.0), ("b", "c"): pytest.approx(1.0)}


def test_the_gap_of_two_balls_within_a_block() -> None:
    one, other = ball(np.zeros(3), 3.0), ball(np.array([7.0, 0.0, 0.0]), 3.0)
    around = neighbourhood(np.array([[3.0, -1.0, -1.0], [4.0, 1.0, 1.0]]))
    assert gap(one, other, around, 5.0) == pytest.approx(1.0, abs=0.05)
    assert gap(one, other, around, 0.4) == pytest.approx(0.4)
    assert gap(one, other.translate((-2.0, 0.0, 0.0)), around, 5.0) == 0.0
    far = neighbourhood(np.array([[90.0, 0.0, 0.0], [91.0, 1.0, 1.0]]))
    assert gap(one, other, far, 5.0) == 5.0
