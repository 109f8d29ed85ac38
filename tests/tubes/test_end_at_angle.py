"""Ends placed by an angle: by hand, by search, and where no point gives it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from frame3d.errors import TubeError
from frame3d.geometry.vector import vector
from tests.tubes.placing import (
    NODES,
    OTHER,
    SEAT_UP,
    Faulty,
    assert_fault,
    one,
    place,
    refused,
    strut,
)


def test_angle_by_hand() -> None:
    """By hand, s = w_par − w_perp / tan θ: from a point 300 behind a vertical tube."""
    post = {"od": 30.0, "wall": 1.0, "start": {"at": [0.0, 0.0, 500.0]}, "end": {"at": [0, 0, 900]}}
    arm = {"start": {"at": [-300.0, 0.0, 800.0]}, "end": {"on": "post", "angle": 60.0}}
    tubes = {"post": post, "arm": {"od": 20.0, "wall": 1.0, **arm}}
    tube = next(t for t in place(tubes).tubes if t.name == "arm")
    # The arm rises from the post toward its start: at 60 degrees it meets 300 / tan 60 below.
    assert tube.end.point == pytest.approx((0.0, 0.0, 800.0 - 300.0 / np.tan(np.radians(60.0))))
    assert tube.end.angle == pytest.approx(60.0)


@given(
    angle=st.floats(70.0, 100.0),
    which=st.sampled_from(["start", "end"]),
    bends=st.lists(
        st.tuples(st.floats(60.0, 250.0), st.floats(-30.0, 30.0), st.floats(-30.0, 30.0)),
        max_size=2,
    ),
)
@settings(max_examples=40, deadline=None)
def test_an_end_placed_by_an_angle_has_it(
    angle: float, which: str, bends: list[tuple[float, float, float]]
) -> None:
    bends = sorted(bends)
    assume(len(bends) < 2 or bends[1][0] - bends[0][0] > 120.0)
    by_angle = {"on": "seat_tube", "angle": angle}
    fixed = {"on": "head_tube", "below_top": 50.0}
    ends = (
        {"start": by_angle, "end": fixed} if which == "start" else {"end": by_angle, "start": fixed}
    )
    shape = [{"along": a + 80, "y": y, "rise": rise, "radius": 60.0} for a, y, rise in bends]
    try:
        tube = next(
            t
            for t in place({"strut": {"od": 20.0, "wall": 1.0, "bends": shape, **ends}}).tubes
            if t.name == "strut"
        )
    except TubeError as error:  # beyond the seat tube's ends, or bent too sharply
        codes = {f.code for f in error.faults}
        assume(not codes <= {"junction-miss", "bend"})
        raise
    end = tube.start if which == "start" else tube.end
    assert end.angle == pytest.approx(angle, abs=1e-7)
    off = np.linalg.norm(np.cross(vector(end.point), SEAT_UP))
    assert off == pytest.approx(0.0, abs=1e-9)


def test_angle_with_a_lateral_position() -> None:
    tube = one(
        {"on": "seat_tube", "angle": 75.0, "y": 6.0},
        {"on": "head_tube", "below_top": 50.0, "y": 4.0},
    )
    assert tube.start.point[1] == 6.0
    assert tube.start.angle == pytest.approx(75.0, abs=1e-9)
    assert tube.start.offset == pytest.approx(6.0, abs=0.01)


def test_the_range_of_angles_is_named() -> None:
    (fault,) = refused(FAULTS["angle out of reach"][0])
    low, high = (float(word) for word in fault.hint.split() if word[0].isdigit())
    for angle, fits in ((low + 0.1, True), (high - 0.1, True)):
        tube = one({"on": "seat_tube", "angle": angle}, OTHER)
        assert (tube.start.angle == pytest.approx(angle)) == fits
    assert low < high


FAULTS: dict[str, Faulty] = {
    "two angles": (
        strut({"on": "seat_tube", "angle": 80.0}, {"on": "head_tube", "angle": 80.0}),
        "junction-target",
        "tubes.strut.end.angle",
        "both ends are placed by an angle",
    ),
    "angle on a bent tube": (
        strut({"on": "seatstay", "side": "left", "angle": 80.0}, OTHER),
        "junction-target",
        "tubes.strut.start.angle",
        "seatstay is bent",
    ),
    "angle out of reach": (
        strut({"on": "seat_tube", "angle": 30.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.angle",
        "past the end of seat_tube",
    ),
    "angle along the target": (
        strut(
            {"on": "seat_tube", "angle": 30.0},
            {"at": list(600.0 / 430 * vector(NODES["seat_tube_top"]))},
        ),
        "junction-miss",
        "tubes.strut.start.angle",
        "lies along the axis of seat_tube",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    assert_fault(tubes, code, path, words)
