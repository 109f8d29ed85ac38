"""Outlines of dropouts, by hand: boss, arms beyond it, sockets and hoods at the stays' ends."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import Body, bodies_of
from frame3d.bodies.placement import Placement
from frame3d.parameters.models.frame import FrameSpec
from frame3d.pivots.sockets import socket
from tests.bikes import hardtail_data
from tests.bodies.distance import signed


def made(dropout: dict[str, Any]) -> tuple[Bike, Body]:
    data = hardtail_data()
    data["build"]["dropout"] = dropout
    bike = solve(FrameSpec.model_validate(data))
    (body,) = [one for one in bodies_of(bike).bodies if one.name == "rear_dropout_left"]
    return bike, body


def depth(body: Body, at: np.ndarray) -> float:
    """How deep a point lies in any of a body's shapes, negative outside [mm]."""
    return max(-float(signed(shape, at[None])[0]) for shape in (*body.shapes, *body.hull))


@pytest.mark.parametrize("kind", ["plain", "hooded"])
def test_metal_at_axle_and_stays_and_none_where_hub_and_axle_are(kind: str) -> None:
    bike, body = made({"kind": kind, "thickness": 7, "boss": 30})
    dropout = next(one for one in bike.dropouts if one.name == body.name)
    axle = np.array(dropout.axle)
    out = np.array([0.0, 1.0, 0.0])
    if kind == "plain":
        # In the middle of the boss the faces are the nearest: half its thickness away.
        assert depth(body, axle + 3.5 * out) == pytest.approx(3.5, abs=0.01)
    for off in (-1.0, 8.0):
        for turn in np.radians([0, 90, 180, 270]):
            beside = axle + off * out + 6.0 * np.array([np.cos(turn), 0.0, np.sin(turn)])
            assert depth(body, beside) == pytest.approx(-1.0, abs=0.01)
    tubes = {tube.name: tube for tube in bike.tubes}
    for name, which in dropout.stays:
        end = socket(dropout, tubes[name], which)
        middle = (np.array(end.back) + np.array(end.front)) / 2
        half = min(end.height, end.width, np.linalg.norm(np.subtract(end.front, end.back))) / 2
        assert depth(body, middle) >= half - 0.01
        if end.arm is not None and kind == "plain":
            assert depth(body, (np.array(end.arm.start) + np.array(end.arm.end)) / 2) > 2.0


def test_they_are_the_frames_own_and_joined_to_the_hub() -> None:
    bike, body = made({})
    assert body.name in Placement(bike).frame_names
    assert body.family == "frame"
    assert "rear_hub" in body.touches
