"""How much of its tube a feature takes, along and around it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.tubes.features.extent import extent, footprint
from tests.featured import featured, of, one_tube


@pytest.mark.parametrize(
    ("feature", "half"),
    [
        ({"kind": "boss", "thread": "M6"}, (5.0, 5.0)),
        ({"kind": "vent", "diameter": 6}, (3.0, 3.0)),
        ({"kind": "port", "width": 6, "length": 14}, (7.0, 3.0)),
        ({"kind": "port", "width": 6, "length": 14, "turn": 90}, (3.0, 7.0)),
        ({"kind": "port", "width": 8, "lean": 60}, (8.0, 4.0)),
        ({"kind": "guide", "length": 20, "hose": 5}, (10.0, 4.25)),
        ({"kind": "eye", "width": 7, "thread": "M6"}, (6.0, 3.5)),
    ],
)
def test_half_of_one(feature: dict[str, Any], half: tuple[float, float]) -> None:
    bike = one_tube({"from_start": 200, **feature})
    assert extent(of(bike, "it")) == pytest.approx(half)


def test_a_footprint_lies_within_the_extent() -> None:
    """Of a slotted port, whose edge is exact, and of a guide, whose corners lie in a plane."""
    for feature in ({"kind": "port", "width": 6, "length": 14}, {"kind": "guide"}):
        bike = one_tube({"from_start": 200, **feature})
        along, around = extent(of(bike, "it"))
        points = footprint(of(bike, "it"), bike.tube("beam"))
        assert np.abs(points[:, 0]).max() == pytest.approx(along, abs=0.05)
        assert np.abs(points[:, 1]).max() == pytest.approx(around, abs=0.05)


def test_a_slot_reaches_up_to_the_tube_s_top() -> None:
    bike = featured({"seat_tube": {"slot": {"kind": "clamp_slot", "length": 30}}})
    assert extent(of(bike, "slot")) == (15.0, 3.0)
    (middle,) = of(bike, "slot").s
    assert middle == pytest.approx(bike.tube("seat_tube").axis.length - 15)
