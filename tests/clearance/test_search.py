"""The search as a whole: shapes inside tubes, tubes through rings, depths under several motions."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import SHIFT, TURN, Mount, Step
from frame3d.bodies.shapes import PlacedShape, Torus, bar, box, capsule, cylinder
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.clearance.certify.motion import Range
from frame3d.geometry.vector import point
from tests.clearance.samples import a_pair


@pytest.mark.parametrize("kind", ["torus", "cylinder", "box", "capsule"])
def test_depths_under_several_motions_are_told_to_the_tolerance(kind: str) -> None:
    """A bar right through a shape that turns and travels: its radius plus the shape's largest ball.

    The depth is the same over whole ranges of positions. Without the bound that no ball in the shape
    is larger, 3000 boxes left 1 to 10 mm open, and 100 000 still 0.2 to 3 mm.
    """
    shape, ball = {
        "torus": (Torus(90.0, 11.0), 11.0),
        "cylinder": (cylinder(110.0, -3.0, 3.0), 3.0),
        "box": (box(160.0, 14.0, 120.0), 7.0),
        "capsule": (capsule(150.0, 21.0), 21.0),
    }[kind]
    turn = Step(TURN, "steer", (0.0, 0.0, 0.0), (0.0, 0.6, 0.8))
    travel = Step(SHIFT, "fork", axis=(0.48, 0.6, 0.64))
    crank = Step(TURN, "crank", (20.0, 5.0, -10.0), (0.8, 0.0, 0.6))
    placed = PlacedShape("shape", shape, (30.0, 10.0, 5.0), Mount("part", (crank, travel, turn)))
    at = np.array([90.0, 0.0, 0.0]) if kind == "torus" else np.zeros(3)
    middle = at + placed.origin
    way = np.array([0.3, 0.9, 0.1]) * 150.0
    tube = bar("bar", point(middle - way), point(middle + way), 12.0)
    ranges = (Range("steer", -40, 40), Range("fork", -30, 30), Range("crank", -20, 30))
    gap = nearest(tube, placed, ranges)
    assert isinstance(gap, Gap)
    assert gap.saturated
    assert gap.error <= 0.0101
    assert gap.gap == pytest.approx(-12.0 - ball, abs=0.0101)


def test_a_shape_inside_a_tube_overlaps_it() -> None:
    """Nothing of the tube's outside is near: a ball in a tube of 60 mm."""
    random = np.random.default_rng(4)
    body, placed = a_pair("straight", "torus", random)
    thick = replace(body, section=replace(body.section, height=(60.0, 60.0), width=(60.0, 60.0)))
    middle = body.axis.at(body.axis.length / 2)
    for off in (0.0, 12.0):
        _, height, _ = body.axis.frames(np.array([body.axis.length / 2]))
        place = middle + off * height[0]
        ball = replace(
            placed, shape=capsule(0, 5), origin=(float(place[0]), float(place[1]), float(place[2]))
        )
        gap = nearest(thick, ball)
        assert isinstance(gap, Gap)
        assert gap.gap == pytest.approx(-(30 - off) - 5, abs=0.011)


def test_a_tube_through_a_ring_s_hole() -> None:
    """Off centre: the ring's tube is nearest where the bar leans to."""
    random = np.random.default_rng(5)
    body, placed = a_pair("straight", "torus", random)
    start, way = body.axis.at(0.0), body.axis.tangent(0.0)
    middle = body.axis.at(body.axis.length / 2)
    across = np.cross(way, [1.0, 0.2, 0.3])
    across /= np.linalg.norm(across)
    z = np.cross(across, way)
    radius = body.section.height[0] / 2
    for off in (0.0, 1e-9, 7.0):
        centre = middle + off * across
        hoop = replace(
            placed,
            shape=Torus(60.0, 4.0),
            origin=(float(centre[0]), float(centre[1]), float(centre[2])),
            axes=tuple(tuple(float(x) for x in a) for a in (across, way, z)),
        )
        gap = nearest(body, hoop)
        assert isinstance(gap, Gap)
        assert gap.error <= 0.01
        assert gap.gap == pytest.approx(60 - 4 - radius - off, abs=0.011)
    assert start.shape == (3,)
