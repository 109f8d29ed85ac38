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


def test_strokes_of_travels_are_their_inverse() -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    strokes = np.array([0.0, 0.3, 11.0, 25.5, 40.0])
    travels = linkage.at_strokes(strokes).travel
    assert linkage.strokes_at(travels) == pytest.approx(strokes, abs=1e-9)
    assert linkage.at_travels(travels).axle == pytest.approx(linkage.at_strokes(strokes).axle)


def test_between_known_strokes_it_is_solved_and_not_interpolated() -> None:
    """With 3 known strokes the same as with 101, where a chord would be millimetres off."""
    few, many = (solve_linkage(spec_of(FOUR_LINK), AT, count=n) for n in (3, 101))
    strokes = np.array([3.0, 10.0, 33.0])
    assert few.at_strokes(strokes).axle == pytest.approx(many.at_strokes(strokes).axle, abs=1e-9)
    chord = np.interp(10.0, few.stroke, few.travel)
    assert abs(chord - many.at_strokes(strokes).travel[1]) > 0.3


@pytest.mark.parametrize("angle", [-4.0, 2.5])
def test_pitched_links_turn_as_before_and_travel_counts_along_the_new_vertical(
    angle: float,
) -> None:
    linkage = solve_linkage(spec_of(FOUR_LINK), AT)
    turned = linkage.pitched(angle)
    assert turned.links == linkage.links
    assert turned.eye_to_eye == pytest.approx(linkage.eye_to_eye)
    assert turned.motion.turn("stay") == pytest.approx(linkage.motion.turn("stay"))
    away = np.exp(1j * np.radians(angle))
    path = linkage.axle @ (1, 1j) * away
    assert turned.axle @ (1, 1j) == pytest.approx(path, abs=1e-9)
    assert turned.travel == pytest.approx(path.imag - path[0].imag, abs=1e-9)
    for name, (x, z) in linkage.drawn.items():
        assert complex(*turned.drawn[name]) == pytest.approx((x + 1j * z) * away, abs=1e-9)
