"""Flat parts of a frame: plates of links, as they are cut from the sheet."""

from __future__ import annotations

import math
from functools import cache

import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.tubes.hardware import LinkPlate


@cache
def trail() -> Bike:
    return frame3d.solve(frame3d.load("configs/trail_full_140.yaml"))


def test_plates_of_a_link_are_one_shape_cut_twice() -> None:
    (rocker,) = flat_parts_of(trail().frame)
    assert rocker.names == ("plate_rocker_left", "plate_rocker_right")
    assert rocker.sides == ("left", "right")
    assert (rocker.kind, rocker.link, rocker.count) == ("link plate", "rocker", 2)


def test_a_link_plates_outline_is_that_of_its_solid() -> None:
    """Area without bores: that of the hull of discs, which is in closed form there too."""
    item = next(part for part in trail().pivots if isinstance(part, LinkPlate))
    (rocker,) = flat_parts_of(trail().frame)
    bores = sum(math.pi / 4 * boss.bore**2 for boss in item.bosses)
    assert rocker.outline.area == pytest.approx(item.plate.area - bores, rel=1e-9)
    assert rocker.thickness == item.plate.thickness


def test_a_link_plates_holes_lie_at_the_points() -> None:
    item = next(part for part in trail().pivots if isinstance(part, LinkPlate))
    (rocker,) = flat_parts_of(trail().frame)
    for boss, hole in zip(item.bosses, rocker.outline.holes, strict=True):
        x, y, z = rocker.plane.at(hole.at, rocker.low)
        assert (x, z) == pytest.approx((boss.x, boss.z), abs=1e-9)
        assert abs(y) == pytest.approx(item.plate.high, abs=1e-9)
        assert hole.diameter == boss.bore


def test_exchanged_parts_change_no_outline() -> None:
    """A longer fork pitches the frame and turns its links: what is cut stays."""
    other = frame3d.exchange(trail(), {"build.fork.axle_to_crown": 571.0})
    (one,), (two,) = flat_parts_of(trail().frame), flat_parts_of(other.frame)
    assert one.plane != two.plane
    for a, b in zip(one.outline.outer.vertices, two.outline.outer.vertices, strict=True):
        assert a == pytest.approx(b, abs=1e-9)


def test_a_frame_without_plates_has_no_flat_parts() -> None:
    bike = frame3d.solve(frame3d.load("configs/trail_hardtail_29.yaml"))
    assert flat_parts_of(bike.frame) == ()
