"""A solved suspension asked at strokes and travels of one's own."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage import solve_linkage
from tests.linkage.bikes import AXLE, SWINGARM, spec_of
from tests.linkage.test_solve import AT, FOUR_LINK


def test_leverage_integrates_to_the_travel() -> None:
    """Gauss's rule on 20 strokes solved for it: ∫ LR ds = travel, mean LR = travel/stroke."""
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    x, w = np.polynomial.legendre.leggauss(20)
    half = linkage.full_stroke / 2
    there = linkage.at_strokes(half * (x + 1))
    assert half * (w @ there.leverage) == pytest.approx(linkage.full_travel, abs=1e-9)
    assert half * (w @ there.leverage_rate) == pytest.approx(
        linkage.leverage[-1] - linkage.leverage[0], abs=1e-9
    )


def test_poses() -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    assert linkage.links == ("arm", "rocker", "stay")
    pose = linkage.pose_at(travel=50)
    assert pose.travel == pytest.approx(50, abs=1e-9)
    assert pose.axle == linkage.axle_at(50)
    assert pose.axle[1] == pytest.approx(AT[1] + 50, abs=1e-9)
    assert pose.move("stay", AT) == pytest.approx(pose.axle, abs=1e-9)
    both = [pose.move(body, linkage.drawn["rocker_rear"]) for body in ("stay", "rocker")]
    assert both[0] == pytest.approx(both[1], abs=1e-9)
    assert pose.points["rocker_rear"] == pytest.approx(both[0], abs=1e-9)
    assert pose.move("frame", (1, 2)) == (1, 2)
    length = np.hypot(*np.subtract(pose.points["shock_front"], pose.points["rocker_shock"]))
    assert length == pytest.approx(linkage.eye_to_eye - pose.stroke, abs=1e-9)
    drawn = linkage.pose_at(stroke=0)
    assert drawn.points.keys() == linkage.drawn.keys() - {"bottom_bracket"}
    for name, at in drawn.points.items():
        assert at == pytest.approx(linkage.drawn[name], abs=1e-9)
    assert drawn.moves["stay"] == pytest.approx((0, 0, 0), abs=1e-9)
    for wrong in (-1.0, linkage.full_travel + 1):
        with pytest.raises(ValueError, match="travel goes from 0"):
            linkage.axle_at(wrong)
    with pytest.raises(ValueError, match="stroke goes from 0"):
        linkage.pose_at(stroke=41)
    with pytest.raises(ValueError, match="either"):
        linkage.pose_at()


def test_results_cannot_be_written_to() -> None:
    linkage = solve_linkage(spec_of(SWINGARM), AXLE)
    for array in (linkage.stroke, linkage.travel, linkage.axle, linkage.leverage, linkage.poses):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1
