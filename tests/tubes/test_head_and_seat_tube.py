"""Head tube and seat tube, which the chart places."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import TubeError
from frame3d.geometry.vector import vector
from frame3d.parameters.models.frame import FrameSpec
from tests.bikes import hardtail_chart, hardtail_data
from tests.tubes.placing import NODES, Faulty, assert_fault


def test_head_tube_and_seat_tube_follow_the_chart(hardtail: PlacedTubes) -> None:
    head, seat = hardtail.tubes[:2]
    assert head.axis.start == pytest.approx(NODES["head_tube_bottom"])
    assert head.axis.end == pytest.approx(NODES["head_tube_top"])
    assert seat.axis.start == pytest.approx((0.0, 0.0, 0.0))
    assert seat.axis.end == pytest.approx(NODES["seat_tube_top"])
    assert seat.start.target == "bottom_bracket"
    # Equal to R − √(R² − r²) deep at right angles: 20 and 17.45.
    depth = seat.start.short_point - seat.start.long_point
    assert depth == pytest.approx(20.0 - np.sqrt(20.0**2 - 17.45**2), abs=1e-9)


def test_seat_tube_that_the_chart_does_not_settle() -> None:
    spec = FrameSpec.model_validate(hardtail_data())
    chart = hardtail_chart() | {"seat_tube_length": None}
    with pytest.raises(TubeError, match=r"geometry\.seat_tube_length") as caught:
        place_tubes(spec, NODES, chart)
    assert caught.value.faults[0].code == "under-determined"


def test_seat_tube_foot_with_an_offset() -> None:
    """The axis passes the bottom bracket `seat_tube_offset` ahead; length counts from the foot."""
    data = hardtail_data()
    angle, offset, length = np.radians(72.0), 12.0, 420.0
    foot = offset * np.array([np.sin(angle), 0.0, np.cos(angle)])
    top = foot + length * np.array([-np.cos(angle), 0.0, np.sin(angle)])
    chart = hardtail_chart() | {
        "actual_seat_tube_angle": 72.0,
        "seat_tube_offset": offset,
        "seat_tube_length": length,
    }
    nodes = NODES | {"seat_tube_top": (float(top[0]), 0.0, float(top[2]))}
    seat = place_tubes(FrameSpec.model_validate(data), nodes, chart).tubes[1]
    assert seat.start.point == pytest.approx(foot)
    assert seat.start.target == "bottom_bracket"
    assert seat.start.offset == pytest.approx(12.0)
    assert seat.axis.length == pytest.approx(420.0)

    data["tubes"]["seat_tube"]["start"] = {"on": "down_tube"}
    placed = place_tubes(FrameSpec.model_validate(data), nodes, chart)
    assert [t.name for t in placed.tubes[:3]] == ["head_tube", "down_tube", "seat_tube"]
    seat = placed.tubes[2]
    down = placed.tubes[1].axis
    s = down.nearest(np.array([seat.start.point]))
    assert down.points(s)[0] == pytest.approx(seat.start.point, abs=1e-8)
    assert np.cross(vector(seat.start.point) - top, foot - top) == pytest.approx(0.0, abs=1e-6)
    assert seat.start.target == "down_tube"

    data["tubes"]["seat_tube"]["start"] = {"above_bottom": 90.0}
    seat = place_tubes(FrameSpec.model_validate(data), nodes, chart).tubes[1]
    assert np.linalg.norm(vector(seat.start.point) - foot) == pytest.approx(90.0)
    assert (seat.start.cut, seat.start.target) == ("square", None)

    far = chart | {"seat_tube_offset": 60.0}
    foot = 60.0 * np.array([np.sin(angle), 0.0, np.cos(angle)])
    top = foot + length * np.array([-np.cos(angle), 0.0, np.sin(angle)])
    del data["tubes"]["seat_tube"]["start"]
    nodes |= {"seat_tube_top": (float(top[0]), 0.0, float(top[2]))}
    with pytest.raises(TubeError, match=r"passes 60.0 mm from the bottom bracket shell's"):
        place_tubes(FrameSpec.model_validate(data), nodes, far)


FAULTS: dict[str, Faulty] = {
    "seat tube by distance": (
        {"seat_tube": {"od": 34.9, "wall": 1.65, "start": {"on": "down_tube", "from_start": 9.0}}},
        "inconsistent",
        "tubes.seat_tube.start.from_start",
        "the chart says where",
    ),
    "seat tube beside its host": (
        {
            "beam": {
                "od": 20.0,
                "wall": 1.0,
                "start": {"at": [-250.0, 60.0, 100.0]},
                "end": {"at": [250.0, 60.0, 100.0]},
            },
            "seat_tube": {"od": 34.9, "wall": 1.65, "start": {"on": "beam"}},
        },
        "junction-miss",
        "tubes.seat_tube.start.on",
        "passes beam 60.0 mm away",
    ),
    "seat tube of no length": (
        {"seat_tube": {"od": 34.9, "wall": 1.65, "start": {"above_bottom": 440.0}}},
        "junction-miss",
        "tubes.seat_tube.start.above_bottom",
        "above the seat tube's top",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    assert_fault(tubes, code, path, words)
