"""The body on the bike: its sizes, the hip's height, measured or usual, and what no body has."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.parameters import loads
from frame3d.rider.on_bike import body_on_bike, stature_of, usual_hip_height
from frame3d.rider.segments import lengths_of
from tests.charts import TRAIL, spec, without
from tests.rider.bodies import RIDER, bike, on_bike

FILE = """format: 1
name: Test bike
geometry: {reach: 455, head_tube_angle: 65.5, head_tube_length: 115, effective_seat_tube_angle: 75.5,
  seat_tube_length: 430, chainstay_length: 432, bb_drop: 62, fork_axle_to_crown: 529, fork_offset: 44,
  lower_headset_stack: 4, front_wheel_radius: 372, rear_wheel_radius: 372}
build:
  stem: {length: 50}
  seatpost: {saddle_height: 735}
  rider: {mass_kg: 80, %s}
"""


def test_usual_sizes_where_the_file_has_none() -> None:
    on = on_bike()
    assert (on.sole, on.heel_up, on.crank, on.saddle_length, on.drop) == (30, 20, 170, 260, 0)
    assert on.lengths == lengths_of(1780, 830)
    assert on_bike(crank=None).crank == 170


def test_sizes_of_the_file() -> None:
    on = on_bike(
        rider=RIDER | {"heel_up": 5},
        shoe={"sole": 22},
        crank={"length": 160},
        saddle={"length": 240},
        seatpost={"saddle_height": 735, "travel": 150},
    )
    assert (on.sole, on.heel_up, on.crank, on.saddle_length, on.drop) == (22, 5, 160, 240, 150)
    assert on.pedals == {"front": 160, "rear": -160}
    assert abs(on.saddle - on.lowest_saddle) == pytest.approx(150)
    assert on.lowest_ankle.imag < -160 + 22 + on.lengths.ankle_height + on.lengths.ankle


def test_the_usual_hip_stands_over_the_saddle_by_a_share_of_the_legs() -> None:
    assert usual_hip_height(lengths_of(1800)) == pytest.approx(0.053 * 1800)
    assert usual_hip_height(lengths_of(1800, 900)) == pytest.approx(0.053 * 900 / 0.47)
    assert on_bike().hip_height == usual_hip_height(lengths_of(1780, 830))


@pytest.mark.parametrize("offset", [0.0, 38.0], ids=["straight", "offset seat tube"])
def test_a_measured_hip_is_a_matter_of_the_rider_alone(offset: float) -> None:
    """Where the saddle is now does not change what was measured."""
    figures = without(TRAIL, "effective_seat_tube_angle", actual_seat_tube_angle=75.5)
    figures["seat_tube_offset"] = offset
    rider = RIDER | {"knee_angle": 32, "at_saddle_height": 735}
    heights = [
        on_bike(figures, rider=rider, seatpost={"saddle_height": height}).hip_height
        for height in (700, 735, 770)
    ]
    assert heights == pytest.approx([heights[0]] * 3)
    assert heights[0] != pytest.approx(on_bike().hip_height, abs=1)


def test_a_hip_that_is_known_is_taken() -> None:
    rider = RIDER | {"knee_angle": 28, "at_saddle_height": 735}
    found = body_on_bike(*bike(rider=rider), hip_height=77.0)
    assert found is not None
    assert found.hip_height == 77


def test_nobody_there() -> None:
    assert body_on_bike(*bike(rider=None)) is None
    assert body_on_bike(*bike(stem=None)) is None
    assert body_on_bike(*bike(rider={"mass_kg": 80})) is None


def test_stature() -> None:
    assert stature_of(spec(TRAIL)) is None
    assert stature_of(spec(TRAIL, {"rider": RIDER})) == 1780
    by_inseam = spec(TRAIL, {"rider": {"mass_kg": 80, "inseam": 846}})
    assert stature_of(by_inseam) == pytest.approx(1800)


@pytest.mark.parametrize(
    ("rider", "path", "said", "hint"),
    [
        ("height: 2400", "build.rider.height", "2400", "2300"),
        ("inseam: 1150", "build.rider.inseam", "rider of 2447 mm, taller than body tables", "1081"),
        (
            "height: 1780, inseam: 830, knee_angle: 80, at_saddle_height: 1000",
            "build.rider.knee_angle",
            "bends its knee by 80° on a saddle 1000 mm high: the hip would be",
            "flexion",
        ),
    ],
)
def test_a_body_that_there_is_not(rider: str, path: str, said: str, hint: str) -> None:
    """One fault, at its line."""
    _, nodes, chart = bike()
    with pytest.raises(SpecError) as caught:
        body_on_bike(loads(FILE % rider, "bike.yaml"), nodes, chart)
    (fault,) = caught.value.faults
    assert fault.path == path
    assert fault.place is not None
    assert fault.place.line == 9
    assert said in fault.message
    assert hint in f"{fault.message} {fault.hint}"
    assert "bike.yaml:9" in fault.render()
