"""Drawn points: worked by hand, and their derivatives against differences."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.linkage.points import OnTube, as_pairs, beside, drift, given_value, no_tubes, positions
from frame3d.parameters.models.suspension import SuspensionSpec
from tests.linkage.bikes import spec_of

SECTION = """
points:
  rocker_rear: {on: rocker_pivot, forward: -65, above: 22}
  rocker_pivot: {on: seat_tube, from_start: 200, offset: 15}
  main_pivot: [12, 62]
  low: {on: main_pivot, above: -20}
  tail: {on: rear_axle, forward: 30}
  shock_front: {on: down_tube, from_end: 120}
links:
  frame: [main_pivot, rocker_pivot, shock_front]
  arm: [main_pivot, low, tail, rocker_rear]
  rocker: [rocker_pivot, rocker_rear]
axle: {on: arm}
shock: {start: shock_front, end: low, eye_to_eye: 200, stroke: 40}
"""
HEAD = """format: 1
name: Test
geometry: {reach: 455}
tubes:
  seat_tube: {od: 34.9, wall: 1}
  head_tube: {od: 44, wall: 1}
  down_tube: {start: {on: bottom_bracket}, end: {on: head_tube, above_bottom: 30}, od: 40, wall: 1}
"""
AXLE = (-440.0, 30.0)
LINES = {"seat_tube": ((0.0, 0.0), (-120.0, 350.0)), "down_tube": ((0.0, 0.0), (480.0, 360.0))}


def suspension() -> SuspensionSpec:
    out = spec_of(SECTION, HEAD).suspension
    assert out is not None
    return out


def straight(
    tube: str, from_start: float | None, from_end: float | None, offset: float
) -> tuple[float, float]:
    start, end = LINES[tube]
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    along = length - from_end if from_start is None and from_end is not None else from_start
    assert along is not None
    return beside(start, end, along, offset)


def bent(
    tube: str, from_start: float | None, from_end: float | None, offset: float
) -> tuple[float, float]:
    """On a circle of 500 mm about (500, 0), from the bottom bracket upward; offset outward."""
    assert offset in (0, 15)
    along = 600.0 - from_end if from_end is not None else from_start
    assert along is not None
    angle = np.pi - along / 500
    return (500 + 500 * float(np.cos(angle)), 500 * float(np.sin(angle)))


def test_positions_by_hand() -> None:
    """The seat tube is (-12, 35)/37 along and (35, 12)/37 above; the down tube (4, 3)/5."""
    found = positions(suspension(), AXLE, straight)
    pivot = (200 * (-12 + 35j) + 15 * (35 + 12j)) / 37
    assert found == pytest.approx(
        {
            "bottom_bracket": 0j,
            "rear_axle": -440 + 30j,
            "main_pivot": 12 + 62j,
            "low": 12 + 42j,
            "tail": -410 + 30j,
            "rocker_pivot": pivot,
            "rocker_rear": pivot - 65 + 22j,
            "shock_front": (600 - 120) * (4 + 3j) / 5,
        }
    )
    assert as_pairs(found)["tail"] == (-410.0, 30.0)


def test_values_of_ones_own_replace_the_files() -> None:
    moved = {("main_pivot", "x"): 20.0, ("rocker_pivot", "offset"): 0.0, ("low", "forward"): 5.0}
    found = positions(suspension(), AXLE, straight, moved)
    assert found["main_pivot"] == 20 + 62j
    assert found["low"] == 25 + 42j
    assert found["rocker_pivot"] == pytest.approx(200 * (-12 + 35j) / 37)


def test_what_the_file_leaves_out_is_nothing() -> None:
    there = suspension()
    assert given_value(there, ("main_pivot", "z")) == 62
    assert given_value(there, ("main_pivot", "x")) == 12
    assert given_value(there, ("rocker_rear", "forward")) == -65
    assert given_value(there, ("low", "forward")) == 0
    assert given_value(there, ("rocker_pivot", "from_start")) == 200


COORDINATES = [
    ("main_pivot", "x"),
    ("main_pivot", "z"),
    ("low", "above"),
    ("tail", "forward"),
    ("rocker_rear", "forward"),
    ("rocker_pivot", "from_start"),
    ("rocker_pivot", "offset"),
    ("shock_front", "from_end"),
]


@pytest.mark.parametrize(
    ("on", "coordinate"),
    [(straight, c) for c in COORDINATES] + [(bent, c) for c in COORDINATES if c[1] != "offset"],
)
def test_drifts_are_the_derivatives(on: OnTube, coordinate: tuple[str, str]) -> None:
    there, step = suspension(), 1e-3
    here = given_value(there, coordinate)
    ends = [positions(there, AXLE, on, {coordinate: here + d}) for d in (-step, step)]
    found = drift(there, AXLE, on, {}, coordinate)
    assert found.keys() == ends[0].keys()
    for point, at in found.items():
        wanted = (ends[1][point] - ends[0][point]) / (2 * step)
        assert at == pytest.approx(wanted, abs=1e-6), point
    assert found[coordinate[0]] != 0


@given(st.floats(-np.pi, np.pi), st.floats(1, 500), st.floats(-100, 600), st.floats(-50, 50))
def test_beside_a_line(direction: float, length: float, along: float, offset: float) -> None:
    """As far along and as far off as said, on the upper side; the same from either end of the line."""
    start = (7.0, -3.0)
    away = np.array([np.cos(direction), np.sin(direction)])
    end = (start[0] + length * away[0], start[1] + length * away[1])
    at = np.subtract(beside(start, end, along, offset), start)
    assert at @ away == pytest.approx(along, abs=1e-9)
    off = at - (at @ away) * away
    assert np.linalg.norm(off) == pytest.approx(abs(offset), abs=1e-9)
    if abs(np.cos(direction)) > 1e-6:
        assert off[1] * offset >= -1e-9
        back = beside(end, start, length - along, offset)
        assert back == pytest.approx(beside(start, end, along, offset), abs=1e-6)


def test_beside_a_vertical_line_is_ahead() -> None:
    for ends in (((0, 0), (0, 100)), ((0, 100), (0, 0))):
        assert beside(*ends, 50, 10) == pytest.approx((10, 50))


def test_without_tubes_a_point_on_one_is_an_error() -> None:
    with pytest.raises(KeyError, match="seat_tube"):
        positions(suspension(), AXLE, no_tubes)
