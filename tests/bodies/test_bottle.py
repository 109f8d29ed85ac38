"""Bottles along their tubes."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bodies.bike import body, layout

BOTTLES = "bottles: [{on: down_tube, from_start: 300}]"


@pytest.mark.parametrize(
    ("tube", "side", "sign"),
    [
        ("down_tube", "top", 1),
        ("down_tube", "bottom", -1),
        ("seat_tube", "front", 1),
        ("seat_tube", "rear", -1),
        ("top_tube", "bottom", -1),
    ],
)
def test_a_bottle_beside_its_tube(tube: str, side: str, sign: int) -> None:
    """Axis half the tube, 12 mm of cage and half the bottle from the tube's axis, along it from 100."""
    text = f"bottles: [{{on: {tube}, from_start: 100, side: {side}}}]"
    found = body("bottle_1", (BOTTLES, text))
    axis, on = found.tubes[0].axis, layout().tube(tube)
    assert axis.length == pytest.approx(190)
    od = {"down_tube": 38.1, "seat_tube": 34.9, "top_tube": 31.8}[tube]
    foot = on.axis.at(100.0)
    arm = np.array(axis.start) - foot
    assert np.linalg.norm(arm) == pytest.approx(od / 2 + 12 + 37)
    assert arm @ on.axis.tangent(100.0) == pytest.approx(0, abs=1e-9)
    assert arm[1] == pytest.approx(0, abs=1e-9)
    towards = arm[2] if side in ("top", "bottom") else arm[0]
    assert np.sign(towards) == sign
    assert found.touches == (tube,)


def test_bottles_are_numbered_in_order() -> None:
    text = (
        "bottles: [{on: down_tube, from_start: 300}, {on: seat_tube, from_start: 90, diameter: 60}]"
    )
    second = body("bottle_2", (BOTTLES, text))
    assert second.tubes[0].section.height[0] == 60
    assert second.part == "build.bottles.1"
