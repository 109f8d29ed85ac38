"""Looks of shoes: narrower and higher at the heel, on a sole, within any blocks."""

from __future__ import annotations

import numpy as np

from frame3d.looks.shoe import opening, shoe, sole, upper
from tests.looks.demos import DROPS, HARDTAIL, parts


def test_a_shoe_has_a_heel_a_ball_and_a_sole() -> None:
    bodies, _ = parts(DROPS)
    pieces = {p.make: p.surface.points for n, p in shoe(bodies) if n == "shoe_left"}
    points = pieces[upper]
    share = (points[:, 0] - points[:, 0].min()) / np.ptp(points[:, 0])
    heel, ball = points[(share > 0.1) & (share < 0.3)], points[(share > 0.65) & (share < 0.8)]
    assert np.ptp(heel[:, 1]) < np.ptp(ball[:, 1])
    assert heel[:, 2].max() > ball[:, 2].max() + 15
    assert pieces[sole][:, 2].min() < points[:, 2].min()
    assert pieces[opening][:, 0].max() < np.median(points[:, 0]) + 40


def test_there_are_two_or_none() -> None:
    bodies, _ = parts(HARDTAIL)
    assert {n for n, _ in shoe(bodies)} == {"shoe_left", "shoe_right"}
    assert list(shoe({})) == []
