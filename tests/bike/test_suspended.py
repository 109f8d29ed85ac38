"""The rear suspension on the solved bike: its points, its sag, and the bike at any travel."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.travel import over_travel


def test_the_axle_turns_about_the_pivot(bike: Bike) -> None:
    assert bike.linkage is not None
    pivot = np.array([10.0, 70.0])
    arms = np.linalg.norm(bike.linkage.axle - pivot, axis=1)
    assert np.ptp(arms) < 1e-9


def test_sag_stands_on_the_ground_with_the_rear_wheel_moved(bike: Bike) -> None:
    assert bike.linkage is not None
    assert bike.sagged is not None
    chart, nodes = bike.sagged.chart, bike.sagged.nodes
    ground = nodes["rear_contact"][2]
    assert nodes["rear_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    assert nodes["front_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    travel = over_travel(bike).sprung.asked
    assert travel is not None
    assert travel.stroke == pytest.approx(18, abs=1e-9)  # 30 % of 60
    x, z = bike.linkage.axle_at(travel.travel)
    assert chart["chainstay_length"] == pytest.approx(float(np.hypot(x, z)), abs=1e-9)
    bb = bike.chart["bb_height"]
    assert bb is not None
    assert chart["bb_height"] is not None
    assert chart["bb_height"] < bb
