"""Webs reach the nearest tube or dropout, and end inside it."""

from __future__ import annotations

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.disc_hull import Flat
from frame3d.tubes.hardware import Lug
from tests.pivots.parts import part


def test_webs_of_lugs_reach_the_middle_of_their_tube(single: Bike) -> None:
    lug = part(single, Lug, "lug_shock_front_frame_left")
    (web,) = lug.webs
    tube = single.tube(web.to)
    assert tube.link is None
    assert isinstance(web.metal, Flat)
    assert (web.metal.low, web.metal.high) == lug.span
    feet = [disc for disc in web.metal.discs if disc[2] != lug.boss / 2]
    for x, z, _ in feet:
        place = np.array([[x, 0.0, z]])
        assert np.linalg.norm(tube.axis.points(tube.axis.nearest(place)) - place) < 1e-6
