"""Tracks: the smallest gap at each place of a travel, against the same bodies put there by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import FRAME, TRAVELS
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.vector import Point, point, vector
from frame3d.report.data import ReportData
from frame3d.report.tracks import GapTrack, motions_of, tracks_of
from tests.report.samples import four_link, hardtail


def cases(bike: ReportData) -> list[tuple[Result, GapTrack]]:
    return [(bike.report.results[i], track) for i, track in bike.tracks.items()]


@pytest.mark.parametrize("bike", [hardtail, four_link], ids=["hardtail", "four_link"])
def test_the_smallest_of_a_track_is_the_check_s_own_gap(bike) -> None:  # type: ignore[no-untyped-def]
    """No minimum is missed: the tightest place is among the values."""
    found = cases(bike())
    assert found
    for result, track in found:
        slack = result.error + 0.01
        assert min(track.gaps) == pytest.approx(result.gap, abs=slack), result.between
        assert list(track.values) == sorted(track.values)
        assert track.motion in motions_of(result.name)


def test_what_moves_is_tracked_and_what_does_not_is_not() -> None:
    hard = {r.name for r, _ in cases(hardtail())}
    assert {"front_tyre_to_fork", "front_tyre_to_frame", "fork_to_frame"} <= hard
    motions = {(r.name, t.motion) for r, t in cases(hardtail())}
    assert ("front_tyre_to_frame", "fork") in motions  # steering stays free there
    assert ("fork_to_frame", "steer") in motions
    assert not {"rear_tyre_to_frame", "chainring_to_frame"} & hard
    full = {(r.name, t.motion) for r, t in cases(four_link())}
    assert ("rear_tyre_to_frame", "rear") in full
    assert ("front_tyre_to_fork", "fork") in full


def _put(solid: PlacedShape | Tubular, pose: Pose) -> PlacedShape | Tubular:
    """A body where its mount takes it, fixed to the frame there."""
    motion = matrix(solid.mount, pose)

    def moved(p: Point) -> Point:
        return point(motion[:3, :3] @ vector(p) + motion[:3, 3])

    if isinstance(solid, PlacedShape):
        axes = tuple(point(motion[:3, :3] @ vector(a)) for a in solid.axes)
        return replace(solid, origin=moved(solid.origin), axes=axes, mount=FRAME)
    pieces: list[Line | Arc] = []
    for piece in solid.axis.pieces:
        moved_ends = {"start": moved(piece.start), "end": moved(piece.end)}
        if isinstance(piece, Arc):
            moved_ends["centre"] = moved(piece.centre)
        pieces.append(replace(piece, **moved_ends))
    return replace(solid, axis=Centreline(tuple(pieces)), mount=FRAME)


def _by_hand(scene: Scene, names: tuple[str, str], pose: Pose) -> float:
    a, b = (scene.body(name) for name in names)
    assert a is not None
    assert b is not None
    gaps = []
    for one, other in ((a, b), (b, a)):
        for tube in one.tubes:
            for shape in other.shapes:
                gap = nearest(_put(tube, pose), _put(shape, pose))  # type: ignore[arg-type]
                assert isinstance(gap, Gap)
                gaps.append(gap.gap)
    return min(gaps)


@pytest.mark.parametrize("bike", [hardtail, four_link], ids=["hardtail", "four_link"])
def test_gaps_are_those_of_bodies_put_there_by_hand(bike) -> None:  # type: ignore[no-untyped-def]
    """Where nothing but the travel moves the two bodies against each other."""
    made = bike()
    alone = [(r, t) for r, t in cases(made) if set(r.at) <= {t.motion}]
    assert len(alone) >= 2
    for result, track in alone[:8]:
        assert result.between is not None
        for i in (0, 7, len(track.values) - 1):
            pose = Pose(**{track.motion: track.values[i]})
            by_hand = _by_hand(made.scene, result.between, pose)
            assert track.gaps[i] == pytest.approx(by_hand, abs=0.021), (result.between, i)


def test_points_are_as_far_apart_as_the_gap() -> None:
    for result, track in cases(hardtail()):
        for gap, (p, q) in zip(track.gaps, track.points, strict=True):
            assert np.linalg.norm(vector(p) - vector(q)) == pytest.approx(gap, abs=1e-6), result


def test_fewer_places_on_request() -> None:
    bike = hardtail()
    found = tracks_of(bike.scene, bike.report, 5)
    assert set(found) == set(bike.tracks)
    for track in found.values():
        # A motion that is an angle has a place every 6 degrees at least.
        span = track.values[-1] - track.values[0]
        least = 5 if track.motion in TRAVELS else max(5, math.ceil(span / 6) + 1)
        assert len(track.values) in (least, least + 1), track.motion
