"""Centrelines: tangent arcs, lengths, frames, nearest points; truth from closed forms and sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from frame3d.geometry.centreline import Arc, BendError, Centreline, Line, widths_of_lines
from frame3d.geometry.vector import Point, mirrored, point

COORDINATE = st.floats(-400.0, 400.0)
CORNERS = st.lists(st.tuples(COORDINATE, COORDINATE, COORDINATE), min_size=2, max_size=5)


def drawn(corners: list[Point], radius: float) -> Centreline:
    try:
        return Centreline.through(tuple(corners), (radius,) * (len(corners) - 2))
    except BendError:
        assume(False)
        raise


@given(CORNERS, st.floats(5.0, 120.0))
@settings(max_examples=80, deadline=None)
def test_pieces_meet_tangentially_and_lengths_add_up(corners: list[Point], radius: float) -> None:
    line = drawn(corners, radius)
    assert line.start == pytest.approx(corners[0], abs=1e-9)
    assert line.end == pytest.approx(corners[-1], abs=1e-9)
    for s in line.starts[1:-1]:
        low, high = line.tangent(s - 1e-7), line.tangent(s + 1e-7)
        assert low == pytest.approx(high, abs=1e-5)
        assert line.at(s - 1e-7) == pytest.approx(line.at(s + 1e-7), abs=1e-5)
    # Length by chords from below: exact for lines, (δ²/24) short for arcs.
    s = np.linspace(0.0, line.length, 20001)
    chords = np.linalg.norm(np.diff(line.points(s), axis=0), axis=1).sum()
    assert chords == pytest.approx(line.length, rel=1e-6)
    assert chords <= line.length * (1 + 1e-12)


@given(CORNERS, st.floats(5.0, 120.0))
@settings(max_examples=40, deadline=None)
def test_curvatures_are_how_fast_tangents_turn(corners: list[Point], radius: float) -> None:
    line = drawn(corners, radius)
    s = np.linspace(-20.0, line.length + 20.0, 300)
    s = s[np.abs(s[:, None] - line.starts).min(axis=1) > 1e-3]
    before, after = (np.array([line.tangent(x + step) for x in s]) for step in (-1e-4, 1e-4))
    assert line.curvatures(s) == pytest.approx((after - before) / 2e-4, abs=1e-6)


@given(CORNERS, st.floats(5.0, 120.0))
@settings(max_examples=40, deadline=None)
def test_one_place_and_many_places_agree(corners: list[Point], radius: float) -> None:
    line = drawn(corners, radius)
    s = np.concatenate((np.linspace(-20.0, line.length + 20.0, 60), line.starts))
    points, up, across = line.frames(s)
    assert np.array([line.at(x) for x in s]) == pytest.approx(points, abs=1e-10)
    assert np.array([line.tangent(x) for x in s]) == pytest.approx(line.tangents(s), abs=1e-13)
    assert np.array([line.frame(x)[0] for x in s]) == pytest.approx(up, abs=1e-12)
    assert np.array([line.frame(x)[1] for x in s]) == pytest.approx(across, abs=1e-12)
    one = line.frames(s[7:8])
    assert np.concatenate(one) == pytest.approx(np.stack((points[7], up[7], across[7])), abs=1e-10)


@given(CORNERS, st.floats(5.0, 120.0))
@settings(max_examples=40, deadline=None)
def test_mirror_image(corners: list[Point], radius: float) -> None:
    line = drawn(corners, radius)
    other = Centreline.through(tuple(mirrored(c) for c in corners), (radius,) * (len(corners) - 2))
    s = np.linspace(-20.0, line.length + 20.0, 60)
    flip = np.array([1.0, -1.0, 1.0])
    for image in (line.mirrored(), other):
        assert image.length == pytest.approx(line.length, abs=1e-9)
        assert image.points(s) == pytest.approx(line.points(s) * flip, abs=1e-7)


@given(CORNERS, st.floats(5.0, 120.0))
@settings(max_examples=40, deadline=None)
def test_frames_are_square_and_right_handed(corners: list[Point], radius: float) -> None:
    line = drawn(corners, radius)
    s = np.linspace(0.0, line.length, 200)
    points, height, width = line.frames(s)
    tangent = np.array([line.tangent(x) for x in s])
    assert points == pytest.approx(line.points(s), abs=1e-9)
    assert np.cross(width, height) == pytest.approx(tangent, abs=1e-9)
    assert np.linalg.norm(height, axis=1) == pytest.approx(np.ones(200), abs=1e-12)
    one_height, one_width = line.frame(float(s[77]))
    assert one_height == pytest.approx(height[77], abs=1e-12)
    assert one_width == pytest.approx(width[77], abs=1e-12)


@given(CORNERS, st.floats(5.0, 120.0), st.tuples(COORDINATE, COORDINATE, COORDINATE))
@settings(max_examples=60, deadline=None)
def test_nearest_point_against_a_dense_sample(
    corners: list[Point], radius: float, where: Point
) -> None:
    line = drawn(corners, radius)
    probe = np.array([where])
    s, distance = line.approach(probe)
    assert line.nearest(probe) == pytest.approx(s)
    assert np.linalg.norm(line.points(s)[0] - where) == pytest.approx(distance[0], abs=1e-7)
    sample = np.linspace(-2000.0, line.length + 2000.0, 8001)
    # It is the distance to a point of the centreline, and no other point is nearer.
    assert distance[0] <= np.linalg.norm(line.points(sample) - where, axis=1).min() + 1e-9


def test_a_quarter_turn_by_hand() -> None:
    """Legs of 100 and a radius of 40: 60 + 40 π/2 + 60; the arc's middle lies on the diagonal."""
    line = Centreline.through(((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 0.0, 100.0)), (40.0,))
    assert [type(piece) for piece in line.pieces] == [Line, Arc, Line]
    assert line.length == pytest.approx(120.0 + 20.0 * math.pi)
    assert line.tightest == 40.0
    middle = line.at(line.length / 2)
    assert middle == pytest.approx((60 + 40 / math.sqrt(2), 0.0, 40 - 40 / math.sqrt(2)))
    assert line.tangent(line.length / 2) == pytest.approx((1 / math.sqrt(2), 0, 1 / math.sqrt(2)))
    assert line.at(-10.0) == pytest.approx((-10.0, 0.0, 0.0))
    assert line.at(line.length + 10.0) == pytest.approx((100.0, 0.0, 110.0))


def test_arc_that_fills_its_legs_leaves_no_lines() -> None:
    line = Centreline.through(((0.0, 0.0, 0.0), (50.0, 0.0, 0.0), (50.0, 50.0, 0.0)), (50.0,))
    assert [type(piece) for piece in line.pieces] == [Arc]
    assert line.length == pytest.approx(25.0 * math.pi)
    assert not line.is_straight
    # Beyond its ends it still runs on straight.
    assert line.at(-10.0) == pytest.approx((-10.0, 0.0, 0.0))
    s, distance = line.approach(np.array([[-30.0, 4.0, 0.0], [53.0, 90.0, 0.0]]))
    assert s == pytest.approx([-30.0, line.length + 40.0])
    assert distance == pytest.approx([4.0, 3.0])


def test_bend_that_does_not_turn_makes_no_arc() -> None:
    line = Centreline.through(((0.0, 0.0, 0.0), (50.0, 0.0, 0.0), (120.0, 0.0, 0.0)), (50.0,))
    assert line.is_straight
    assert line.tightest is None
    assert line.length == pytest.approx(120.0)


@pytest.mark.parametrize(
    ("corners", "radii", "bend", "words"),
    [
        (((0, 0, 0), (50, 0, 0), (50, 50, 0)), (60.0,), 0, "needs 60.0 mm of the leg before it"),
        (((0, 0, 0), (90, 0, 0), (90, 50, 0)), (60.0,), 0, "needs 60.0 mm of the leg after it"),
        (
            ((0, 0, 0), (90, 0, 0), (90, 90, 0), (0, 90, 0)),
            (50.0, 50.0),
            1,
            "needs 50.0 mm of the leg before it, which has 40.0 mm",
        ),
        (((0, 0, 0), (90, 0, 0), (10, 0.1, 0)), (5.0,), 0, "doubles back"),
        (((0, 0, 0), (0, 0, 0)), (), 0, "same place"),
    ],
)
def test_bends_that_cannot_be_made(
    corners: tuple[Point, ...], radii: tuple[float, ...], bend: int, words: str
) -> None:
    with pytest.raises(BendError, match=words) as caught:
        Centreline.through(corners, radii)
    assert caught.value.bend == bend


@given(st.floats(0.0, 120.0), st.floats(0.0, 150.0))
@settings(max_examples=40, deadline=None)
def test_trimmed(start: float, end: float) -> None:
    whole = Centreline.through(((0.0, 10.0, 0.0), (100.0, 30.0, 0.0), (200.0, 20.0, 60.0)), (80.0,))
    assume(start + end < whole.length - 1)
    part = whole.trimmed(start, end)
    assert part.length == pytest.approx(whole.length - start - end, abs=1e-8)
    s = np.linspace(0.0, part.length, 50)
    assert part.points(s) == pytest.approx(whole.points(s + start), abs=1e-7)


def test_trimming_everything_away() -> None:
    line = Centreline.through(((0.0, 0.0, 0.0), (50.0, 0.0, 0.0)), ())
    with pytest.raises(ValueError, match="nothing is left"):
        line.trimmed(30.0, 20.0)


def test_frame_of_a_tube_in_the_side_view() -> None:
    """Width is lateral for whatever lies in the centre plane; height for a tube across the bike."""
    lean = Centreline.through(((0.0, 0.0, 0.0), (300.0, 0.0, 400.0)), ())
    height, width = lean.frame(10.0)
    assert width == pytest.approx((0.0, 1.0, 0.0))
    assert height == pytest.approx((-0.8, 0.0, 0.6))
    across = Centreline.through(((0.0, 40.0, 0.0), (0.0, -40.0, 0.0)), ())
    assert np.abs(across.frame(10.0)[0]) == pytest.approx((0.0, 0.0, 1.0))


def test_frame_does_not_jump_in_a_tube_that_turns_from_across_to_along() -> None:
    line = Centreline.through(((0.0, 0.0, 0.0), (0.0, 80.0, 0.0), (-300.0, 90.0, 40.0)), (40.0,))
    _, height, _ = line.frames(np.linspace(0.0, line.length, 2000))
    assert np.linalg.norm(np.diff(height, axis=0), axis=1).max() < 0.01


def test_points_lose_the_sign_of_zero() -> None:
    assert math.copysign(1.0, point(np.array([-0.0, -0.0, -0.0]))[1]) == 1.0


def test_widths_of_many_lines_are_those_of_each() -> None:
    """Along x, y and z too, as drawn and pitched."""
    random = np.random.default_rng(7)
    tangents = np.concatenate((np.eye(3), -np.eye(3), random.normal(size=(200, 3))))
    tangents[100:, 1] *= 4  # many nearly lateral
    tangents /= np.linalg.norm(tangents, axis=1)[:, None]
    pitches = np.where(np.arange(len(tangents)) % 2, 0.0, random.uniform(-9, 9, len(tangents)))
    found = widths_of_lines(tangents, pitches.tolist())
    for tangent, pitch, width in zip(tangents, pitches.tolist(), found, strict=True):
        line = Centreline((Line((0.0, 0.0, 0.0), point(300 * tangent)),), pitch)
        assert width == pytest.approx(line.frame(0.0)[1], abs=1e-12)
