"""Seatpost and saddle: how deep, how high, how low."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.bodies.parts.seat import insertion_of
from frame3d.tubes.post_depth import RAILS, exposure
from tests.bodies.bike import bodies, body, layout, place

LENGTH = ("insertion: 150", "length: 400")


def test_the_post_runs_from_its_depth_to_the_rails() -> None:
    post = body("seatpost").tubes[0].axis
    top, saddle = (np.array(layout().nodes[n]) for n in ("seat_tube_top", "saddle"))
    assert np.linalg.norm(np.array(post.start) - top) == pytest.approx(150)
    assert np.linalg.norm(np.array(post.end) - saddle) == pytest.approx(RAILS)
    assert body("seatpost").tubes[0].section.height == (31.6, 31.6)


def test_depth_from_the_posts_length() -> None:
    """Saddle at 720 from the bottom bracket, tube of 430: 290 less 45 for the saddle is exposed."""
    assert exposure(layout().spec, layout().nodes) == pytest.approx(720 - 430 - 45)
    assert insertion_of(place(LENGTH)) == pytest.approx(400 - 245)
    assert body("seatpost", LENGTH).tubes[0].axis.length == pytest.approx(400)


def test_the_saddles_top_is_at_its_height_and_at_full_drop() -> None:
    high, low = body("saddle"), body("saddle_dropped")
    assert high.drawn
    assert not low.drawn
    top = high.shapes[0].origin[2] + 55 / 2
    assert top == pytest.approx(layout().nodes["saddle"][2])
    moved = np.array(low.shapes[0].origin) - np.array(high.shapes[0].origin)
    angle = math.radians(75.5)
    assert moved == pytest.approx((150 * math.cos(angle), 0, -150 * math.sin(angle)))


def test_a_rigid_post_has_no_drop() -> None:
    assert "saddle_dropped" not in {b.name for b in bodies((", travel: 150}", "}")).bodies}


def test_the_post_may_touch_what_it_stands_in() -> None:
    assert set(body("seatpost").touches) == {"seat_tube", "top_tube"}


def test_no_post_without_a_depth() -> None:
    absent = {a.name: a.needs for a in bodies((", insertion: 150", "")).absent}
    assert absent["seatpost"] == "build.seatpost.insertion"
