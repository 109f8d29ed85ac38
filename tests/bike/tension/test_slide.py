"""Where the axle stands in sliding dropouts."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values
from frame3d.bike.tension.slide import at_place, other_ends, sliding_of
from frame3d.chart.as_built import SLIDE
from frame3d.errors import SpecError, TubeError

HARDTAIL = Path(__file__).parents[3] / "configs" / "trail_hardtail_29.yaml"
SLIDING = "build.dropout={kind: sliding, slide: {length: 16, at: 6}}"


@pytest.fixture(scope="module")
def bike() -> Bike:
    return frame3d.solve(frame3d.load(HARDTAIL, sets=[SLIDING]))


def test_chainstay_and_wheelbase_at_both_ends(bike: Bike) -> None:
    """The slot is level, so the wheelbase grows as far as the axle goes back; Pythagoras gives the rest."""
    found = sliding_of(bike)
    assert found is not None
    x, _, z = bike.nodes["rear_axle"]
    for place, back in ((found.front, -6.0), (found.now, 0.0), (found.back, 10.0)):
        assert place.at == 6 + back
        assert place.chainstay_length == pytest.approx(math.hypot(x - back, z))
        assert place.wheelbase == pytest.approx(bike.chart["wheelbase"] + back)


def test_the_frame_stays_and_the_axle_moves(bike: Bike) -> None:
    back = at_place(bike, 16.0)
    x, y, z = bike.dropouts[0].axle
    assert back.dropouts[0].axle == pytest.approx((x - 10, y, z))
    assert back.nodes["rear_axle"] == pytest.approx((x - 10, 0, z))
    assert back.dropouts[0].slide is not None
    assert back.dropouts[0].slide.front == pytest.approx((x + 6, y, z))
    for now, before in zip(back.tubes, bike.tubes, strict=True):
        assert now.axis.end == pytest.approx(before.axis.end)
    again = at_place(back, 6.0)
    assert again.nodes["rear_axle"] == pytest.approx(bike.nodes["rear_axle"])


def test_with_another_wheel_the_slot_turns_with_the_frame(bike: Bike) -> None:
    """The order of exchanges does not matter; the axle stays between the slot's turned ends."""
    other = exchange_values(bike, {"build.rear_wheel.tyre": "50-622", SLIDE: 0.0})
    same = at_place(exchange_values(bike, {"build.rear_wheel.tyre": "50-622"}), 0.0)
    assert abs(other.frame.pitch) > 0.1
    assert other.nodes["rear_axle"] == pytest.approx(same.nodes["rear_axle"])
    slide = other.dropouts[0].slide
    assert slide is not None
    assert slide.front == pytest.approx(other.dropouts[0].axle)
    assert other.nodes["rear_axle"][::2] == pytest.approx(slide.front[::2])


def test_the_other_ends(bike: Bike) -> None:
    assert other_ends(bike) == (("foremost", 0.0), ("rearmost", 16.0))
    assert other_ends(at_place(bike, 16.0)) == (("foremost", 0.0),)
    plain = frame3d.solve(frame3d.load(HARDTAIL))
    assert other_ends(plain) == ()
    assert sliding_of(plain) is None


def test_beyond_the_slot_is_refused(bike: Bike) -> None:
    with pytest.raises(SpecError, match="beyond the slot's end"):
        at_place(bike, 17.0)


def test_nothing_else_of_the_dropout_is_exchanged(bike: Bike) -> None:
    with pytest.raises(SpecError, match="no part that can be exchanged"):
        exchange_values(bike, {"build.dropout.slide.length": 20.0})


def test_no_sliding_dropouts_beside_a_rear_suspension() -> None:
    full = HARDTAIL.with_name("trail_full_140.yaml")
    with pytest.raises(TubeError, match="point of the linkage"):
        frame3d.solve(frame3d.load(full, sets=[SLIDING]))
