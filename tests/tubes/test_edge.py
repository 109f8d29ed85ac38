"""Edges of the metal at a tube's cuts, against mitre curves and circles in closed form."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.tubes.cuts.edge import Cutting, bodies_of, cut_lengths
from frame3d.tubes.cuts.mitre import mitre_curve
from tests.bikes import hardtail_layout
from tests.frames import bar, context

POST = bar(40.0, (0, 0, -200), (0, 0, 200), 1.5)
ARM = bar(24.0, {"on": "post", "from_start": 200.0}, (300, 0, 0), 1.0)
DENSE = np.arange(0.0, 360.0, 0.01)


def cutting(name: str, **tubes: Any) -> Cutting:
    found: Bike = context(tubes)
    return Cutting(found.tube(name), bodies_of(found.frame))


def test_a_mitre_of_its_own() -> None:
    """Square on a wider tube: z(phi) of the textbook's formula, all around."""
    arm = cutting("arm", post=POST, arm=ARM)
    assert [arm.kind(at) for at in ("start", "end")] == ["mitre", "square"]
    curve = mitre_curve(12.0, 20.0, 90.0, 0.0, DENSE)
    place = arm.place("start")
    assert place.cutters == ("post",)
    (edge,) = arm.outlines(place)
    assert not edge.is_hole
    assert (edge.phi[0], edge.phi[-1]) == (0.0, 360.0)
    assert edge.s.min() == pytest.approx(curve.min(), abs=1e-6)
    assert edge.s.max() == pytest.approx(curve.max(), abs=1e-6)
    # The tube's own 90 degrees is where the formula counts from 0 or 180.
    assert np.sort(edge.s)[::120] == pytest.approx(
        np.sort(mitre_curve(12.0, 20.0, 90.0, 0.0, edge.phi))[::120], abs=1e-6
    )
    assert arm.long_point("start") == pytest.approx(curve.min(), abs=1e-6)
    assert arm.reach("start") == pytest.approx((curve.min(), curve.max()), abs=1e-6)
    assert arm.cut_length == pytest.approx(300 - curve.min(), abs=1e-6)
    assert arm.long_point("end") == pytest.approx(300)


def test_a_square_tube_is_as_long_as_its_axis() -> None:
    post = cutting("post", post=POST, arm=ARM)  # the arm comes after and takes nothing of it
    assert [post.kind(at) for at in ("start", "end")] == ["square", "square"]
    assert post.cut_length == 400.0
    assert all(place.at in ("start", "end") for place in post.places)


@pytest.mark.parametrize("offset", [0.0, 4.0])
def test_a_hole_of_a_tube_that_passes_through(offset: float) -> None:
    """A rod of 10 mm across a tube of 40: two holes, 10 mm from the rod's axis all around."""
    rod = bar(10.0, (100, -60, offset), (100, 60, offset))
    beam = bar(40.0, (0, 0, 0), (300, 0, 0), 1.0)
    found = cutting("beam", rod=rod, beam=beam)
    (place,) = [p for p in found.places if p.at == "hole"]
    assert place.cutters == ("rod",)
    # Each half degree a point: the furthest ones are beside the extremes by up to 0.003 mm.
    assert (place.low, place.high) == pytest.approx((95, 105), abs=5e-3)
    edges = found.outlines(place)
    assert len(edges) == 2
    for edge in edges:
        assert edge.is_hole
        # On the tube: x = s, and the height is 20 times the cosine of phi, counted from the top.
        z = 20 * np.cos(np.radians(edge.phi))
        assert np.hypot(edge.s - 100, z - offset) == pytest.approx(
            np.full(len(edge.s), 5.0), abs=1e-6
        )
    assert found.cut_length == 300.0
    assert found.copes("start") == ()


def test_a_hole_past_the_end_of_the_axis() -> None:
    """Where an arm passes the post by its metal goes 16 mm past its axis' end; a pin of 6 mm is there."""
    way = np.array([1.0, 0.0, 1.0]) / np.sqrt(2.0)
    x, _, z = (-10.0 * way).tolist()
    post = bar(30.0, (0, 0, -200), (0, 0, 200), 1.5)
    pin = bar(6.0, (x, 16, z), (x, 60, z))
    arm = bar(44.0, {"on": "post", "from_start": 200.0}, (200.0 * way).tolist(), 2.0)
    found = context({"post": post, "pin": pin, "arm": arm})
    assert found.tube("arm").cut_by == ("post", "pin")
    made = Cutting(found.tube("arm"), bodies_of(found.frame))
    assert made.place("start").cutters == ("post", "pin")
    (hole,) = [edge for edge in made.outlines(made.place("start")) if edge.is_hole]
    across = 22.0 * np.cos(np.radians(hole.phi))  # in the plane of both axes
    assert np.hypot(hole.s + 10, across) == pytest.approx(np.full(len(hole.s), 3.0), abs=1e-6)


def test_a_square_end_around_another_tube_is_coped() -> None:
    """The beam's face lies on the axis of a wider tube across it: it starts at that tube's side."""
    rod = bar(60.0, (0, -60, 0), (0, 60, 0), 2.0)
    beam = bar(40.0, (0, 0, 0), (300, 0, 0), 1.0)
    found = cutting("beam", rod=rod, beam=beam)
    assert found.kind("start") == "coped"
    assert found.copes("start") == ("rod",)
    low, high = np.sqrt(30**2 - 20**2), 30.0
    assert found.reach("start") == pytest.approx((low, high), abs=1e-4)
    assert found.cut_length == pytest.approx(300 - low, abs=1e-4)
    assert found.cut_to("start") == pytest.approx(high, abs=1e-4)


def test_metal_is_what_is_outside_of_every_cutter() -> None:
    """Random points of the arm's surface: kept where they are further than 20 from the post's axis."""
    arm = cutting("arm", post=POST, arm=ARM)
    rng = np.random.default_rng(5)
    phi, s = rng.uniform(0, 360, 2000), rng.uniform(-5, 305, 2000)
    y = 12 * np.sin(np.radians(phi))
    wanted = (np.hypot(s, y) > 20) & (s > 0) & (s < 300)
    near = (np.abs(np.hypot(s, y) - 20) < 0.01) | (np.abs(s) < 0.01) | (np.abs(s - 300) < 0.01)
    assert (arm.is_metal(phi, s) == wanted)[~near].all()


def test_metal_inside_a_bar() -> None:
    """The same of a solid bar's inside: as far across as `v`, along as `s`."""
    bar_ = cutting("arm", post=POST, arm=ARM | {"wall": "solid"})
    rng = np.random.default_rng(6)
    u, v, s = rng.uniform(-12, 12, 2000), rng.uniform(-12, 12, 2000), rng.uniform(-5, 305, 2000)
    wanted = (np.hypot(s, v) > 20) & (s < 300)
    near = (np.abs(np.hypot(s, v) - 20) < 0.01) | (np.abs(s - 300) < 0.01)
    keep = ~near & (s > 0)
    assert (bar_.is_metal_inside(u, v, s) == wanted)[keep].all()


def test_a_short_tube_is_one_place() -> None:
    """Between two posts 50 mm apart, 10 mm of free length: both ends' cuts are looked at together."""
    other = bar(40.0, (50, 0, -200), (50, 0, 200), 1.5)
    third = bar(30.0, (25, -100, 22), (25, 100, 22), 1.0)
    link = bar(24.0, {"on": "post", "from_start": 200.0}, {"on": "other", "from_start": 200.0}, 1.0)
    found = cutting("link", post=POST, other=other, third=third, link=link)
    (place,) = found.places
    assert place.at == "whole"
    assert set(place.cutters) == {"post", "other", "third"}
    assert found.place("start") is found.place("end")


def test_cut_lengths_of_a_frame_are_those_of_its_tubes() -> None:
    frame = hardtail_layout().frame
    found = cut_lengths(frame)
    for tube in frame.tubes:
        longest = tube.axis.length - tube.start.long_point - tube.end.long_point
        assert found[tube.name] <= longest + 1e-6
        if len(tube.cut_by) <= sum(end.cut == "mitre" for end in (tube.start, tube.end)):
            assert found[tube.name] == pytest.approx(longest, abs=1e-9)
    for name in ("chainstay", "seatstay"):
        assert found[f"{name}_left"] == pytest.approx(found[f"{name}_right"], abs=1e-6)
