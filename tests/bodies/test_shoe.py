"""Shoes on their pedals, swinging about the pedals' axles."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose, placed_matrix
from tests.bodies.bike import bodies, body
from tests.bodies.distance import union
from tests.bodies.test_crank import SIGN, extent


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("crank", [0.0, 120.0])
def test_shoes_stand_on_their_pedals(side: str, crank: float) -> None:
    """290 mm long, ball 0.28 of it behind the toe over the axle, sole on the pedal's top face."""
    pose = Pose(crank=crank)
    axle = placed_matrix(body(f"pedal_{side}").shapes[0], pose)[:3, 3]
    forward, up = np.array([1.0, 0, 0]), np.array([0.0, 0, 1.0])
    toe = extent(f"shoe_{side}", forward, pose) - axle[0]
    heel = -extent(f"shoe_{side}", -forward, pose) - axle[0]
    assert toe == pytest.approx(0.28 * 290)
    assert toe - heel == pytest.approx(290)
    assert -extent(f"shoe_{side}", -up, pose) == pytest.approx(axle[2] + 9)
    y = np.array([0.0, SIGN[side], 0.0])
    assert extent(f"shoe_{side}", y, pose) == pytest.approx(141 + 0.18 * 290)


@pytest.mark.parametrize("side", ["left", "right"])
def test_heels_swing_toward_the_frame_about_the_pedals_axle(side: str) -> None:
    rest, swung = Pose(), Pose(heel=12)
    heel = np.array([0.28 * 290 - 290, SIGN[side] * 141, 34.0])
    inward = heel.copy()
    turn = np.radians(12)
    inward[0] = heel[0] * np.cos(turn) + SIGN[side] * 170
    inward[1] = SIGN[side] * (141 - abs(heel[0]) * np.sin(turn))
    shoe = body(f"shoe_{side}").shapes
    at_rest = union(shoe, heel[None] + (SIGN[side] * 170, 0, 0), rest)[0]
    assert union(shoe, inward[None], swung)[0] == pytest.approx(at_rest, abs=1e-9)


def test_what_a_shoe_needs_is_named_in_full() -> None:
    change = [("  pedal: {}\n", ""), (", shoe_length: 290", "")]
    needs = {a.name: a.needs for a in bodies(*change).absent}
    assert needs["shoe"] == "build.rider.shoe_length and build.pedal"
