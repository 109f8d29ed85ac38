"""Webs reach the nearest tube or dropout, and end inside it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.geometry.disc_hull import Flat
from frame3d.pivots.webs import FOOT, housing_webs, lug_web, nearest, sided
from frame3d.tubes.hardware import Arm, Housing, Lug
from frame3d.tubes.tube import Dropout, Tube
from tests.frames import bar, context
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


def tubes(**more: Any) -> dict[str, Tube]:
    return {tube.name: tube for tube in context(more).tubes}


LOW = bar(30.0, (-200, 0, 0), (200, 0, 0), 1.0)
HIGH = bar(40.0, (-200, 0, 150), (200, 0, 150), 1.0)
SIDE = bar(16.0, (-200, 70, 60), (200, 70, 60), 1.0)
DROPOUT = Dropout("d", "left", (-260.0, 74.0, 60.0), 7.0, 30.0, 12.0, ())
LUG = Lug("lug", "p", "left", (0.0, 70.0, 100.0), 8.0, 24.0, 12.0, (), None)
HOUSING = Housing("h", "p", (0.0, 0.0, 60.0), 60.0, 30.0, 12.0, None, inset=False)


def test_the_nearest_counts_by_its_surface() -> None:
    """At 78 mm of height the lower axis is nearer, but the upper tube is thicker: 63 and 52 mm."""
    found = tubes(low=LOW, high=HIGH)
    near = nearest(np.array([0.0, 0.0, 78.0]), found.values(), ())
    assert near is not None
    assert near.to.name == "high"
    assert near.distance == pytest.approx(150 - 78 - 20)
    assert near.at == pytest.approx([0, 0, 150])
    inside = nearest(np.array([10.0, 0.0, 4.0]), found.values(), ())
    assert inside is not None
    assert (inside.to.name, inside.distance) == ("low", pytest.approx(-11.0))
    assert nearest(np.zeros(3), (), ()) is None


def test_a_dropout_may_be_the_nearest() -> None:
    """20 mm ahead of the edge of its plate, in its own plane."""
    place = np.array([-260 + 15 + 20, 77.5, 60.0])
    near = nearest(place, tubes(low=LOW).values(), (DROPOUT,))
    assert near is not None
    assert near.to is DROPOUT
    assert near.distance == pytest.approx(20)
    assert near.at == pytest.approx([-260, 77.5, 60])


def test_near_its_end_a_tube_is_met_clear_of_the_end() -> None:
    near = nearest(np.array([250.0, 0.0, 0.0]), tubes(low=LOW).values(), ())
    assert near is not None
    assert near.at == pytest.approx([200 - FOOT, 0, 0])


def test_a_lug_beside_its_tube_is_held_by_a_flat_web_in_its_own_plane() -> None:
    near = nearest(np.array([0.0, 74.0, 100.0]), tubes(side=SIDE).values(), ())
    assert near is not None
    (web,) = lug_web(LUG, near)
    assert isinstance(web.metal, Flat)
    assert (web.to, web.metal.low, web.metal.high) == ("side", 70.0, 78.0)
    assert (0.0, 100.0, 12.0) in web.metal.discs
    feet = [disc for disc in web.metal.discs if disc[2] != 12.0]
    assert [z for _, z, _ in feet] == [60.0, 60.0]
    # Inside of the round tube of 16 mm, 4 mm beside its middle.
    assert all(radius < np.sqrt(8**2 - 4**2) for *_, radius in feet)


def test_a_lug_far_aside_is_held_by_an_arm() -> None:
    near = nearest(np.array([0.0, 74.0, 100.0]), tubes(low=LOW).values(), ())
    assert near is not None
    (web,) = lug_web(LUG, near)
    assert isinstance(web.metal, Arm)
    _, far, _ = web.metal.end
    assert web.metal.end[2] == 0.0
    assert 0 < far < 15  # inside of the tube, on the lug's side
    assert web.tongue is not None


def test_a_lug_in_its_tube_needs_nothing() -> None:
    sunk = replace(LUG, axle=(0.0, 66.0, 60.0))
    near = nearest(np.array([0.0, 70.0, 60.0]), tubes(side=SIDE).values(), ())
    assert near is not None
    assert lug_web(sunk, near) == ()


@pytest.mark.parametrize(("y", "flat"), [(73.0, True), (60.0, False)])
def test_a_lug_abreast_of_a_dropout_grows_into_it(y: float, flat: bool) -> None:
    lug = replace(LUG, axle=(-215.0, y, 70.0))
    near = nearest(np.array([-215.0, y + 4, 70.0]), (), (DROPOUT,))
    assert near is not None
    (web,) = lug_web(lug, near)
    assert isinstance(web.metal, Flat) is flat
    if isinstance(web.metal, Flat):
        assert (-260.0, 60.0, 14.0) in web.metal.discs  # a millimetre within the dropout's round


def test_a_free_housing_has_one_web_in_the_centre_plane_or_an_arm_to_each_side() -> None:
    near = nearest(np.array(HOUSING.at), tubes(low=LOW).values(), ())
    assert near is not None
    (web,) = housing_webs(HOUSING, near, None)
    assert isinstance(web.metal, Flat)
    assert web.metal.low == -web.metal.high
    assert web.metal.high <= 15
    left = nearest(np.array(HOUSING.at), tubes(side=SIDE).values(), ())
    other = bar(16.0, (-200, -70, 60), (200, -70, 60), 1.0)
    right = nearest(np.array(HOUSING.at), tubes(other=other).values(), ())
    assert left is not None
    one, two = housing_webs(HOUSING, left, right)
    assert isinstance(one.metal, Arm)
    assert isinstance(two.metal, Arm)
    assert (one.to, two.to) == ("side", "other")
    for a, b in ((one.metal.start, two.metal.start), (one.metal.end, two.metal.end)):
        assert b == pytest.approx((a[0], -a[1], a[2]))
    assert abs(one.metal.start[1]) < HOUSING.width / 2


def test_tubes_of_a_side_and_of_none() -> None:
    pair = bar(16.0, (-200, 70, 60), (200, 70, 60), 1.0, pair=True)
    found = tubes(pair=pair, low=LOW)
    assert [t.name for t in sided(found.values(), "left")] == ["pair_left", "low"]
    assert [t.name for t in sided(found.values(), "right")] == ["pair_right", "low"]
