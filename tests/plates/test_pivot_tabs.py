"""Tabs at points of the rear suspension, on the full-suspension demo."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.errors import SpecError, TubeError
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.tubes.hardware import Lug

FULL = Path(__file__).parents[2] / "configs" / "trail_full_140.yaml"
TAB = "{kind: pivot_tab, at: shock_front, on: down_tube, base: 60, thickness: 6"


def bike(more: str = "", *sets: str) -> Bike:
    spec = frame3d.load(FULL, sets=["plates.shock_tab=" + TAB + more + "}", *sets])
    return frame3d.solve(spec)


@pytest.fixture(scope="module")
def made() -> Bike:
    return bike()


def lugs(one: Bike) -> list[Lug]:
    return [item for item in one.pivots if isinstance(item, Lug) and item.plate is not None]


def test_its_holes_are_at_the_point_and_its_faces_those_of_the_lugs(made: Bike) -> None:
    assert made.linkage is not None
    x, z = made.linkage.drawn["shock_front"]
    assert [lug.name for lug in lugs(made)] == [
        "lug_shock_front_frame_left",
        "lug_shock_front_frame_right",
    ]
    for lug in lugs(made):
        plate = lug.plate
        assert plate is not None
        (hole,) = plate.outline.holes
        low, high = (plate.plane.at(hole.at, h) for h in (plate.low, plate.high))
        for end in (low, high):
            assert (end[0], end[2]) == pytest.approx((x, z), abs=1e-6)
        assert sorted((low[1], high[1])) == pytest.approx(lug.span)
        assert hole.diameter == lug.bore
        assert plate.outline.flaws() == ()


def test_the_eye_goes_between_them_with_its_play(made: Bike) -> None:
    assert made.spec.suspension is not None
    left, right = lugs(made)
    apart = left.span[0] - right.span[1]
    assert apart == pytest.approx(made.spec.suspension.shock.eye_width + 2 * 0.5)


def test_its_base_is_on_the_tube_at_the_outer_face(made: Bike) -> None:
    """Distance from the tube's axis at the face furthest from the centre plane is the tube's radius."""
    left = lugs(made)[0]
    plate = left.plate
    assert plate is not None
    tube = next(tube for tube in made.tubes if tube.name == "down_tube")
    foot = [v for v in plate.outline.outer.vertices if abs(abs(v[0]) - 30) < 1e-6]
    assert len(foot) == 2
    outer = plate.low if abs(plate.low) > abs(plate.high) else plate.high
    points = np.array([plate.plane.at((v[0], v[1]), outer) for v in foot])
    s, far = tube.axis.approach(points)
    for distance, place in zip(far, s, strict=True):
        height, width = (float(r) for r in tube.section.radii_at(float(place)))
        if math.isclose(height, width):
            assert distance == pytest.approx(height, abs=0.02)


def test_it_is_weighed_as_its_solid(made: Bike) -> None:
    parts = {part.name: part.mass for part in frame3d.build(made).parts}
    for lug in lugs(made):
        assert lug.plate is not None
        assert lug.plate.grams == pytest.approx(parts[lug.name], rel=2e-3)
        assert made.frame.masses.parts[lug.name] == lug.plate.grams


def test_it_is_a_flat_part_with_what_goes_into_its_hole(made: Bike) -> None:
    (tab,) = [part for part in flat_parts_of(made.frame) if part.name == "shock_tab"]
    assert (tab.count, tab.key, tab.kind) == (2, "plates.shock_tab", "pivot_tab")
    assert tab.outline.holes[0].note == "axle of shock front"


def test_radius_and_shift_are_the_file_s() -> None:
    left = lugs(bike(", radius: 14, shift: 12"))[0]
    assert left.plate is not None
    (hole,) = left.plate.outline.holes
    assert hole.x == pytest.approx(-12, abs=0.5)
    assert left.plate.outline.wall(hole) == pytest.approx(10)


@pytest.mark.parametrize(
    ("change", "path", "message"),
    [
        ("thickness: 8", "plates.shock_tab.thickness", "laid out 6 mm thick"),
        ("at: rocker_rear", "plates.shock_tab.at", "has no pair of lugs"),
        ("radius: 3", "plates.shock_tab.radius", "metal to the edge"),
    ],
)
def test_what_does_not_fit_is_told(change: str, path: str, message: str) -> None:
    key, _, value = change.partition(": ")
    base = {"at": "shock_front", "base": "60", "thickness": "6", key: value}
    given = ", ".join(f"{k}: {v}" for k, v in base.items())
    text = "plates.shock_tab={kind: pivot_tab, on: down_tube, " + given + "}"
    spec = frame3d.load(FULL, sets=[text])
    with pytest.raises(TubeError) as caught:
        frame3d.solve(spec)
    first = caught.value.faults[0]
    assert first.path == path
    assert message in first.message


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("at: nowhere, on: down_tube", "nowhere"),
        ("at: rear_axle, on: down_tube", "rear_axle"),
        ("at: shock_front, on: chainstay", "beside the centre plane"),
        ("at: shock_front, on: mast", "mast"),
    ],
)
def test_names_that_mean_nothing(text: str, message: str) -> None:
    given = "plates.shock_tab={kind: pivot_tab, base: 60, thickness: 6, " + text + "}"
    with pytest.raises(SpecError, match=message):
        frame3d.load(FULL, sets=[given])
