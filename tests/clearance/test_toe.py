"""Toe clearance: least over steering and travel, against points of the rim."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.clearance.toe import FrontEnd, toe_clearance


def test_toe_clearance_by_points_of_the_rim() -> None:
    """No point of the turned rim at the pedal's height and width is nearer than the answer."""
    front, pedal = FrontEnd((780, 368), 65, 44, 368), (170.0, 90.0, 335.0)
    found = toe_clearance(front, pedal, limit=60, travel=130)
    h = math.radians(65)
    up = np.array([-math.cos(h), 0, math.sin(h)])
    ahead = np.array([math.sin(h), 0, math.cos(h)])
    side = np.array([0.0, 1.0, 0.0])
    angle = np.linspace(0, 2 * np.pi, 4001)
    nearest = math.inf
    for fork in np.linspace(0, 130, 14):
        foot = np.array([780, 0, 368]) - 44 * ahead + fork * up
        for turn in np.radians(np.linspace(-60, 0, 601)):
            forward = math.cos(turn) * ahead + math.sin(turn) * side
            centre = foot + 44 * forward
            rim = centre + 368 * (np.cos(angle)[:, None] * forward + np.sin(angle)[:, None] * up)
            # Where the rim passes the pedal's lateral position near its height.
            close = (np.abs(rim[:, 1] - 90) < 1.0) & (np.abs(rim[:, 2] - 335) < 1.0)
            if close.any():
                nearest = min(nearest, float(rim[close, 0].min()) - 170)
    assert nearest == pytest.approx(found.distance, abs=4)
    assert nearest >= found.distance - 4


def test_a_wheel_that_never_comes_abreast_has_no_toe_overlap() -> None:
    assert toe_clearance(FrontEnd((780, 368), 65, 44, 368), (170, 90, 335), 5).distance == math.inf


@pytest.mark.parametrize("pedal", [(170.0, 95.0, 0.0), (170.0, -95.0, 40.0)])
@pytest.mark.parametrize("travel", [0.0, 120.0])
def test_no_steering_and_travel_comes_nearer(
    pedal: tuple[float, float, float], travel: float
) -> None:
    """A dense grid of both: the line forward through the pedal, cut with the wheel's plane."""
    front = FrontEnd((690.0, 60.0), 66.0, 44.0, 372.0)
    found = toe_clearance(front, pedal, limit=60, travel=travel)
    h = math.radians(66)
    up, ahead = np.array([-math.cos(h), 0, math.sin(h)]), np.array([math.sin(h), 0, math.cos(h)])
    sign = -1 if pedal[1] > 0 else 1
    least = math.inf
    for fork in np.linspace(0, travel, 13 if travel else 1):
        for steer in np.radians(np.linspace(0.05, 60, 1200)):
            forward = math.cos(steer) * ahead + sign * math.sin(steer) * np.array([0.0, 1.0, 0.0])
            axle = math.cos(steer) * np.array([0.0, 1.0, 0.0]) - sign * math.sin(steer) * ahead
            centre = np.array([690.0, 0, 60.0]) - 44 * ahead + fork * up + 44 * forward
            t = float((centre - pedal) @ axle / axle[0])
            if np.linalg.norm(np.add(pedal, (t, 0, 0)) - centre) <= 372:
                least = min(least, t)
    assert found.distance <= least + 1e-9
    assert found.distance == pytest.approx(least, abs=1.0)
    assert 0 <= found.fork <= travel
    assert abs(found.steer) <= 60
