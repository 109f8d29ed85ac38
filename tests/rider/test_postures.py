"""Named postures: where the hip is in each, and where a rider cannot be."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from frame3d.rider.angles import trunk_angle
from frame3d.rider.body import centre_of_mass
from frame3d.rider.postures import (
    POSTURES,
    descending,
    forward,
    lowest_saddle,
    seated,
    standing,
)
from tests.charts import ROAD
from tests.rider.bodies import RIDER, on_bike

ON = on_bike(seatpost={"saddle_height": 735, "travel": 150})


def hip(posture: str, on: object = ON) -> complex:
    joints = POSTURES[posture](on)  # type: ignore[arg-type]
    assert joints is not None
    return joints["hip"]


def test_on_the_nose() -> None:
    """As high as seated, a share of the saddle's length ahead; trunk and centre lower, further ahead."""
    assert hip("forward") - hip("seated") == pytest.approx(0.3 * 260)
    high, low = seated(ON), forward(ON)
    assert high is not None
    assert low is not None
    assert trunk_angle(low) < trunk_angle(high) - 5
    moved = centre_of_mass(low) - centre_of_mass(high)
    assert moved.real > 78
    assert moved.imag < -20


def test_at_full_drop() -> None:
    assert hip("seated") - hip("lowest_saddle") == pytest.approx(150 * ON.seatpost)
    assert lowest_saddle(replace(ON, drop=0.0)) is None


@pytest.mark.parametrize("height", [1550, 1780, 2000])
def test_standing_is_balanced_on_level_feet(height: float) -> None:
    on = on_bike(rider=RIDER | {"height": height, "inseam": 0.47 * height})
    joints = standing(on)
    assert joints is not None
    assert centre_of_mass(joints).real == pytest.approx(0, abs=1e-6)
    for side in ("front", "rear"):
        assert joints[f"heel_{side}"].imag == pytest.approx(joints[f"toe_{side}"].imag)


def test_descending_is_low_and_behind() -> None:
    """By 0.068 of the stature each way (common practice, no source); knees and trunk more bent."""
    moved = hip("standing") - hip("descending")
    assert moved == pytest.approx(complex(0.068, 0.068) * 1780)
    up, down = standing(ON), descending(ON)
    assert up is not None
    assert down is not None
    for side in ("front", "rear"):
        legs = [abs(j["hip"] - j[f"ankle_{side}"]) for j in (up, down)]
        assert legs[1] < legs[0]
    moved = centre_of_mass(up) - centre_of_mass(down)
    assert moved.real > 50
    assert moved.imag > 50


def test_descending_stays_above_the_saddle() -> None:
    """Over a high saddle the hip is where it is when seated there; behind it, lower."""
    high = replace(ON, drop=0.0, saddle=hip("descending") - 1j * (ON.hip_height - 40))
    assert hip("descending", high).imag == pytest.approx(high.saddle.imag + high.hip_height)
    assert hip("descending", high).real == pytest.approx(hip("descending").real)
    behind = replace(high, saddle=high.saddle + 0.51 * high.saddle_length)
    assert hip("descending", behind) == pytest.approx(hip("descending"))


@pytest.mark.parametrize("name", ["seated", "forward", "standing", "descending"])
def test_grips_out_of_reach(name: str) -> None:
    far = replace(ON, hands=ON.hands + 900)
    assert POSTURES[name](far) is None


def test_all_of_them_on_a_drop_bar() -> None:
    on = on_bike(ROAD, seatpost={"saddle_height": 730, "travel": 80})
    for name, posture in POSTURES.items():
        joints = posture(on)
        assert joints is not None, name
        assert math.isfinite(centre_of_mass(joints).real)
